"""Faces as text, common layouts, and another face as one edit in which nothing that was wired is lost."""

import pytest

from harness_studio.editing.face_change import face_edit
from harness_studio.editing.face_layouts import as_text, from_text, laid_out, names_of, seen_from_behind
from harness_studio.editing.quantities import Refused
from harness_studio.model.entities import Half, JointRecord, Wire
from harness_studio.model.harness import Harness
from harness_studio.model.values import Cavity, End, Face
from harness_studio.session.history import History

EIGHT = tuple("12345678")


@pytest.mark.parametrize(
    ("numbering", "text"),
    [
        ("along the rows", "1 2 3 4\n5 6 7 8"),
        ("along the rows from the right", "4 3 2 1\n8 7 6 5"),
        ("there and back", "1 2 3 4\n8 7 6 5"),
        ("down the columns", "1 3 5 7\n2 4 6 8"),
    ],
)
def test_common_layouts_in_two_rows(numbering: str, text: str) -> None:
    face = laid_out(Face(lock="top"), EIGHT, "2 rows", numbering)
    assert as_text(face) == text
    assert (face.outline, face.lock) == ("slab", "top")
    assert from_text(Face(lock="top"), text, free=False) == face


def test_a_ring_has_its_first_cavity_at_the_top_and_goes_clockwise() -> None:
    face = laid_out(Face(), ("1", "2", "3", "4", "5"), "ring, the last one in the middle", "along the rows")
    assert face.at_mm == {
        "1": (0.0, 6.0),
        "2": (6.0, 0.0),
        "3": (0.0, -6.0),
        "4": (-6.0, 0.0),
        "5": (0.0, 0.0),
    }
    assert face.outline == "round"


@pytest.mark.parametrize(("text", "count"), [("8", 8), ("3-5", 3), ("A B C", 3), ("1, 2, 10", 3)])
def test_names_are_typed_as_a_count_a_span_or_a_list(text: str, count: int) -> None:
    assert len(names_of(text)) == count


def test_faces_as_text_read_back() -> None:
    rows = Face(rows=(("1", None, "2"), ("3", "4", "5")))
    assert as_text(rows) == "1 . 2\n3 4 5"
    assert from_text(Face(), "1 ~ 2\n3 4 5", free=False) == rows
    places = from_text(Face(), "1: 0; 9\n2  6,5  -6\n", free=True)
    assert places.at_mm == {"1": (0.0, 9.0), "2": (6.5, -6.0)}
    assert from_text(Face(), as_text(places), free=True) == places


@pytest.mark.parametrize(
    ("text", "free", "why"),
    [
        ("1 2\n2 3", False, "cavity 2 stands there twice"),
        ("1 a.b", False, "cannot be the name of a cavity"),
        ("", False, "no cavities"),
        ("1: up", True, "write NAME: x; y in mm"),
        ("1: 0; high", True, "is not a length"),
    ],
)
def test_what_is_no_face_is_refused(text: str, free: bool, why: str) -> None:
    with pytest.raises(Refused, match=why):
        from_text(Face(), text, free=free)


def test_seen_from_behind_left_and_right_change_places() -> None:
    face = Face("mating", rows=(("1", "2", None), ("3", "4", "5")), lock="left")
    behind = seen_from_behind(face)
    assert (behind.view, behind.lock, behind.rows) == (
        "wire entry",
        "right",
        ((None, "2", "1"), ("5", "4", "3")),
    )
    assert seen_from_behind(behind) == face
    ring = Face("wire entry", at_mm={"1": (0.0, 9.0), "2": (6.0, -6.0)}, lock="top")
    assert seen_from_behind(ring).at_mm == {"1": (0.0, 9.0), "2": (-6.0, -6.0)}
    assert seen_from_behind(seen_from_behind(ring)) == ring


def wired() -> Harness:
    harness = Harness()
    face = Face(rows=(("1", "2"), ("3", "4")))
    harness.halves["X1"] = Half(
        "X1", face=face, cavities={"1": Cavity(function="feed"), "4": Cavity()}, mates={"X2": None}
    )
    harness.halves["X2"] = Half("X2", face=face, mates={"X1": None})
    harness.wires["W1"] = Wire("W1", (End("point", "X1.1"), End("point", "X2.2")))
    harness.joints["W1@X1.1"] = JointRecord("W1@X1.1", mohm=9.0)
    harness.joints["X1.1"] = JointRecord("X1.1", mohm=5.0)
    return harness


def test_cavities_that_get_other_names_take_everything_with_them() -> None:
    harness = wired()
    before = {name: dict(table) for name, table in harness.tables.items()}
    history = History(harness)
    history.apply(face_edit(harness, "X1", Face(rows=(("A", "2"), ("C", "D")))))
    half = harness.halves["X1"]
    assert str(harness.wires["W1"].ends[0]) == "X1.A"
    assert half.cavities == {"A": Cavity(function="feed"), "D": Cavity()}
    assert half.mates == {"X2": {"A": "1", "2": "2", "C": "3", "D": "4"}}
    assert harness.halves["X2"].mates == {"X1": {"1": "A", "2": "2", "3": "C", "4": "D"}}
    assert set(harness.joints) == {"W1@X1.A", "X1.A"}
    assert len(history.done) == 1
    history.undo()
    assert harness.tables == before


def test_the_same_cavities_in_other_places_are_moved_and_not_renamed() -> None:
    harness = wired()
    History(harness).apply(face_edit(harness, "X1", Face(rows=(("2", "1"), ("4", "3")))))
    assert str(harness.wires["W1"].ends[0]) == "X1.1"
    assert harness.halves["X1"].mates == {"X2": None}


def test_a_face_without_a_wired_cavity_is_refused() -> None:
    with pytest.raises(Refused, match="W1 is in cavity 1, which this face does not show"):
        face_edit(wired(), "X1", Face(rows=(("2", "3", "4"),)))
