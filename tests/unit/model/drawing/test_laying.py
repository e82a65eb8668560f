"""Wires are laid and taken elsewhere; what cannot be is refused in one sentence with its reason."""

from dataclasses import replace

import pytest

from harness_studio.base.errors import EditError
from harness_studio.model.drawing.cavities import extend_edit
from harness_studio.model.drawing.laying import NOT_KNOWN, OPEN, Pen, lay_edit, pen_of, rewire_edit
from harness_studio.model.edits import change
from harness_studio.model.harness import Harness
from harness_studio.model.values import End
from harness_studio.session.history import History
from harness_studio.storage.project_file import read_project


@pytest.fixture
def harness(sample_projects_dir: object) -> Harness:
    return read_project(f"{sample_projects_dir}/first_harness.yaml").harness


def end(text: str) -> End:
    return {"cut": OPEN, "unknown": NOT_KNOWN}.get(text) or End("point", text)


def test_the_pen_is_taken_from_a_wire_and_lays_the_next(harness: Harness) -> None:
    pen = pen_of(harness.wires["W40"])
    assert pen == Pen(2.5, None, "BN/WH", "GPT")
    edit, wire = lay_edit(harness, end("S1.54"), OPEN, pen)
    History(harness).apply(edit)
    assert wire == "W42"
    assert pen_of(harness.wires["W42"]) == pen


@pytest.mark.parametrize(
    ("first", "second", "why"),
    [
        ("S1.54", "S1.54", "a wire from S1.54 to itself joins nothing: end it on another point"),
        ("cut", "unknown", "a wire with both ends open is nowhere"),
        ("S1.54", "X7.4", "X7.4 has a blanking plug fitted: take the plug out before a wire goes in"),
        ("S1.54", "S1.99", "'S1.99': S1 has no terminal '99'; it has 30, 54"),
        ("S1.54", "GP9", "'GP9' is not in this harness; nearest is 'GP5'"),
        ("S1", "GP2", "'S1' names no terminal, cavity or place of S1"),
        ("W40", "GP2", "'W40' is a wire, not a point"),
        ("a b", "GP2", "'a b' is not a point"),
    ],
)
def test_refusals(harness: Harness, first: str, second: str, why: str) -> None:
    with pytest.raises(EditError) as error:
        lay_edit(harness, end(first), end(second), Pen())
    assert str(error.value).startswith(why)


def test_an_end_elsewhere(harness: Harness) -> None:
    history = History(harness)
    history.apply(rewire_edit(harness, "W40", 1, end("GP5")))
    assert [str(e) for e in harness.wires["W40"].ends] == ["M2.31", "GP5"]
    assert harness.grounds["GP2"].stack == (("W31",), ("W41",))
    history.undo()
    assert harness.grounds["GP2"].stack == (("W31",), ("W40",), ("W41",))


@pytest.mark.parametrize(
    ("to", "why"),
    [("M2.31", "both ends of W40 would be on M2.31"), ("W40@M2.31", "W40 cannot end on its own metal")],
)
def test_an_end_that_cannot_be_there(harness: Harness, to: str, why: str) -> None:
    with pytest.raises(EditError, match=why):
        rewire_edit(harness, "W40", 1, end(to))


def test_both_ends_open_is_refused(harness: Harness) -> None:
    History(harness).apply(rewire_edit(harness, "W40", 1, OPEN))
    with pytest.raises(EditError, match="W40 would be open at both ends: remove it instead"):
        rewire_edit(harness, "W40", 0, NOT_KNOWN)


def test_a_cavity_more_on_both_mated_halves(harness: Harness) -> None:
    edit, name = extend_edit(harness, "X8")
    History(harness).apply(edit)
    assert name == "7"
    x7, x8 = harness.halves["X7"].face, harness.halves["X8"].face
    assert x7 is not None
    assert x8 is not None
    assert x7.rows[-1] == ("7", "4", "5", "6") or x7.rows[-1] == ("4", "5", "6", "7")
    assert {len(r) for r in x7.rows} == {len(r) for r in x8.rows} == {3, 4}
    assert x7.rows[-1] == tuple(reversed(x8.rows[-1]))


def test_what_is_no_connector_is_not_extended(harness: Harness) -> None:
    with pytest.raises(EditError, match="M2 is no connector"):
        extend_edit(harness, "M2")


def test_free_places_of_a_face_are_filled_first(harness: Harness) -> None:
    face = harness.halves["X7"].face
    assert face is not None
    rows = (("1", None, "3"), ("4", "5", "6"))
    history = History(harness)
    history.apply(rewire_edit(harness, "W12", 1, OPEN))
    history.apply(change(harness, "halves", "X7", mates={}, face=replace(face, rows=rows), cavities={}))
    history.apply(extend_edit(harness, "X7")[0])
    assert harness.halves["X7"].face is not None
    assert harness.halves["X7"].face.rows == (("1", "7", "3"), ("4", "5", "6"))
