"""What comes to the front for a joint, and how it is labelled."""

from pathlib import Path

import pytest

from harness_studio.diagram.focus import LEAST_PX, MOST_PX, focus_on, width_px
from harness_studio.diagram.readings import readings
from harness_studio.diagram.scene import Scene
from harness_studio.electrics.shares import shares
from harness_studio.electrics.solve import solve
from harness_studio.network.expand import expand
from harness_studio.storage.project_file import read_project


@pytest.fixture
def solved(scene: Scene) -> tuple:  # type: ignore[type-arg]
    network = expand(scene.harness, None)
    return network, solve(network)


def test_a_shared_stud(scene: Scene, solved: tuple) -> None:  # type: ignore[type-arg]
    focus = focus_on(scene, shares(*solved, "GP2"))
    assert focus.thing == "GP2"
    assert {"W31", "W40", "W41"} <= set(focus.wires)
    assert {"GP2", "M2", "E5", "E6", "P1", "SP3", "shell"} <= focus.symbols
    assert "E1" not in focus.symbols  # the head lamp has a ground of its own
    assert "X8.3" in focus.ringed
    assert "X7.5" in focus.ringed
    assert "%" in focus.notes["M2"]
    assert " A" in focus.notes["M2"]
    (said,) = focus.said
    assert said.text.startswith("rise ")


def test_the_most_current_is_the_broadest_line(scene: Scene, solved: tuple) -> None:  # type: ignore[type-arg]
    found = shares(*solved, "GP2")
    focus = focus_on(scene, found)
    most = max(found.carriers, key=lambda w: abs(found.carriers[w]))
    assert focus.wires[most] == pytest.approx(MOST_PX)
    assert all(LEAST_PX <= width <= MOST_PX for width in focus.wires.values())


def test_widths() -> None:
    assert width_px(0.0, 10.0) == LEAST_PX
    assert width_px(10.0, 10.0) == MOST_PX
    assert LEAST_PX < width_px(0.1, 10.0) < width_px(5.0, 10.0) < MOST_PX
    assert width_px(0.0, 0.0) == 3.0  # no loads, no amperes: all alike


def test_readings_stand_with_their_parts(scene: Scene, solved: tuple) -> None:  # type: ignore[type-arg]
    found = readings(scene, solved[1])
    assert set(found) <= set(scene.readings)
    assert found["M2"].endswith(" A")
    assert " V · " in found["M2"]


def test_the_gauge_of_a_sharing_sender_is_in_front_though_it_returns_elsewhere(
    sample_projects_dir: Path,
) -> None:
    harness = read_project(sample_projects_dir / "tutorial" / "4_checked.yaml").harness
    network = expand(harness, "lamps_on")
    focus = focus_on(Scene(harness, harness.pages["all"]), shares(network, solve(network), "GP2"))
    assert {"B1", "P1", "E1", "E2"} <= focus.symbols
    assert focus.readers == {"P1"}
    assert "P1" not in focus.notes
    other = focus_on(Scene(harness, harness.pages["all"]), shares(network, solve(network), "X1.1"))
    assert "P1" not in other.symbols  # only the lamps pass there
