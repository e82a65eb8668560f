"""The first sample project: it opens, solves and saves, and holds what a first look at the program needs."""

from collections import defaultdict
from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest

from harness_studio.base.ids import split_point
from harness_studio.electrics.shares import Shares, shares
from harness_studio.electrics.solution import Solution
from harness_studio.electrics.solve import solve
from harness_studio.model.harness import Harness
from harness_studio.network.expand import expand
from harness_studio.standards import wires as sizes
from harness_studio.storage.project_file import read_project, render

MODES = ("braking", "pump_and_lamps", "key_on")
LOADS = ("M2", "E5/stop", "E6/stop", "B1")


@pytest.fixture(scope="module")
def file(sample_projects_dir: Path) -> Path:
    return sample_projects_dir / "first_harness.yaml"


@pytest.fixture(scope="module")
def harness(file: Path) -> Harness:
    return read_project(file).harness


def solved(harness: Harness, mode: str) -> Solution:
    return solve(expand(harness, mode))


def shared(harness: Harness, joint: str, mode: str = "braking") -> Shares:
    solution = solved(harness, mode)
    return shares(solution.network, solution, joint)


def share(harness: Harness, joint: str) -> dict[str, float]:
    return {row.element: row.share for row in shared(harness, joint).rows if row.element}


def test_the_file_says_first_that_everything_in_it_is_invented(file: Path) -> None:
    head = file.read_text(encoding="utf-8").partition("harness_studio:")[0]
    assert head.startswith("#")
    assert "invented" in head


def test_saving_it_unchanged_changes_nothing(file: Path) -> None:
    opened = read_project(file)
    assert render(opened.harness, opened) == file.read_text(encoding="utf-8")


def test_it_is_small_and_holds_one_of_everything(harness: Harness) -> None:
    kinds = [part.kind for part in harness.parts.values()]
    assert 12 <= len(harness.wires) <= 20
    assert {"battery", "alternator", "switch", "fuse", "gauge", "sender", "motor"} <= set(kinds)
    assert kinds.count("lamp") == 2
    assert set(harness.bodies) == {"shell", "engine"}
    assert harness.splices
    assert harness.zones
    assert harness.breakouts
    assert harness.runs
    assert harness.tables["annotations"]
    assert tuple(harness.modes) == MODES


def test_nothing_is_half_known(harness: Harness) -> None:
    for wire in harness.wires.values():
        assert wire.area_mm2, wire.id
        assert wire.colour, wire.id
        assert wire.insulation, wire.id
        assert all(end.point for end in wire.ends), wire.id
        assert wire.length_mm or (wire.runs and wire.tails_mm), wire.id


def test_mated_faces_mirror_each_other(harness: Harness) -> None:
    # Two mating faces are seen from opposite sides: each row of one reads backwards on the other.
    for half in harness.halves.values():
        for other in half.mates:
            mate = harness.halves[other]
            assert half.face is not None
            assert mate.face is not None
            assert mate.face.rows == tuple(row[::-1] for row in half.face.rows)
            assert {half.gender, mate.gender} == {"pin", "socket"}
            assert half.face.view == mate.face.view == "mating"
            used = {split_point(e.text)[1] for w in harness.wires.values() for e in w.ends
                    if e.point and split_point(e.text)[0] == half.id}  # fmt: skip
            plugged = {name for name, cavity in half.cavities.items() if cavity.plug == "fitted"}
            assert used | plugged == set(half.face.names())
            assert not used & plugged


def test_a_wire_runs_from_its_one_end_to_its_other(harness: Harness) -> None:
    # Runs that follow each other meet at a breakout, and the first and last lie where the wire's ends are.
    for wire in harness.wires.values():
        ends = [set(harness.runs[run].ends) for run in wire.runs]
        for here, there in pairwise(ends):
            assert here & there, wire.id


@pytest.mark.parametrize("mode", MODES)
def test_it_solves_and_currents_and_power_balance(harness: Harness, mode: str) -> None:
    solution = solved(harness, mode)
    assert solution.unsolved == ()
    into = np.zeros(solution.network.size)
    branches = solution.network.branches
    np.add.at(into, branches.a, -solution.amperes)
    np.add.at(into, branches.b, solution.amperes)
    watts = 0.0
    for element in solution.elements:
        for point, amperes in zip(element.points, element.amperes, strict=True):
            into[point] -= amperes
            watts += amperes * float(solution.volts[point])
    # Kirchhoff's current law at every point, and power in equals power out (Tellegen).
    assert np.abs(into).max() < 1e-9
    across = solution.volts[branches.a] - solution.volts[branches.b]
    assert watts + float(across @ solution.amperes) == pytest.approx(0.0, abs=1e-9)


def test_loads_draw_what_such_loads_draw(harness: Harness) -> None:
    """Amperes of typical 12 V loads: trade figures, seen on a supplier's page."""
    parts = {
        part: max(abs(i) for i in found.terminals.values())
        for part, found in solved(harness, "braking").parts()
    }
    assert 4.0 <= parts["M2"] <= 8.0  # in-tank pump while running
    assert 3.5 <= parts["E5"] + parts["E6"] <= 4.0  # two stop lamps


def test_fuses_stand_above_their_load_and_below_their_wires(harness: Harness) -> None:
    """A fuse of at least 1.25 times the load (trade figure, seen on a supplier's page), below what its wires stand.

    Below: 8 A for each mm² of thin copper (common practice, no source).
    """
    solution = solved(harness, "braking")
    fed: dict[str, set[str]] = defaultdict(set)
    for wire in harness.wires.values():
        fed[wire.circuit or ""].add(wire.id)
    for fuse, circuit in (("F2", "Fuel gauge"), ("F4", "Fuel pump"), ("F5", "Stop lamps")):
        rated_a = harness.parts[fuse].ratings.rated_a
        assert rated_a >= 1.25 * abs(solution.joint(fuse).amperes)
        for wire in fed[circuit]:
            area_mm2 = harness.wires[wire].area_mm2
            assert area_mm2 is not None
            assert rated_a <= 8.0 * area_mm2


def test_the_shared_stud_carries_a_part_of_three_circuits(harness: Harness) -> None:
    left = shared(harness, "GP2")
    sharing = [row for row in left.rows if row.element in LOADS]
    assert {row.circuit for row in sharing} == {"Fuel pump", "Stop lamps", "Fuel gauge"}
    assert all(0.05 < row.share < 0.95 and row.way in ("main", "some") for row in sharing)
    right = share(harness, "GP5")
    for row in sharing:
        assert row.element is not None
        assert row.share + right[row.element] == pytest.approx(1.0, abs=1e-9)


def test_the_pumps_share_follows_from_the_resistances_of_its_two_ways(harness: Harness) -> None:
    """The current divider, with 13.3 mΩ/m for 1.5 mm² of stranded copper at 20 °C (IEC 60228, class 5)."""
    stud = 45.0 + 0.6
    joints = sum(
        solved(harness, "braking").joint(j).ohm * 1e3
        for j in ("GP2/W31", "W31@GP2", "SP3/W31", "SP3/W33", "W33@GP5", "GP5/W33", "GP5")
    )
    length_m = (320 + 1500 + 220 + 120 + 60) / 1000
    other = joints + 13.3 * length_m + 0.6
    assert joints < 2.0  # clean joints are a small part of it
    assert share(harness, "GP2")["M2"] == pytest.approx(other / (stud + other), rel=0.01)


def test_the_good_ground_carries_the_battery_and_nothing_else(harness: Harness) -> None:
    rows = [row for row in shared(harness, "GP1", "braking").rows if abs(row.share) > 0.5]
    assert {row.part for row in rows} == {"GB1"}


def test_the_alternator_is_the_sink_while_it_runs_and_the_battery_when_it_does_not(harness: Harness) -> None:
    assert shared(harness, "GP2", "braking").sink == "G1.B-"
    assert shared(harness, "GP2", "pump_and_lamps").sink == "GB1.31"
    assert harness.parts["G1"].mount is not None
    assert harness.parts["G1"].mount.place.startswith("engine.")


def test_every_wire_size_is_one_that_is_sold(harness: Harness) -> None:
    """Nominal cross-sections of ISO 6722-1."""
    sold = {0.5, 0.75, 1.0, 1.5, 2.0, 2.5, 3.0, 4.0, 5.0, 6.0, 8.0, 10.0, 12.0, 16.0, 20.0, 25.0, 35.0, 50.0}
    assert {wire.area_mm2 for wire in harness.wires.values()} <= sold
    assert all(sizes.resistance_per_m_ohm(area).value > 0 for area in sold)


def test_everything_that_is_drawn_by_itself_has_its_place_on_the_page(harness: Harness) -> None:
    (page,) = harness.pages.values()
    held = {held for part in harness.parts.values() if part.kind == "box" for held in part.ratings.holds}
    mates = {other for half in harness.halves.values() for other in half.mates}
    drawn = (
        {*harness.parts, *harness.halves, *harness.splices, *harness.grounds, *harness.bodies} - held - mates
    )
    assert set(page.items) == drawn
    for key, at in page.items.items():
        assert 0 < at.x_mm < 420, key
        assert 0 < at.y_mm < 297, key
