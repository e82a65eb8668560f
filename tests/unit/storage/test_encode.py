"""The harness → trees: what is a default is left out, but for what a reader of the file needs."""

from dataclasses import replace

from harness_studio.model.entities import Half, JointRecord, Origin, Page, Revision, Wire
from harness_studio.model.forms import keys_of
from harness_studio.model.harness import Harness
from harness_studio.model.parts import make_part
from harness_studio.model.values import At, End, Face, Limits
from harness_studio.storage.encode import ALWAYS, tree_of
from harness_studio.storage.meanings import records
from harness_studio.storage.trees import Fields


def test_an_empty_harness() -> None:
    assert tree_of(Harness()) == {"harness_studio": "1", "system_v": "12", "grounded": "negative"}


def test_settings_that_are_no_defaults() -> None:
    harness = Harness()
    harness.tables["settings"][""] = replace(
        harness.settings, title="Pickup", system_v=24.0, limits=Limits("race")
    )
    assert tree_of(harness) == {
        "harness_studio": "1", "title": "Pickup", "system_v": "24", "grounded": "negative", "limits": {"set": "race"},
    }  # fmt: skip


def test_a_part_is_written_flat_with_its_kind_first() -> None:
    harness = Harness()
    common = {"title": "Pump", "note": "new", "circuit": "Fuel"}
    harness.parts["M2"] = make_part("M2", "motor", common=common, rated_a=6.5, stall_a=19.0)
    part = tree_of(harness)["parts"]["M2"]  # type: ignore[index,call-overload]
    assert list(part.items()) == [
        ("kind", "motor"), ("title", "Pump"), ("torque", "fan"), ("rated_a", "6.5"), ("stall_a", "19"),
        ("circuit", "Fuel"), ("note", "new"),
    ]  # fmt: skip


def test_entities_of_every_shape() -> None:
    harness = Harness()
    harness.halves["X1"] = Half("X1", face=Face(rows=(("1", None),)), mates={"X2": None})
    harness.wires["W1"] = Wire("W1", (End("point", "X1.1"), End("words", "tape")), tails_mm=(120.0, 90.5))
    harness.joints["GP1/W1"] = JointRecord("GP1/W1", mohm=float("inf"))
    harness.tables["origins"]["host"] = Origin("host", ("X1",))
    harness.tables["revisions"]["A"] = Revision("A", author="me")
    harness.pages["rear"] = Page("rear", items={"X1": At(1.0, 2.5, 90)}, wires={"W1": ((1.0, 2.0),)})
    tree = tree_of(harness)
    assert tree["halves"] == {"X1": {"mates": "X2", "face": {"view": "mating", "rows": [["1", None]]}}}
    assert tree["wires"] == {"W1": {"ends": ["X1.1", {"words": "tape"}], "tails_mm": ["120", "90.5"]}}
    assert tree["joints"] == {"GP1/W1": {"mohm": "open"}}
    assert tree["origins"] == {"host": ["X1"]}
    assert tree["revisions"] == [{"id": "A", "author": "me"}]
    assert tree["diagram"] == {
        "pages": {"rear": {"items": {"X1": ["1", "2.5", "90"]}, "wires": {"W1": [["1", "2"]]}}}
    }
    assert isinstance(tree["halves"]["X1"], Fields)  # type: ignore[index,call-overload]
    assert not isinstance(tree["halves"], Fields)


def test_what_is_always_written_is_a_key_of_the_model() -> None:
    assert {key for cls in records() for key in keys_of(cls)} >= ALWAYS
