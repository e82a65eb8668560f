"""Contradictions that no reference shows."""

from harness_studio.model.conflicts import conflicts
from harness_studio.model.entities import Bond, Ground, Half, Mode, Wire
from harness_studio.model.harness import Harness
from harness_studio.model.parts import make_part
from harness_studio.model.values import Cavity, End, Face


def mated(*halves: Half) -> list[str]:
    harness = Harness()
    harness.tables["halves"].update({half.id: half for half in halves})
    return [c.text for c in conflicts(harness)]


def test_both_ends_on_one_point() -> None:
    harness = Harness()
    harness.wires["W1"] = Wire("W1", (End("point", "SP1"), End("point", "SP1")))
    harness.wires["W2"] = Wire("W2", (End("cut"), End("cut")))
    harness.wires["W3"] = Wire("W3", (End("words", "x"), End("words", "x")))
    harness.tables["bonds"]["B1"] = Bond("B1", ("shell.a", "shell.a"), 1.0)
    assert [(c.section, c.path, c.text) for c in conflicts(harness)] == [
        ("bonds", ("ends", 1), "both ends of B1 are on shell.a"),
        ("wires", ("ends", 1), "both ends of W1 are on SP1"),
    ]
    assert [c.key for c in conflicts(harness, ["wires"])] == ["W1"]
    assert list(conflicts(harness, ["parts", "pages"])) == []


def test_a_cavity_mates_one_cavity() -> None:
    x2, x3 = Half("X2"), Half("X3")
    assert mated(Half("X1", mates={"X2": {"1": "1"}, "X3": {"2": "1"}}), x2, x3) == []
    assert mated(Half("X1", mates={"X2": {"1": "1"}, "X3": {"1": "1"}}), x2, x3) == [
        "cavity X1.1 mates X2.1 already and cannot mate X3.1 too"
    ]
    assert mated(Half("X1", mates={"X2": {"1": "1", "2": "1"}}), x2) == [
        "cavity X2.1 mates X1.1 already and cannot mate X1.2 too"
    ]
    assert mated(Half("X1", mates={"X1": None})) == ["X1 cannot mate itself"]


def test_both_halves_may_say_the_same() -> None:
    assert mated(Half("X1", mates={"X2": {"1": "a"}}), Half("X2", mates={"X1": {"a": "1"}})) == []
    assert mated(Half("X1", mates={"X2": {"1": "a"}}), Half("X2", mates={"X1": {"b": "1"}})) == [
        "cavity X1.1 mates X2.a already and cannot mate X2.b too"
    ]


def test_equal_names_meet() -> None:
    face = Face(rows=(("1", "2"),))
    other = Half("X2", face=face)
    assert (
        mated(
            Half("X1", face=face, mates={"X2": None, "X3": None}),
            other,
            Half("X3", face=Face(rows=(("3",),))),
        )
        == []
    )
    assert (
        len(mated(Half("X1", face=face, mates={"X2": None, "X3": None}), other, Half("X3", face=face))) == 2
    )
    # Only one half's cavities are known: the other has the same.
    assert len(mated(Half("X1", mates={"X2": None, "X3": None}), other, Half("X3", face=face))) == 2
    listed = Half("X3", cavities={"2": Cavity()})
    assert len(mated(Half("X1", mates={"X2": None, "X3": None}), other, listed)) == 1
    assert mated(Half("X1", mates={"X9": None})) == []


def test_modes_that_are_like_themselves() -> None:
    harness = Harness()
    for key, like in (("a", "b"), ("b", "c"), ("c", "a"), ("d", "a"), ("e", "e"), ("f", "gone"), ("g", None)):
        harness.modes[key] = Mode(key, like=like)
    assert [(c.key, c.text) for c in conflicts(harness)] == [
        ("a", "the mode is like itself: a like b like c like a"),
        ("e", "the mode is like itself: e like e"),
    ]


def test_a_part_is_in_one_box_and_no_box_in_itself() -> None:
    harness = Harness()
    harness.parts["A1"] = make_part("A1", "box", holds=("F1", "F2"))
    harness.parts["A2"] = make_part("A2", "box", holds=("F2", "A3"))
    harness.parts["A3"] = make_part("A3", "box", holds=("A2",))
    assert [c.text for c in conflicts(harness)] == [
        "F2 is held by A1 already",
        "A3 is held by itself: A3 holds A2 holds A3",
    ]


def test_a_wire_stands_once_in_a_stack() -> None:
    harness = Harness()
    harness.grounds["G"] = Ground("G", stack=(("W1",), ("W2", "W1")))
    assert [(c.path, c.text) for c in conflicts(harness)] == [
        (("stack", 1, 1), "W1 stands twice in the stack of G")
    ]
