"""What lies where on a page."""

from itertools import pairwise

import pytest

from harness_studio.base.geometry import Box, Point
from harness_studio.diagram.scene import NO_PAGE, Scene
from harness_studio.drawing.faces import cell_boxes
from harness_studio.drawing.symbols import face_of
from harness_studio.model.harness import Harness
from harness_studio.placing.homes import mated_groups


def middle(scene: Scene, thing: str) -> Point:
    box = scene.place_of(thing)
    assert box is not None
    return box.centre


@pytest.mark.parametrize("thing", ["M2", "E5", "P1", "GB1", "SP3"])
def test_a_click_in_the_middle_of_a_part_hits_it(scene: Scene, thing: str) -> None:
    hit = scene.hit(middle(scene, thing), 1.0)
    assert hit is not None
    assert (hit.kind, hit.id, hit.member) == ("symbol", thing, thing)


def test_a_fuse_is_hit_within_its_box(scene: Scene) -> None:
    hit = scene.hit(middle(scene, "F4"), 1.0)
    assert hit is not None
    assert (hit.id, hit.member) == ("A9", "F4")


def test_a_ring_is_hit_within_its_stack(scene: Scene) -> None:
    box = scene.symbols["GP2"].outlines["GP2/W40"]
    hit = scene.hit(box.centre, 1.0)
    assert hit is not None
    assert (hit.member, hit.point) == ("GP2", "GP2/W40")


def test_a_cavity_is_hit_within_its_face(scene: Scene) -> None:
    symbol = scene.symbols["X7"]
    shape, filled = face_of(
        scene.harness, symbol, scene.layout.at["X7"], mated_groups(scene.harness)["X7"], "X7"
    )
    place = cell_boxes(shape, symbol.outlines["X7"].centre)["3"]
    hit = scene.hit(place.centre, 1.0)
    assert hit is not None
    assert (hit.member, hit.point) == ("X7", "X7.3")
    assert filled["3"].codes == ("GN", "BK")
    assert "2" not in filled


def test_a_wire_is_hit_between_its_ends(scene: Scene) -> None:
    route = scene.layout.routes["W40"].points
    longest = max(
        pairwise(route),
        key=lambda ab: abs(ab[0].x_mm - ab[1].x_mm) + abs(ab[0].y_mm - ab[1].y_mm),
    )
    spot = Point((longest[0].x_mm + longest[1].x_mm) / 2, (longest[0].y_mm + longest[1].y_mm) / 2)
    hit = scene.hit(spot, 1.0)
    assert hit is not None
    assert (hit.kind, hit.id) == ("wire", "W40")


def test_empty_paper_is_nothing(scene: Scene) -> None:
    corner = Point(scene.extent.left_mm - 30, scene.extent.top_mm - 30)
    assert scene.hit(corner, 2.0) is None


def test_what_lies_in_a_rectangle(scene: Scene) -> None:
    everything = scene.within(scene.extent.grown(5))
    assert set(scene.symbols) <= everything
    assert set(scene.harness.wires) <= everything
    one = scene.within(scene.symbols["M2"].box.grown(1))
    assert "M2" in one
    assert "E5" not in one
    assert scene.within(Box(-500, -500, 10, 10)) == set()


def test_wires_of_a_symbol(scene: Scene) -> None:
    assert {"W31", "W40", "W41"} <= scene.wires_at(["GP2"])
    assert "W40" in scene.wires_at(["M2"])


def test_places(scene: Scene) -> None:
    assert scene.symbol_of("F4") == "A9"
    assert scene.symbol_of("X8") == "X7"
    assert scene.symbol_of("nothing") is None
    assert scene.place_of("nothing") is None
    wire = scene.place_of("W40")
    assert wire is not None
    assert wire.grown(0.1).contains(scene.layout.routes["W40"].points[0])


def test_only_what_can_be_seen_is_drawn(scene: Scene) -> None:
    near = scene.seen(scene.symbols["M2"].clear)
    assert "M2" in near
    assert len(near) < len(scene.symbols)
    assert set(scene.seen(scene.extent.grown(1))) == set(scene.symbols)


def test_strokes_are_made_once(scene: Scene) -> None:
    assert scene.strokes("M2") is scene.strokes("M2")


def test_no_page(harness: Harness) -> None:
    empty = Scene(harness, NO_PAGE)
    assert empty.empty
    assert empty.hit(Point(0, 0), 5) is None
    assert empty.seen(Box(0, 0, 10, 10)) == []
    assert empty.within(Box(0, 0, 10, 10)) == set()
