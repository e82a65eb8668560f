"""Tolerances against drawing everything uncertain many times and solving each draw fully."""

from dataclasses import replace

import numpy as np
import pytest

from harness_studio.casebook.known import Known
from harness_studio.casebook.observed import METER_PART, METER_V
from harness_studio.casebook.spread import uncertain
from harness_studio.casebook.tolerance import TIMES_SIGMA, tolerances_v
from harness_studio.electrics.solve import solve
from tests.support.sketch import Sketch

DRAWS = 400


def lamp_circuit() -> Sketch:
    s = Sketch("A lamp and its fuse")
    s.body("shell", front=0.2, rear=0.8)
    s.battery()
    s.ground("GP1", "shell.front")
    s.ground("GP2", "shell.rear")
    return s


def test_tolerances_are_those_of_many_draws() -> None:
    s = lamp_circuit()
    s.part("F1", "fuse", style="blade_medium", rated_a=10.0)
    s.part("E1", "lamp", rated_v=13.5, rated_w=55.0)
    s.wire("GB1.30", "F1.in", area_mm2=2.5, mm=800)
    s.wire("F1.out", "E1.1", area_mm2=1.0, mm=3000)
    s.wire("E1.31", "GP2", area_mm2=1.0, mm=700)
    s.wire("GB1.31", "GP1", area_mm2=16.0, mm=500)
    harness = s.done()
    pairs = [("E1.1", "E1.31"), ("GP2", "GB1.31"), ("F1.in", "F1.out"), ("GB1.30", "E1.1")]
    known = Known(harness)
    state = known.state(None)
    what = uncertain(harness, state)
    base = state.network.branches
    rng = np.random.default_rng(7)
    lognormal = np.sqrt(np.log1p(what.deviation**2))
    read = []
    for _ in range(DRAWS):
        times = np.exp(lognormal * rng.standard_normal(len(lognormal)) - lognormal**2 / 2)
        ohm = base.resistance_ohm * times
        drawn = solve(replace(state.network, branches=replace(base, resistance_ohm=ohm)))
        volts = {p: drawn.volt(p) for pair in pairs for p in pair}
        read.append([volts[a] - volts[b] for a, b in pairs])
    sigma = np.std(read, axis=0)
    mean = np.abs(np.mean(read, axis=0))
    allowed = tolerances_v(harness, None, pairs)
    for n in (1, 2, 3):  # what the load and the source put in beside it is less than a tenth of these
        metal = (allowed[n] / TIMES_SIGMA) ** 2 - (METER_PART * mean[n] + METER_V) ** 2
        assert metal == pytest.approx(sigma[n] ** 2, rel=0.45)
    # At the lamp the source's ± 0.2 V leads; no draw of the metal alone may be wider than what is allowed.
    assert TIMES_SIGMA * sigma[0] < allowed[0] < 0.6


def test_a_point_that_is_not_there_has_no_tolerance() -> None:
    s = lamp_circuit()
    s.wire("GB1.31", "GP1", area_mm2=16.0, mm=500)
    assert tolerances_v(s.done(), None, [("GB1.30", "E9.1"), ("GP1", "GB1.31")])[0] is None
