"""Volts between elements: against a full solution of the network with the joint dialled."""

import numpy as np
import pytest

from harness_studio.casebook.access import permitted
from harness_studio.casebook.groups import suspect_groups
from harness_studio.casebook.metal import between, volts_at
from harness_studio.electrics.lawset import FULL
from harness_studio.electrics.solve import solve
from harness_studio.electrics.sweep import prepare, sweep
from harness_studio.network.expand import expand
from harness_studio.network.network import Overrides
from tests.support.builders import shared_stud


@pytest.mark.parametrize("added_ohm", [0.05, 2.0])
def test_every_point_has_the_volts_of_a_full_solution(added_ohm: float) -> None:
    harness = shared_stud(3)
    network = expand(harness)
    base = prepare(network, warm=False)
    metal = between(base)
    points = np.arange(network.size)
    tried = 0
    for chunk in sweep(base, added_ohm):
        for column, joints in enumerate(chunk.joints):
            for joint in joints:
                ohm = base.done.ohm.copy()
                number = network.joints[joint]
                found = volts_at(metal, base, joint, chunk.volts[:, column], points, added_ohm)
                dialled = Overrides().with_joint(joint, float(ohm[number]) + added_ohm)
                wanted = solve(expand(harness, None, dialled), FULL, warm=False)
                for index in range(0, network.size, 3):
                    volt = wanted.volt(network.points[index])
                    assert volt is not None
                    assert found[index] == pytest.approx(volt, abs=2e-5)
                tried += 1
    assert tried > 20


def test_no_tip_goes_to_a_splice_or_into_a_wire() -> None:
    harness = shared_stud(2)
    network = expand(harness)
    touchable = dict(zip(network.points, permitted(harness, network), strict=True))
    assert not touchable["SP1"]
    assert not any(yes for point, yes in touchable.items() if point.startswith("~"))
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
