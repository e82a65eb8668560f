"""Live values beside symbols: words are dropped where there is no room, and no text is cut or runs over another."""

import pytest

from harness_studio.base.geometry import Box
from harness_studio.diagram.picture import _saying
from harness_studio.diagram.reading_room import fitting
from harness_studio.drawing import texts


def written(window, zoom_steps=0):
    """Return what is written of each reading, and where, in device pixels."""
    diagram = window.diagram
    diagram.zoom_by(1.25**zoom_steps)
    at = diagram.camera.pixels(diagram.width(), diagram.height())
    found = {}
    for key, said in diagram.state.readings.items():
        place = _saying(diagram.scene.readings[key], said, "muted")
        short = fitting(place, said, diagram.scene.free_for_reading(key), at)
        px = texts.pixel_size(place, at.scale)
        if short:
            left, top, width, height = texts.extent_px(_saying(place, short, "muted"), px)
            found[key] = short, Box(at.x(place.x_mm) + left, at.y(place.y_mm) + top, width, height)
    return found, at


@pytest.mark.parametrize("size", [(1280, 800), (1440, 900)])
@pytest.mark.parametrize("zoom", [0, -2, 3])
def test_no_reading_runs_over_a_symbol_a_wire_or_the_edge(pickup, size, zoom):
    pickup.resize(*size)
    found, at = written(pickup, zoom)
    scene = pickup.diagram.scene
    for key, (_said, box) in found.items():
        assert box.right_mm <= at.width or box.left_mm > at.width, key
        here = at.point(box.left_mm + 1, box.top_mm + 3), at.point(box.right_mm - 1, box.bottom_mm - 3)
        crossed = scene.wires.stretches_in(here[0].x_mm, here[0].y_mm, here[1].x_mm, here[1].y_mm)
        assert crossed == 0, key
        for other, symbol in scene.symbols.items():
            if other != key and symbol.kind != "body":
                outline = at.rect(symbol.box)
                assert not outline.intersects(
                    type(outline)(box.left_mm, box.top_mm, box.width_mm, box.height_mm)
                ), (key, other)


def test_words_go_from_the_end(pickup):
    diagram = pickup.diagram
    at = diagram.camera.pixels(diagram.width(), diagram.height())
    place = diagram.scene.readings["E5"]
    said = "13.3 V · light 96 % · and more"
    px = round(texts.pixel_size(place, at.scale))
    for shown in (said, "13.3 V · light 96 %", "13.3 V", ""):
        room = texts.width_px(shown, px, place.weight) / at.scale + 0.01
        assert fitting(place, said, (0.0, room), at) == shown


def test_all_of_it_is_written_where_there_is_room(pickup):
    found, _ = written(pickup)
    said = pickup.diagram.state.readings
    assert found["E6"][0] == said["E6"]
    assert found["P1"][0] == said["P1"]
    assert found["M2"][0] == "13.5 V"  # a wire runs close by, so the amperes give way
