"""What the chosen joint would do: against a whole solution with that joint."""

from __future__ import annotations

import math

import pytest

from harness_studio.electrics.readings import readings
from harness_studio.electrics.solve import solve
from harness_studio.network.expand import expand
from harness_studio.network.network import Overrides
from harness_studio.session.engine import Electrics
from harness_studio.session.forecast import SEVERITIES_OHM, Forecast, outlook
from harness_studio.session.scheduler import Synchronous
from harness_studio.storage.project_file import read_project


@pytest.fixture
def harness(sample_projects_dir):
    return read_project(sample_projects_dir / "first_harness.yaml").harness


@pytest.mark.parametrize("joint", ["GP2", "GP2/W40", "X7.2", "SP3/W33"])
def test_each_severity_is_what_a_solve_with_that_joint_says(harness, joint):
    network = expand(harness, "braking")
    found = outlook(harness, network, joint)
    assert [o.ohm for o in found] == list(SEVERITIES_OHM)
    for one in found:
        overrides = Overrides().with_joint(joint, one.ohm)
        whole = readings(harness, solve(expand(harness, "braking", overrides)))
        for change in one.changes:
            if change.unit == "V" and not math.isinf(one.ohm):
                # The forecast keeps the wires as warm as they are, the solve warms them anew.
                assert change.bad == pytest.approx(whole[change.reading].value, abs=0.02)


def test_the_worse_the_joint_the_lower_the_pump(harness):
    found = outlook(harness, expand(harness, "braking"), "GP2/W40")
    pump = [c.bad for o in found for c in o.changes if c.reading == "M2 volts"]
    assert len(pump) == len(SEVERITIES_OHM)
    assert pump == sorted(pump, reverse=True)


def test_a_splice_comes_apart_and_what_is_no_joint_has_no_outlook(harness):
    network = expand(harness, "braking")
    (apart,) = outlook(harness, network, "SP3")  # a splice comes apart, it has no resistance of its own
    assert apart.ohm == float("inf")
    assert {c.reading for c in apart.changes} >= {"E5/stop light", "E6/stop light"}
    assert outlook(harness, network, "nothing") == ()


def test_the_forecast_tells_when_it_has_something_and_when_it_has_nothing_more(harness):
    told = []
    forecast = Forecast(Synchronous(), Electrics(), lambda: told.append(len(forecast.shown)))
    network = expand(harness, "braking")
    forecast.want(harness, network, "GP2")
    assert told == [len(SEVERITIES_OHM)]
    forecast.want(harness, network, None)
    assert told[-1] == 0
