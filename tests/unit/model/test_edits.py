"""Edits: each checks itself, tells what changed, and gives the step that takes it back."""

from dataclasses import dataclass, replace

import pytest

from harness_studio.base.changes import Changes
from harness_studio.base.errors import EditError
from harness_studio.model.edits import (
    Edit,
    Put,
    Remove,
    Together,
    change,
    check_references,
    put,
    remove_with_wires,
    together,
)
from harness_studio.model.entities import Body, Half, JointRecord, Mode, Revision, Splice, Wire
from harness_studio.model.harness import Harness
from harness_studio.model.parts import make_part
from harness_studio.model.values import End


@pytest.fixture
def harness() -> Harness:
    found = Harness()
    found.bodies["shell"] = Body("shell", places_mohm={"bed": 0.2})
    for key in ("SP1", "SP2", "SP3"):
        found.splices[key] = Splice(key)
    found.wires["W1"] = Wire("W1", (End("point", "SP1"), End("point", "SP2")))
    return found


def refs(*found: tuple[str, str]) -> frozenset[tuple[str, str]]:
    return frozenset(found)


def test_put_adds_replaces_and_tells(harness: Harness) -> None:
    inverse, changes = Put("splices", Splice("SP4"), "add").apply(harness)
    assert changes == Changes(added=refs(("splices", "SP4")))
    assert isinstance(inverse, Remove)
    inverse, changes = Put("splices", Splice("SP4", method="crimp")).apply(harness)
    assert changes == Changes(updated=refs(("splices", "SP4")))
    assert Put("splices", Splice("SP4", method="crimp")).apply(harness)[1] == Changes()
    inverse.apply(harness)
    assert harness.splices["SP4"] == Splice("SP4")


def test_put_takes_its_place_in_the_order(harness: Harness) -> None:
    Put("splices", Splice("A"), position=1).apply(harness)
    Put("splices", Splice("Z"), position=99).apply(harness)
    assert list(harness.splices) == ["SP1", "A", "SP2", "SP3", "Z"]


def test_remove_and_its_inverse_keep_the_order(harness: Harness) -> None:
    inverse, changes = Remove("splices", "SP2").apply(harness)
    assert changes == Changes(removed=refs(("splices", "SP2")))
    assert list(harness.splices) == ["SP1", "SP3"]
    inverse.apply(harness)
    assert list(harness.splices) == ["SP1", "SP2", "SP3"]


@pytest.mark.parametrize(
    ("edit", "told"),
    [
        (Put("splices", Splice("SP 9")), "'SP 9' cannot be an id"),
        (Put("splices", Splice("cut")), "'cut' cannot be an id"),
        (Put("splices", Splice("shell")), "the id shell is already used in bodies"),
        (Put("nothing", Splice("SP9")), "there is no section 'nothing'"),
        (Remove("splices", "SP9"), "SP9 is not in splices"),
        (Remove("settings", ""), "the settings of a harness cannot be taken out"),
        (put("wires", Wire("W9", (End("point", "SP9"), End("cut")))), "W9: 'SP9' is not in this harness"),
        (put("wires", Wire("W9", (End("point", "SP1"), End("point", "SP1")))), "both ends of W9 are on SP1"),
        (put("wires", Wire("W9", (End("cut"), End("cut")), area_mm2=-1.0)), "W9 area_mm2: found -1.0; wanted"),
        (put("wires", Wire("W9", (End("cut"), End("cut")), area_mm2=float("nan"))), "area_mm2: found nan"),
        (put("parts", make_part("E1", "lamp", rated_w="5")), "E1 rated_w: found '5'; wanted a number above 0"),
        (put("modes", Mode("m", like="m")), "the mode is like itself: m like m"),
        (Together((Remove("splices", "SP1"),)), "W1 in wires still refers to it: 'SP1' is not in this harness"),
    ],
)  # fmt: skip
def test_what_is_refused_changes_nothing(harness: Harness, edit: Edit, told: str) -> None:
    before = repr(harness)
    with pytest.raises(EditError) as caught:
        edit.apply(harness)
    assert told in str(caught.value)
    assert "\n" not in str(caught.value)
    assert repr(harness) == before


def test_keys_that_are_no_ids(harness: Harness) -> None:
    put("joints", JointRecord("SP1/W1", mohm=3.0)).apply(harness)
    put("revisions", Revision("1.1")).apply(harness)
    put("bodies", Body("unknown", places_mohm={"stud": 0.0})).apply(harness)
    assert "unknown" in harness.bodies


def test_several_edits_are_one_step(harness: Harness) -> None:
    before = repr(harness)
    step = together(
        [Put("splices", Splice("SP4")), Put("wires", replace(harness.wires["W1"], colour="RD"))], "both"
    )
    inverse, changes = step.apply(harness)
    assert changes == Changes(added=refs(("splices", "SP4")), updated=refs(("wires", "W1")))
    assert inverse.words == "both"
    redo, back = inverse.apply(harness)
    assert back == Changes(removed=refs(("splices", "SP4")), updated=refs(("wires", "W1")))
    assert repr(harness) == before
    redo.apply(harness)
    assert "SP4" in harness.splices


def test_a_step_may_refer_to_what_comes_later_in_it(harness: Harness) -> None:
    wire = Wire("W9", (End("point", "SP9"), End("cut")))
    together([Put("wires", wire), Put("splices", Splice("SP9"))], "").apply(harness)
    assert "W9" in harness.wires


def test_an_error_that_nobody_foresaw_undoes_the_step_too(harness: Harness) -> None:
    @dataclass(frozen=True)
    class Broken:
        words: str = ""

        def apply(self, harness: Harness) -> tuple[Edit, Changes]:
            raise ZeroDivisionError

    before = repr(harness)
    with pytest.raises(ZeroDivisionError):
        together([Put("splices", Splice("SP4")), Broken()], "").apply(harness)
    assert repr(harness) == before


def test_going_back_is_not_checked(harness: Harness) -> None:
    # A harness that was built by hand may be wrong; a step that mends it can still be taken back.
    harness.wires["W9"] = Wire("W9", (End("point", "nowhere"), End("cut")), area_mm2=-1.0)
    before = repr(harness)
    inverse, _ = put("wires", Wire("W9", (End("cut"), End("cut")))).apply(harness)
    inverse.apply(harness)
    assert repr(harness) == before


def test_change_sets_fields_of_one_entity(harness: Harness) -> None:
    _, changes = change(harness, "wires", "W1", "paint it", colour="BN").apply(harness)
    assert changes == Changes(updated=refs(("wires", "W1")))
    assert harness.wires["W1"].colour == "BN"
    with pytest.raises(EditError, match="W9 is not in wires"):
        change(harness, "wires", "W9", colour="BN")


def test_a_conflict_with_something_that_did_not_change_is_seen(harness: Harness) -> None:
    put("halves", Half("X1"), Half("X3"), Half("X2", mates={"X1": {"1": "1"}})).apply(harness)
    with pytest.raises(EditError, match=r"cavity X1\.1 mates X3\.1 already and cannot mate X2\.1 too"):
        change(harness, "halves", "X3", mates={"X1": {"1": "1"}}).apply(harness)
    # The same when the later of the two halves is the one that was there first.
    with pytest.raises(EditError, match=r"cavity X3\.5"):
        together(
            [
                Put("halves", Half("X1", mates={"X3": {"9": "5"}})),
                Put("halves", replace(harness.halves["X2"], mates={"X3": {"1": "5"}})),
            ],
            "",
        ).apply(harness)


def test_an_old_conflict_does_not_stop_an_edit_of_something_else(harness: Harness) -> None:
    harness.wires["W9"] = Wire("W9", (End("point", "SP1"), End("point", "SP1")))
    change(harness, "wires", "W1", colour="BN").apply(harness)
    assert harness.wires["W1"].colour == "BN"


def test_a_renamed_terminal_is_missed_by_the_wire_on_it(harness: Harness) -> None:
    put("parts", make_part("D1", "device", terminals=("a", "b"))).apply(harness)
    put("wires", Wire("W2", (End("point", "D1.a"), End("cut")))).apply(harness)
    with pytest.raises(EditError, match=r"W2 in wires still refers to it: 'D1\.a': D1 has no terminal 'a'"):
        put("parts", make_part("D1", "device", terminals=("b",))).apply(harness)


def test_references_can_be_checked_by_themselves(harness: Harness) -> None:
    harness.wires["W9"] = Wire("W9", (End("point", "SP9"), End("cut")))
    with pytest.raises(EditError, match="'SP9' is not in this harness"):
        check_references(harness, Changes(added=refs(("wires", "W9"))))


def test_removal_is_one_step_back(harness: Harness) -> None:
    before = repr(harness)
    inverse, changes = remove_with_wires(harness, [("splices", "SP1")], "take SP1 out").apply(harness)
    assert changes == Changes(removed=refs(("splices", "SP1")), updated=refs(("wires", "W1")))
    assert harness.wires["W1"].ends == (End("unknown"), End("point", "SP2"))
    inverse.apply(harness)
    assert repr(harness) == before
