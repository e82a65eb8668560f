"""Resistances from a microohm to a petaohm beside each other, and machines whose battery is cut off while they run."""

import math
from pathlib import Path
from typing import Any

import pytest

from harness_studio.electrics import results
from harness_studio.electrics.solve import solve
from harness_studio.network.expand import expand
from harness_studio.network.network import Overrides
from harness_studio.storage.project_file import read_project
from tests.support.builders import ladder
from tests.support.physics import assert_physics, solved
from tests.support.sketch import Sketch


@pytest.mark.parametrize("ohm", [1e9, 1e12, 1e15, 1e18])
@pytest.mark.parametrize("joint", ["SP1/W2", "E1.1/W2"])
def test_a_joint_of_almost_nothing_stands_between_one_of_much_and_an_open_one(joint: str, ohm: float) -> None:
    s = Sketch()
    s.battery()
    s.part("E1", "lamp", rated_v=12.0, rated_w=21.0)
    s.splice("SP1")
    s.wire("GB1.30", "SP1")
    names = s.harness.parts["E1"].terminals() or ()
    s.wire("SP1", f"E1.{names[0]}")
    s.wire(f"E1.{names[1]}", "GB1.31")
    harness = s.done()
    joint = joint.replace("E1.1", f"E1.{names[0]}")
    solution = solved(harness, None, Overrides().with_joint(joint, ohm))
    through = next(iter(dict(solution.parts())["E1"].terminals.values()))
    assert through == pytest.approx(12.65 / ohm, rel=1e-6, abs=1e-13)


@pytest.mark.parametrize("ohm", [1e12, 1e15])
def test_every_joint_of_a_ladder_may_be_of_any_resistance(ohm: float) -> None:
    harness = ladder(4)
    for joint in expand(harness).joints:
        network = expand(harness, None, Overrides().with_joint(joint, ohm))
        assert_physics(solve(network))


def at_the_battery(name: str, folder: Path) -> list[tuple[str, str, Overrides]]:
    harness = read_project(folder / f"{name}.yaml").harness
    found = []
    for mode in harness.modes:
        network = expand(harness, mode)
        if network.mode.engine in ("idling", "running"):
            ends = [w.id for w in harness.wires.values() if any(e.text.startswith("GB1.") for e in w.ends)]
            joints = [j for j in network.joints if j.rpartition("/")[2] in ends and j.startswith("GB1.")]
            found += [(name, mode, Overrides().with_joint(j, math.inf)) for j in joints]
    assert found
    return found


@pytest.mark.parametrize("name", ["first_harness", "estuary_pickup", "track_buggy", "trailer_wiring"])
def test_a_battery_cable_that_opens_while_the_engine_runs_has_a_solution(
    name: str, sample_projects_dir: Path
) -> None:
    """The machine carries what it can: its own amperes set how far the volts fall, or its regulator holds them."""
    harness = read_project(sample_projects_dir / f"{name}.yaml").harness
    for _, mode, overrides in at_the_battery(name, sample_projects_dir):
        solution = solve(expand(harness, mode, overrides))
        assert_physics(solution)
        assert not {"chatters"} & set(solution.states.values())


def test_every_solve_of_a_test_is_held_to_physics(monkeypatch: pytest.MonkeyPatch) -> None:
    """The guard of `tests/conftest.py` sees an element whose currents do not leave it."""
    true = results._element_currents

    def wrong(*given: Any) -> dict[str, dict[int, float]]:
        return {k: dict.fromkeys(v, 1.0) for k, v in true(*given).items()}

    monkeypatch.setattr(results, "_element_currents", wrong)
    with pytest.raises(AssertionError, match="Kirchhoff"):
        solve(expand(ladder(3)))
