"""A connector's face in millimetres."""

import math

import pytest

from harness_studio.base.geometry import Box
from harness_studio.model.entities import Half
from harness_studio.model.values import Cavity, Face
from harness_studio.placing.faces import FaceShape, face_shape, natural, plain_grid, seen_from_behind


def half(face: Face | None, *names: str) -> Half:
    return Half("X1", face=face, cavities={n: Cavity() for n in names})


def boxes(shape: FaceShape) -> list[Box]:
    return [
        Box(c.at.x_mm - c.size_mm / 2, c.at.y_mm - c.size_mm / 2, c.size_mm, c.size_mm) for c in shape.cells
    ]


def test_rows_stand_below_each_other_and_the_middle_is_the_origin() -> None:
    shape = face_shape(half(Face("mating", (("1", "2", "3"), ("4", "5", "6")))))
    at = {c.name: c.at for c in shape.cells}
    assert list(at) == ["1", "2", "3", "4", "5", "6"]
    assert at["1"].x_mm == pytest.approx(-at["3"].x_mm) == at["4"].x_mm
    assert at["1"].y_mm == pytest.approx(-at["4"].y_mm)
    assert at["1"].y_mm < 0
    assert at["2"].x_mm == pytest.approx(0.0)


def test_a_place_without_cavity_stays_free_and_a_shorter_row_is_centred() -> None:
    shape = face_shape(half(Face("mating", (("1", None, "2"), ("3", "4")))))
    at = {c.name: c.at.x_mm for c in shape.cells}
    step = at["4"] - at["3"]
    assert at["2"] - at["1"] == pytest.approx(2 * step)
    assert at["3"] + at["4"] == pytest.approx(at["1"] + at["2"])


def test_free_positions_keep_their_shape_with_y_turned_downwards() -> None:
    spots = {"1": (0.0, 9.0), "2": (6.0, 6.0), "3": (-6.0, 6.0)}
    shape = face_shape(half(Face("wire entry", (), spots, "round")))
    at = {c.name: c.at for c in shape.cells}
    assert at["1"].y_mm < at["2"].y_mm == pytest.approx(at["3"].y_mm)
    ratio = math.dist((0, 9), (6, 6)) / math.dist((6, 6), (-6, 6))
    found = math.dist((at["1"].x_mm, at["1"].y_mm), (at["2"].x_mm, at["2"].y_mm)) / (
        at["2"].x_mm - at["3"].x_mm
    )
    assert found == pytest.approx(ratio)
    assert shape.shape == "round"
    assert shape.outline.width_mm == shape.outline.height_mm


@pytest.mark.parametrize("count", [1, 2, 3, 4, 9, 24, 48, 128])
def test_cells_never_overlap_and_lie_within_the_outline(count: int) -> None:
    shape = face_shape(half(None, *(str(n + 1) for n in range(count))))
    assert len(shape.cells) == count
    assert not shape.known
    rooms = boxes(shape)
    assert all(not a.meets(b) for i, a in enumerate(rooms) for b in rooms[i + 1 :])
    edge = shape.outline.grown(1e-9)
    assert all(edge.left_mm <= r.left_mm and r.right_mm <= edge.right_mm for r in rooms)
    assert all(edge.top_mm <= r.top_mm and r.bottom_mm <= edge.bottom_mm for r in rooms)


def test_round_outline_holds_the_corners_of_its_cells() -> None:
    spots = {str(i): (9 * math.cos(i), 9 * math.sin(i)) for i in range(7)}
    shape = face_shape(half(Face("mating", (), spots, "round")))
    radius = shape.outline.width_mm / 2
    corners = [(x, y) for r in boxes(shape) for x in (r.left_mm, r.right_mm) for y in (r.top_mm, r.bottom_mm)]
    assert all(math.hypot(x, y) <= radius for x, y in corners)


@pytest.mark.parametrize("lock", ["top", "bottom", "left", "right"])
def test_the_other_view_swaps_left_and_right_only(lock: str) -> None:
    face = Face("mating", (("1", "2", "3"), ("4", "5")), lock=lock)  # type: ignore[arg-type]
    shape = face_shape(half(face))
    other = seen_from_behind(shape)
    assert other.view == "wire entry"
    assert {c.name: (-c.at.x_mm, c.at.y_mm) for c in other.cells} == {
        c.name: (c.at.x_mm, c.at.y_mm) for c in shape.cells
    }
    assert other.lock == {"left": "right", "right": "left"}.get(lock, lock)
    assert seen_from_behind(other) == shape


def test_the_lock_bar_lies_just_outside_on_its_side() -> None:
    shape = face_shape(half(Face("mating", (("1", "2", "3", "4"),), lock="top")))
    assert shape.lock_bar is not None
    assert shape.lock_bar.bottom_mm == shape.outline.top_mm
    assert shape.extent.top_mm == shape.lock_bar.top_mm


def test_a_used_cavity_that_the_face_does_not_show_is_added_below() -> None:
    shape = face_shape(half(Face("mating", (("1", "2"),))), ["2", "9"])
    assert [c.name for c in shape.cells] == ["1", "2", "9"]
    at = {c.name: c.at.y_mm for c in shape.cells}
    assert at["9"] > at["1"]


def test_names_are_put_in_their_natural_order() -> None:
    names = ["10A", "2", "B1", "1", "010", "A2", "10"]
    assert sorted(names, key=natural) == ["1", "2", "010", "10", "10A", "A2", "B1"]
    assert plain_grid(["3", "1", "2"]) == (("1", "2", "3"),)
    assert [len(row) for row in plain_grid([str(n) for n in range(128)])] == [32, 32, 32, 32]


def test_a_half_of_which_nothing_is_known_still_has_an_outline() -> None:
    shape = face_shape(half(None))
    assert shape.cells == ()
    assert shape.outline.width_mm > 0


@pytest.mark.parametrize("far", [1e-300, 1e30, 1e200])
def test_positions_that_make_no_sense_give_a_plain_grid(far: float) -> None:
    spots = {"1": (0.0, 0.0), "2": (1.0, 0.0), "3": (0.0, far)}
    shape = face_shape(half(Face("mating", (), spots)))
    assert shape.outline.width_mm < 600
    assert shape.outline.height_mm < 600
    assert len(shape.cells) == 3
