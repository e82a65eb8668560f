"""What hypotheses do to points: against a full solution of the network with the joint dialled."""

import numpy as np
import pytest

from harness_studio.casebook.access import permitted
from harness_studio.casebook.changes import GRID_OHM, sites_of
from harness_studio.casebook.groups import Group, suspect_groups
from harness_studio.casebook.predict import Solved, Wanted, first_order, refine, turned
from harness_studio.casebook.probes import Probe, clean_value, own_side, rows_of, values
from harness_studio.casebook.state import State, state_of, with_sources
from harness_studio.electrics.lawset import FULL
from harness_studio.electrics.solve import solve
from harness_studio.electrics.sweep import prepare
from harness_studio.network.expand import expand
from harness_studio.network.network import Overrides
from tests.support.builders import shared_stud


def cold_state() -> State:
    network = with_sources(expand(shared_stud(3)))
    return state_of(network, prepare(network, warm=False), None)


@pytest.mark.parametrize("step", [6, 11])
def test_every_point_has_the_volts_of_a_full_solution(step: int) -> None:
    state = cold_state()
    network = state.network
    joints = [a for a in dict.fromkeys(network.branches.address) if a in network.joints][:-1]
    groups = [Group((joint,), joint) for joint in joints]
    sites, of_group = sites_of(state, groups)
    at, share = first_order(state, sites, np.arange(len(state.volts)))
    wanted = np.ones(share.shape, dtype=bool)
    turning, _ = turned(state, sites, share)
    refine(at, Wanted(wanted, turning, np.ones(len(turning), dtype=bool)), Solved())
    branch = np.array([network.joints[joint] for joint in joints])
    post = network.index["GB1.31"]
    for n in range(0, len(joints), 3):
        ohm = float(state.base.done.ohm[branch[n]]) + GRID_OHM[step]
        dialled = Overrides().with_joint(joints[n], ohm)
        real = solve(expand(shared_stud(3), None, dialled), FULL, warm=False)
        for point in range(0, network.size - 1, 3):
            probe = Probe("volts", point, post)
            edge = sites.edge[of_group[n : n + 1]]
            side = own_side(state, probe, edge, state.before[branch[n : n + 1]])
            assert set(rows_of(state, [probe]).tolist()) <= set(at.rows.tolist())
            found = values(state, probe, at.place, at.volts[:, of_group[n : n + 1]], edge, side)
            volt = real.volt(network.points[point])
            assert volt is not None
            assert found[0, step] == pytest.approx(volt, abs=5e-5)


def test_amperes_in_a_wire_are_those_of_a_full_solution() -> None:
    state = cold_state()
    real = solve(expand(shared_stud(3)), FULL, warm=False)
    for wire, result in real.wires():
        number = state.network.branches.address.index(wire)
        found = clean_value(state, Probe("amperes", branch=number))
        assert found == pytest.approx(result.amperes, abs=1e-5)


def test_no_tip_goes_to_a_splice_or_into_a_wire() -> None:
    harness = shared_stud(2)
    network = expand(harness)
    touchable = dict(zip(network.points, permitted(harness, network), strict=True))
    assert not touchable["SP1"]
    assert not any(yes for point, yes in touchable.items() if point.startswith("~"))
    assert not touchable["M1.1"]
    assert touchable["GP1"]
    assert touchable["GB1.31"]
    assert touchable["shell.rear"]


def test_the_joints_of_one_wire_between_touchable_points_are_one_group() -> None:
    harness = shared_stud(2)
    network = expand(harness)
    groups = suspect_groups(network, permitted(harness, network))
    wire = next(w for w in harness.wires.values() if {e.text for e in w.ends} == {"M1.31", "GP1"})
    (mine,) = [g for g in groups if wire.id in g.members]
    assert f"{wire.id}@GP1" in mine.members
    assert "GP1" not in mine.members
    assert sum(len(g.members) for g in groups) == len({m for g in groups for m in g.members})
