"""A wire's id stands beside it, near both ends, and covers nothing."""

from itertools import pairwise

from harness_studio.base.geometry import Box, Point
from harness_studio.diagram.scene import Scene
from harness_studio.diagram.wire_labels import ONCE_BELOW_MM, SIZE_MM, wire_labels
from harness_studio.drawing.strokes import Text
from harness_studio.placing.lettering import width_mm
from harness_studio.placing.symbols import Route


def room(text: Text) -> Box:
    width = width_mm(text.text, SIZE_MM)
    left = {"left": 0.0, "middle": -width / 2, "right": -width}[text.align]
    return Box(text.x_mm + left, text.y_mm - SIZE_MM / 2, width, SIZE_MM)


def route(wire: str, *points: tuple[float, float]) -> Route:
    return Route(wire, tuple(Point(*p) for p in points))


def test_no_label_covers_a_wire_a_symbol_or_another_label(scene: Scene) -> None:
    labels = scene.layout.labels
    assert labels
    boxes = [room(text) for _, text in labels]
    for number, box in enumerate(boxes):
        assert not any(box.meets(other) for other in boxes[number + 1 :])
        assert not any(box.meets(symbol.box) for symbol in scene.symbols.values())
        for way in scene.layout.routes.values():
            for a, b in pairwise(way.points):
                stretch = Box(
                    min(a.x_mm, b.x_mm), min(a.y_mm, b.y_mm), abs(a.x_mm - b.x_mm), abs(a.y_mm - b.y_mm)
                )
                assert not box.meets(stretch.grown(0.01)), way.wire


def test_most_wires_are_labelled(scene: Scene) -> None:
    labelled = {wire for wire, _ in scene.layout.labels}
    assert len(labelled) >= 0.7 * len(scene.harness.wires)


def test_a_long_wire_has_one_at_each_end_and_a_short_one_only_one() -> None:
    long = ONCE_BELOW_MM * 3
    ways = {"W1": route("W1", (0, 0), (long, 0)), "W2": route("W2", (0, 50), (ONCE_BELOW_MM - 10, 50))}
    labels = wire_labels(ways, (), {})
    assert [wire for wire, _ in labels] == ["W1", "W1", "W2"]
    first, second = (text.x_mm for wire, text in labels if wire == "W1")
    assert first < 20
    assert second > long - 20


def test_beside_an_upright_wire() -> None:
    ((_, text),) = wire_labels({"W1": route("W1", (10, 0), (10, 60))}, (), {"W1": 2.0})
    assert text.align == "left"
    assert text.x_mm == 12.0  # half its width and the gap


def test_it_looks_for_another_place() -> None:
    ways = {"W1": route("W1", (0, 0), (60, 0)), "W2": route("W2", (7, -30), (7, 30))}
    labels = dict(wire_labels(ways, (), {}))
    assert not room(labels["W1"]).grown(0.01).contains(Point(7, labels["W1"].y_mm))


def test_without_a_free_place_there_is_none() -> None:
    ways = {f"W{i}": route(f"W{i}", (0, i * 2.0), (60, i * 2.0)) for i in range(9)}
    inner = {wire for wire, _ in wire_labels(ways, (), {})} - {"W0", "W8"}
    assert inner == set()


def test_links_have_no_labels() -> None:
    bond = Route("throttle_cable", (Point(0, 0), Point(80, 0)), "bond")
    assert wire_labels({"throttle_cable": bond}, (), {}) == []
