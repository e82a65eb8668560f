"""The track buggy: the cut-off stops the engine, and a strap on powder coat sends current through the control unit.

Ranges were written before the first run: trade figures seen on a supplier's page, workshop practice (trade articles).
"""

from dataclasses import replace

import pytest

from harness_studio.electrics.readings import Reading
from harness_studio.electrics.shares import shares
from harness_studio.electrics.sneak import sneak_paths
from harness_studio.electrics.solution import Solution
from harness_studio.electrics.solve import solve
from harness_studio.model.harness import Harness
from harness_studio.model.values import End
from harness_studio.network.expand import expand
from harness_studio.network.network import Overrides
from tests.support.told import amperes, value, volts

SAMPLE = "track_buggy"


def test_it_is_a_small_race_harness(harness: Harness) -> None:
    assert 55 <= len(harness.wires) <= 80
    assert set(harness.bodies) == {"frame", "engine", "panel"}
    shielded = [m for m in harness.multicores.values() if m.shield and m.twisted]
    assert len(shielded) == 2
    for multicore in shielded:  # each screen is on one end only
        assert multicore.shield is not None
        assert [e.what for e in harness.wires[multicore.shield].ends] == ["point", "cut"]
    does = {t.does for t in harness.parts["A1"].ratings.terminals.values()}
    assert {"ground", "sensor_ground", "supply", "low_side", "sensor_input"} <= does


@pytest.mark.parametrize(
    ("mode", "part", "low", "high"),
    [
        ("on_track", "M2", 4.0, 8.0),  # injection pump
        ("braking_hot", "M3", 10.0, 30.0),  # electric radiator fan (from memory)
        ("cranking", "M1", 75.0, 300.0),
        ("on_track", "K1", 0.1, 0.2),  # a relay's coil (from memory)
        ("on_track", "T1", 1.5, 3.5),  # ignition
    ],
)
def test_loads_draw_what_such_loads_draw(
    solved: dict[str, Solution], mode: str, part: str, low: float, high: float
) -> None:
    assert low <= amperes(solved[mode], part) <= high


def test_it_charges_and_cranks(solved: dict[str, Solution], read: dict[str, dict[str, Reading]]) -> None:
    for mode in ("on_track", "braking_hot"):
        assert 13.5 <= volts(solved[mode], "GB1.30", "GB1.31") <= 14.5
        assert amperes(solved[mode], "G1") <= 0.8 * 45.0
    assert volts(solved["pit"], "GB1.30", "GB1.31") >= 13.0
    assert 9.5 <= volts(solved["cranking"], "GB1.30", "GB1.31") <= 10.5
    assert volts(solved["cranking"], "GB1.30", "M1.30") <= 0.5
    assert 95.0 <= value(read["braking_hot"], "E1 light") <= 110.0
    assert 95.0 <= value(read["braking_hot"], "E2 light") <= 110.0


def test_the_cut_off_stops_the_engine_though_the_alternator_turns(solved: dict[str, Solution]) -> None:
    solution = solved["cut_off"]
    assert solution.network.mode.engine == "running"
    assert volts(solution, "G1.B+", "G1.B-") > 13.0
    assert solution.states["A1/IGN"] == "cut out"
    for part in ("T1", "T2", "Y1", "Y2", "M2"):
        assert amperes(solution, part) < 1e-6, part
    assert abs(dict(solution.parts())["GB1"].terminals["GB1.30"]) < 1e-6
    assert amperes(solution, "R1") > 3.0  # what brings the alternator down


def test_without_its_second_contact_the_cut_off_would_not(harness: Harness) -> None:
    """Bridged as many a harness is wired: the ignition feed comes straight from its fuse."""
    before = harness.wires["W13"]
    harness.wires["W13"] = replace(before, ends=(End("point", "F1.out"), End("point", "Q1.Z2")))
    try:
        solution = solve(expand(harness, "cut_off"))
    finally:
        harness.wires["W13"] = before
    assert solution.states["K1"] == "pulled in"
    assert amperes(solution, "T1") > 1.0


def test_nothing_sneaks(solved: dict[str, Solution]) -> None:
    for solution in solved.values():
        assert sneak_paths(solution.network, solution) == []


@pytest.mark.parametrize(
    ("joint", "elements"),
    [
        ("GP1", ("M3", "M2", "E1", "E2", "A1/IGL")),
        ("W4", ("M3", "M2", "E1")),
        ("W5", ("M3", "M2", "E1", "A1/IGL")),
        ("W26", ("M3", "M2", "A1/IGL", "A1/IGN")),
    ],
)
def test_returns_part_between_several_ways(
    solved: dict[str, Solution], joint: str, elements: tuple[str, ...]
) -> None:
    solution = solved["braking_hot"]
    found = {row.element: row for row in shares(solution.network, solution, joint).rows}
    for element in elements:
        assert 0.05 < abs(found[element].share) < 0.95, element


def test_the_strap_sends_starter_current_through_the_control_unit(
    harness: Harness, solved: dict[str, Solution]
) -> None:
    """The weakness: the case wire of the control unit becomes a part of the starter's return."""
    through_case = abs(dict(solved["cranking"].wires())["W26"].amperes)
    assert through_case > 5.0
    cleaned = solve(expand(harness, "cranking", Overrides().with_joint("frame.rear/W4", 0.0002)))
    assert abs(dict(cleaned.wires())["W26"].amperes) < 0.65 * through_case
    assert abs(dict(cleaned.wires())["W4"].amperes) > 3.0 * abs(
        dict(solved["cranking"].wires())["W4"].amperes
    )


def test_sensors_are_read_against_their_own_ground(read: dict[str, dict[str, Reading]]) -> None:
    assert value(read["on_track"], "A1/ECT measured") == pytest.approx(92.0, abs=0.5)
    assert value(read["braking_hot"], "A1/ECT measured") == pytest.approx(101.0, abs=0.5)
    assert value(read["on_track"], "A1/OIL measured") == pytest.approx(130.0, abs=2.0)
