"""Pieces are copied as text, read back, and doubled for the other side."""

from dataclasses import replace

import pytest

from harness_studio.base.errors import EditError
from harness_studio.model.drawing.pieces import fitted, piece_page, put_down
from harness_studio.model.entities import Zone
from harness_studio.model.harness import Harness
from harness_studio.session.clipping import as_text, clip, from_text, other_side, swapped
from harness_studio.session.history import History
from harness_studio.session.regrouping import by_zone
from harness_studio.storage.project_file import parse, read_project, render


@pytest.fixture
def harness(sample_projects_dir: object) -> Harness:
    return read_project(f"{sample_projects_dir}/first_harness.yaml").harness


@pytest.mark.parametrize(
    ("text", "other"),
    [
        ("Rear lamp left", "Rear lamp right"), ("RIGHT", "LEFT"), ("bed_left", "bed_right"), ("LH door", "RH door"),
        ("Left and right", "Right and left"), ("leftover", "leftover"), ("offside wing", "nearside wing"), ("", ""),
    ],
)  # fmt: skip
def test_sides(text: str, other: str) -> None:
    assert swapped(text) == other
    assert swapped(other) == text


def test_what_a_piece_holds(harness: Harness) -> None:
    piece = clip(harness, harness.pages["rear"], {"A9", "S1"})
    assert set(piece.parts) == {"A9", "F5", "F1", "F4", "F2", "S1"}
    assert set(piece.wires) == {"W10"}
    assert set(piece.zones) == {"bay", "cab"}
    assert set(piece.runs) == {"bay_cab"}
    assert piece.modes == {}
    assert piece.joints == {}
    assert set(piece_page(piece).items) == {"A9", "S1"}
    assert parse(as_text(piece)).harness.tables == piece.tables
    assert from_text(as_text(piece)).tables == piece.tables


def test_a_wire_alone_keeps_open_ends(harness: Harness) -> None:
    piece = clip(harness, harness.pages["rear"], {"W40"})
    assert [str(e) for e in piece.wires["W40"].ends] == ["unknown", "unknown"]
    assert piece.wires["W40"].colour == "BN/WH"


def test_nothing_to_take(harness: Harness) -> None:
    with pytest.raises(EditError, match="nothing that can be copied is selected"):
        clip(harness, harness.pages["rear"], {"gone"})


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("", "the clipboard holds no piece of a harness: the file is empty"),
        ("W1\tred", "the clipboard holds no piece of a harness:"),
        ("harness_studio: 1\nzones: {a: {}}\n", "in which there is nothing to put down"),
        ("harness_studio: 99\n", "the clipboard holds no piece of a harness: the file is of version 99"),
    ],
)
def test_what_is_no_piece(text: str, why: str) -> None:
    with pytest.raises(EditError) as error:
        from_text(text)
    assert why in str(error.value)
    assert len(str(error.value).splitlines()) == 1


def test_a_whole_project_can_be_pasted_and_every_piece_of_the_samples(harness: Harness) -> None:
    piece = from_text(render(harness))
    target = Harness()
    history = History(target)
    history.apply(put_down(target, None, fitted(target, piece), (0.0, 0.0), "paste"))
    history.apply(put_down(target, None, fitted(target, from_text(render(harness))), (300.0, 0.0), "paste"))
    assert len(target.wires) == 2 * len(harness.wires)
    assert len(target.bodies) == 2 * len(harness.bodies)
    assert parse(render(target)).harness.tables == target.tables
    while history.can_undo:
        history.undo()
    assert target.tables == Harness().tables


def test_the_other_side_has_its_zone(harness: Harness) -> None:
    harness.zones["corner_left"] = Zone("corner_left", "Left corner", ambient_c=30)
    harness.parts["E5"] = replace(harness.parts["E5"], zone="corner_left")
    made = other_side(harness, clip(harness, harness.pages["rear"], {"E5"}, joined=True))
    assert made.parts["E5"].zone == "corner_right"
    assert made.zones["corner_right"].title == "Right corner"
    harness.zones["other"] = Zone("other", "Right corner")
    harness.zones["corner"] = Zone("corner", "Left corner")
    harness.parts["E5"] = replace(harness.parts["E5"], zone="corner")
    made = other_side(harness, clip(harness, harness.pages["rear"], {"E5"}, joined=True))
    assert made.parts["E5"].zone == "other"


def test_by_zone_moves_only_what_is_named(harness: Harness) -> None:
    page = harness.pages["rear"]
    items = by_zone(harness, page, ["E5", "M2", "S1"])
    assert {k for k in items if items[k] != page.items[k]} <= {"E5", "M2", "S1"}
