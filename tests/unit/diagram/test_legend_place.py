"""The legend covers nothing that is drawn while there is room anywhere along the edges."""

from dataclasses import replace

import pytest

from harness_studio.base.geometry import Point
from harness_studio.diagram.camera import fitted
from harness_studio.diagram.legend_place import ALONG, ASIDE_PX, BELOW_PX, _in_mm, covered, legend_place
from harness_studio.diagram.scene import NO_PAGE, Scene
from harness_studio.model.harness import Harness
from harness_studio.storage.project_file import read_project

SIZE = 300.0, 58.0


@pytest.mark.parametrize("name", ["first_harness", "estuary_pickup", "track_buggy"])
@pytest.mark.parametrize("view", [(1080, 720), (1440, 900), (760, 560)])
def test_it_stands_where_least_is_covered(qapp, sample_projects_dir, name, view):
    harness = read_project(sample_projects_dir / f"{name}.yaml").harness
    scene = Scene(harness, next(iter(harness.pages.values())))
    camera = fitted(scene.extent, *view)
    for nearer in (1.0, 2.0, 4.0):
        at = camera.zoomed(nearer, view[0] / 2, view[1] / 2).pixels(*view)
        left, top = legend_place(scene, at, *SIZE)
        assert 0 <= left <= view[0] - SIZE[0]
        assert 0 <= top <= view[1] - SIZE[1]
        cost = covered(scene, _in_mm(at, (left, top), *SIZE))
        for part in ALONG:  # nowhere along the lower and the upper edge less is covered
            for edge in (view[1] - SIZE[1] - BELOW_PX, BELOW_PX):
                x = ASIDE_PX + part * (view[0] - SIZE[0] - 2 * ASIDE_PX)
                assert cost <= covered(scene, _in_mm(at, (x, edge), *SIZE)) + 1e-9


def test_a_bar_below_pushes_it_elsewhere(qapp, scene):
    """With a body's bar along the lower edge it stands along another one."""
    bar = scene.place_of(next(iter(scene.harness.bodies)))
    at = fitted(scene.extent, 900, 600).pixels(900, 600)
    shift = (600 - BELOW_PX - 20) - at.y(bar.centre.y_mm)
    at = replace(at, dy=at.dy + round(shift))
    left, top = legend_place(scene, at, *SIZE)
    assert top + SIZE[1] < at.y(bar.top_mm) or left + SIZE[0] < at.x(bar.left_mm) or left > at.x(bar.right_mm)


def test_an_empty_page_has_it_lower_left_and_it_stays(qapp):
    scene = Scene(Harness(), NO_PAGE)
    at = fitted(scene.extent, 900, 600).centred(Point(0, 0), 900, 600).pixels(900, 600)
    assert legend_place(scene, at, *SIZE) == (ASIDE_PX, 600 - SIZE[1] - BELOW_PX)
    assert scene.legend_spot is not None
    assert legend_place(scene, at, *SIZE) is scene.legend_spot[1]
