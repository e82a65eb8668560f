"""Readings on both sides of where something turns, and that what was solved for one change is its own."""

import dataclasses
from pathlib import Path

import numpy as np
import pytest

from harness_studio.casebook.changes import GRID_OHM, OPEN_OHM, sites_of
from harness_studio.casebook.known import Known
from harness_studio.casebook.posterior import fine_grid
from harness_studio.casebook.predict import Solved, Wanted, first_order, refine, turned
from harness_studio.casebook.suspects import suspects
from harness_studio.casebook.turning import beside_turns, turns_after
from harness_studio.electrics.solve import solve
from harness_studio.model.cases import Case, Sighting
from harness_studio.network.expand import expand
from harness_studio.network.network import Overrides
from harness_studio.storage.project_file import read_project
from tests.support.vehicle import vehicle
from tests.support.worked_cases import read_off

SAMPLES = Path(__file__).resolve().parents[3] / "sample_projects"


def test_before_it_turns_a_change_grows_as_that_of_a_straight_circuit() -> None:
    """Thévenin: the change is A·R/(R + r) up to where it turns; then readings are straight in the logarithm of R."""
    _, _, steps = fine_grid()
    ohm = np.array(GRID_OHM)
    change = 3.0 * ohm / (ohm + 0.4)
    table = (5.0 + change)[None, :, None]
    table[0, 9:15, 0] = 1.0 + 0.1 * np.arange(9, 15)
    turns = np.zeros((1, len(ohm) - 1), dtype=bool)
    turns[0, 8] = True
    ((row, places, yet, since),) = beside_turns(table, np.array([5.0]), turns, steps)
    assert row == 0
    assert ((steps[places] > 8.0) & (steps[places] < 9.0)).all()
    between = ohm[8] * (ohm[9] / ohm[8]) ** (steps[places] - 8.0)
    assert yet[:, 0] == pytest.approx(5.0 + 3.0 * between / (between + 0.4))
    assert since[:, 0] == pytest.approx(1.0 + 0.1 * steps[places])


def test_what_turns_is_known_by_the_states_that_were_solved() -> None:
    """On the buggy some ohms at a fuse make what it feeds give up; the step to an open joint is none of the grid."""
    harness = read_project(SAMPLES / "track_buggy.yaml").harness
    seen = (Sighting("K2", "down", to_mode="on_track", strength="strong"),)
    found = suspects(harness, Case("c", sightings=seen))
    known, works = found.known, found.weighed.works
    first = np.unique(found.weighed.variant, return_index=True)[1]
    turns = turns_after(works, [known.solved["on_track"]], first)
    relay = next(n for n, g in enumerate(found.groups) if "F2" in g.members)
    assert not turns[:, -1].any()
    assert turns[found.weighed.variant[relay]].any()


@pytest.mark.parametrize("joint", ["GP4/W29", "F8.in/W2"])
def test_each_change_has_a_solution_of_its_own_whatever_was_read_before(joint: str) -> None:
    """Changes that look alike to the things seen differ at the next tips; the law is a full solution of each."""
    harness = read_project(SAMPLES / "track_buggy.yaml").harness
    seen = tuple(Sighting(on, "down", to_mode="on_track", strength="strong") for on in ("Y2", "K2"))
    bad = solve(expand(harness, "on_track", Overrides().with_joint(joint, OPEN_OHM)))
    case, known = Case("c", sightings=seen), Known(harness)
    for plus, minus in (("GB1.30", "X1.1"), ("W21@S2.1", "GB1.31"), ("GB1.30", "X9.1")):
        suspects(harness, case, known=known)
        case = dataclasses.replace(case, readings=(*case.readings, *read_off(bad, (plus, minus))))
    found = suspects(harness, case, known=known)
    group = next(n for n, g in enumerate(found.groups) if joint in g.members and g.fault == "series")
    read = [r.value or 0.0 for r in case.readings]
    assert found.predicted(group, -1) == pytest.approx(read, abs=0.1)


@pytest.mark.parametrize("mode", ["cranking", "braking", "running_lamps"])
def test_predictions_are_full_solutions_from_rest(mode: str) -> None:
    """The law is a solution that begins with everything released; a starter held in may never have pulled in.

    A quarter of a volt is left to what has no one state: a solenoid that chatters, a regulator between two.
    """
    harness = vehicle(5, 16)
    known = Known(harness)
    state = known.state(mode)
    groups = [g for g in known.groups([mode]) if g.fault == "series"][::9]
    sites, of_group = sites_of(state, groups)
    at, share = first_order(state, sites, np.arange(len(state.volts)))
    turning, _ = turned(state, sites, share)
    wanted = np.zeros(share.shape, dtype=bool)
    wanted[:, [7, 8, 9, 15]] = True
    refine(at, Wanted(wanted, turning, np.ones(len(turning), dtype=bool)), Solved())
    ends = np.unique([i for e in state.network.elements for i in e.terminals.values()])
    compared = 0
    for group, site in zip(groups, of_group.tolist(), strict=True):
        edge, number = int(sites.edge[site]), state.network.joints.get(group.joint)
        if edge < 0 or number is None:
            continue
        outside = state.edge_at[ends] != edge
        for step in (7, 8, 9, 15):
            more = state.network.branches.resistance_ohm.copy()
            more[number] += GRID_OHM[step]
            branches = dataclasses.replace(state.network.branches, resistance_ohm=more)
            real = solve(dataclasses.replace(state.network, branches=branches), warm=False)
            volts = state.at_points(at.volts[:, site, step][:, None], ends)[:, 0]
            off = np.abs(volts - np.nan_to_num(real.volts[ends]))[outside]
            assert off.max() < 0.25, f"{group.joint} + {GRID_OHM[step]:.3g} Ω"
            compared += 1
    assert compared >= 40


@pytest.mark.parametrize(
    ("joint", "becomes"), [("A2.30/W41", "unexcited"), ("S6.30:15", "unexcited"), ("G1.D+/W45", "regulating")]
)
def test_what_wakes_an_alternator_at_idle_is_solved_before_it_charges(joint: str, becomes: str) -> None:
    """Once it charges no current passes its lamp; with that way open from the start it never begins.

    A second wire of the same terminal, to the relay, wakes nothing.
    """
    harness = read_project(SAMPLES / "trailer_wiring.yaml").harness
    known = Known(harness)
    state = known.state("backing")
    assert state.waits["G1"].size
    groups = [g for g in known.groups(["backing"]) if joint in g.members and g.fault == "series"]
    sites, _ = sites_of(state, groups)
    at, share = first_order(state, sites, np.arange(len(state.volts)))
    turning, _ = turned(state, sites, share)
    wanted = np.zeros(share.shape, dtype=bool)
    wanted[:, -1] = True
    refine(at, Wanted(wanted, turning, np.ones(len(turning), dtype=bool)), Solved())
    real = solve(expand(harness, "backing", Overrides().with_joint(groups[0].joint, OPEN_OHM)))
    assert real.states["G1"] == becomes
    ends = np.array([state.network.index[p] for p in ("G1.B+", "GB1.30", "E9.1")], dtype=np.int64)
    volts = state.at_points(at.volts[:, 0, -1][:, None], ends)[:, 0]
    assert volts == pytest.approx(np.nan_to_num(real.volts[ends]), abs=0.1)
