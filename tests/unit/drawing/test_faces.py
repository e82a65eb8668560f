"""A face shows which wire sits where."""

from collections.abc import Callable, Mapping

import pytest
from PySide6.QtGui import QImage

from harness_studio.base.geometry import Point
from harness_studio.drawing.faces import Filling, cell_boxes, comb, face
from harness_studio.drawing.strokes import Strokes, paint
from harness_studio.drawing.theme import light
from harness_studio.model.entities import Half
from harness_studio.model.values import Face
from harness_studio.placing.faces import face_shape

SHAPE = face_shape(Half("X7", face=Face("mating", (("1", "2", "3"), ("4", "5", None)), {}, "slab", "top")))
MIDDLE = Point(25, 25)


@pytest.fixture
def look(picture: Callable[..., QImage]) -> Callable[[Strokes], Callable[[float, float], str]]:
    """Return a function that draws strokes and returns what colour is at a place in mm."""

    def drawn(strokes: Strokes) -> Callable[[float, float], str]:
        def on(painter: object) -> None:
            painter.scale(8, 8)  # type: ignore[attr-defined]
            paint(painter, strokes, light())  # type: ignore[arg-type]

        image = picture(on, 400, 400)
        return lambda x, y: image.pixelColor(round(x * 8), round(y * 8)).name()

    return drawn


def at_cell(filled: Mapping[str, Filling], look: Callable[..., Callable[[float, float], str]], name: str,
            across: float = 0.0, down: float = 0.0) -> str:  # fmt: skip
    box = cell_boxes(SHAPE, MIDDLE)[name]
    return look(face(SHAPE, MIDDLE, filled))(
        box.centre.x_mm + across * box.width_mm / 2, box.centre.y_mm + down * box.height_mm / 2
    )


def name(code: str) -> str:
    return light().colour(code).name()


def test_cells_lie_in_their_rows() -> None:
    boxes = cell_boxes(SHAPE, MIDDLE)
    assert list(boxes) == ["1", "2", "3", "4", "5"]
    assert boxes["1"].top_mm == boxes["3"].top_mm < boxes["4"].top_mm
    assert boxes["1"].left_mm < boxes["2"].left_mm < boxes["3"].left_mm
    assert not any(a.meets(b) for a in boxes.values() for b in boxes.values() if a != b)


def test_a_wired_cavity_has_its_wires_colour(look: Callable[..., Callable[[float, float], str]]) -> None:
    filled = {"2": Filling(("BN",)), "3": Filling(("RD", "WH"))}
    assert at_cell(filled, look, "2") == name("BN")
    assert at_cell(filled, look, "3", -0.6, -0.6) == name("RD")
    assert at_cell(filled, look, "3", 0.75, -0.1) == name("WH")


def test_an_empty_cavity_is_hollow(look: Callable[..., Callable[[float, float], str]]) -> None:
    assert at_cell({}, look, "4") == name("paper")
    assert at_cell({}, look, "4", 0.5, 0.0) == name("paper")
    assert at_cell({"4": Filling(plug=True)}, look, "4", 0.5, 0.0) == name("paper")


def test_a_plug_crosses_its_cavity() -> None:
    plain = face(SHAPE, MIDDLE, {})
    plugged = face(SHAPE, MIDDLE, {"4": Filling(plug=True)})
    assert len(plugged.strokes) == len(plain.strokes) + 1


def test_a_wire_of_unknown_colour_is_not_an_empty_cavity(
    look: Callable[..., Callable[[float, float], str]],
) -> None:
    assert at_cell({"4": Filling(())}, look, "4", 0.5, 0.0) == name("hairline")


def test_a_chosen_cavity_has_an_accent_ring() -> None:
    lines = [s.line for s in face(SHAPE, MIDDLE, {"2": Filling(("BN",), ringed=True)}).strokes]
    assert lines.count("accent") == 1


def test_every_cavity_has_its_number_once() -> None:
    said = [text.text for text in face(SHAPE, MIDDLE, {"2": Filling(("BN",))}).texts]
    assert sorted(said) == ["1", "2", "3", "4", "5"]


def test_the_lock_is_a_bar_on_its_side(look: Callable[..., Callable[[float, float], str]]) -> None:
    bar = SHAPE.lock_bar
    assert bar is not None
    there = look(face(SHAPE, MIDDLE, {}))
    assert there(MIDDLE.x_mm, MIDDLE.y_mm + bar.top_mm + 0.5) == name("frame")


def test_a_comb_has_a_tooth_for_each_wire(look: Callable[..., Callable[[float, float], str]]) -> None:
    wires: list[tuple[str, ...]] = [("RD",), ("GN", "BK"), ()]
    teeth = [(Point(10, 10 + 4 * i), Point(16, 10 + 4 * i), codes) for i, codes in enumerate(wires)]
    at = look(comb(teeth))
    assert [at(13, 10 + 4 * i) for i in range(3)] == [name("RD"), name("GN"), name("hairline")]
    assert at(13, 12) == name("paper")
