"""Numbers of an overlay: none over a symbol, its title or another one; kept while nothing changes."""

from itertools import combinations

import pytest

from harness_studio.diagram.camera import fitted
from harness_studio.diagram.overlay_numbers import NUMBER_PX, _symbols, _titles, numbers
from harness_studio.diagram.overlays import overlay_of
from harness_studio.diagram.scene import Scene
from harness_studio.drawing import texts
from harness_studio.electrics.solve import solve
from harness_studio.network.expand import expand
from harness_studio.storage.project_file import read_project

NOWHERE = (-1.0, -1.0, -1.0, -1.0)
"""The edges of a legend that covers nothing."""


@pytest.fixture(params=["first_harness", "track_buggy"])
def drawn(request, qapp, sample_projects_dir):
    harness = read_project(sample_projects_dir / f"{request.param}.yaml").harness
    scene = Scene(harness, next(iter(harness.pages.values())))
    return scene, solve(expand(harness, next(iter(harness.modes))))


def box(number):
    left, top, width, height = texts.extent_px(number.text, NUMBER_PX)
    return number.x + left, number.y + top, number.x + left + width, number.y + top + height


def meet(a, b):
    return a[0] < b[2] and b[0] < a[2] and a[1] < b[3] and b[1] < a[3]


@pytest.mark.parametrize("kind", ["current", "lost", "warmth"])
@pytest.mark.parametrize("nearer", [1.0, 1.6])
def test_none_stands_over_a_symbol_a_title_or_another(drawn, kind, nearer):
    scene, solution = drawn
    at = fitted(scene.extent, 1100, 760).zoomed(nearer, 550, 380).pixels(1100, 760)
    found = numbers(scene, at, overlay_of(kind, scene, solution), *split(scene, at), None, NOWHERE)
    assert found.numbers
    boxes = [box(n) for n in found.numbers]
    taken = [*_symbols(scene, at).tolist(), *_titles(scene, at).tolist()]
    for first, second in combinations(boxes, 2):
        assert not meet(first, second)
    for mine in boxes:
        assert not any(meet(mine, other) for other in taken)


def split(scene, at):
    x0, y0, x1, y1, wire = scene.wires.stretches_px(at)
    return (x0, y0, x1, y1), wire


def test_they_are_kept_while_nothing_changes(drawn):
    scene, solution = drawn
    at = fitted(scene.extent, 1100, 760).pixels(1100, 760)
    overlay = overlay_of("current", scene, solution)
    first = numbers(scene, at, overlay, *split(scene, at), None, NOWHERE)
    assert numbers(scene, at, overlay, *split(scene, at), first, NOWHERE) is first
    other = overlay_of("current", scene, solution)
    assert numbers(scene, at, other, *split(scene, at), first, NOWHERE) is not first


def test_they_keep_off_the_legend(drawn):
    scene, solution = drawn
    at = fitted(scene.extent, 1100, 760).zoomed(1.6, 550, 380).pixels(1100, 760)
    overlay = overlay_of("lost", scene, solution)
    first = numbers(scene, at, overlay, *split(scene, at), None, NOWHERE).numbers[0]
    legend = (first.x - 60, first.y - 25, first.x + 60, first.y + 25)
    found = numbers(scene, at, overlay, *split(scene, at), None, legend)
    assert not any(meet(box(one), legend) for one in found.numbers)


def test_a_wire_beyond_the_edge_of_the_view_has_none(drawn):
    scene, solution = drawn
    whole = fitted(scene.extent, 1100, 760)
    at = whole.zoomed(3.0, 0, 0).pixels(1100, 760)
    x0, y0, x1, y1, wire = scene.wires.stretches_px(at)
    assert 0 < len(wire) < len(scene.wires.stretches_px(whole.pixels(1100, 760))[4])
    for number in numbers(
        scene, at, overlay_of("current", scene, solution), *split(scene, at), None, NOWHERE
    ).numbers:
        assert 0 < number.x < 1100
        assert 0 < number.y < 760
    for start, end, most in ((x0, x1, 1100), (y0, y1, 760)):
        assert not ((start == end) & ((start == 0) | (start == most))).any()
