"""Readings against a joint's resistance: each point is what a full solve says."""

import math

import pytest

from harness_studio.electrics.against import against
from harness_studio.electrics.readings import readings
from harness_studio.electrics.solve import solve
from harness_studio.network.expand import expand
from harness_studio.network.network import Overrides
from harness_studio.storage.project_file import read_project


@pytest.fixture(scope="module")
def harness(sample_projects_dir):
    return read_project(sample_projects_dir / "first_harness.yaml").harness


def test_each_point_is_a_full_solve(harness):
    totals = (0.001, 0.05, 0.2, 1.0, math.inf)
    found = against(harness, expand(harness, "braking"), "GP2", totals_ohm=totals)
    assert found.values
    for column, ohm in enumerate(totals):
        whole = readings(harness, solve(expand(harness, "braking", Overrides().with_joint("GP2", ohm))))
        for key, values in found.values.items():
            # Wires stay as warm as they are while a joint is swept, which is within 0.03 V here.
            assert values[column] == pytest.approx(whole[key].value, abs=0.03), (key, ohm)


def test_the_present_state_is_told(harness):
    network = expand(harness, "braking")
    found = against(harness, network, "GP2")
    now = readings(harness, solve(network))
    assert found.present_ohm == pytest.approx(0.045)
    assert found.present == {key: now[key].value for key in found.values}
    assert len(found.ohm) == 18
    assert math.isinf(found.ohm[-1])
    assert len({key.partition(" ")[0].partition("/")[0] for key in found.values}) == len(found.values)


def test_it_stops_when_told_and_counts_as_it_goes(harness):
    steps = []

    def step(done, whole):
        steps.append((done, whole))
        return done < 2

    assert against(harness, expand(harness, "braking"), "GP2", progress=step) is None
    assert steps == [(0, 18), (1, 18), (2, 18)]


def test_what_is_no_joint_has_none(harness):
    assert against(harness, expand(harness, "braking"), "GP77") is None
