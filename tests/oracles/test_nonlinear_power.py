"""A constant-power load behind a resistance against its closed form, and against ngspice.

V = (E + √(E² − 4·R·P))/2 on the working branch; no solution past P = E²/4R. A load without a working point has cut out:
with its feed unloaded it sees E, and if that is its cut-in it starts again, which is said to hiccup.
"""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from harness_studio.electrics.solution import Solution
from harness_studio.model.harness import Harness
from tests.support.physics import solved
from tests.support.sketch import Sketch
from tests.support.spice import needs_ngspice
from tests.support.spice_laws import assert_ngspice_agrees

FOLD = 0.001
RATED_V = 13.5
FLOOR_V = 0.1 * RATED_V * 1.05
"""Below about a tenth of its rated volts no load is taken to work."""


def one_load(e: float, ohm: float, watts: float, loads: int = 1, **ratings: object) -> Harness:
    """Return an EMF behind a resistance and straight at it a load of so many watts, or several that share them."""
    s = Sketch()
    s.battery(rest_v=e, internal_mohm=1000.0 * ohm, charge_mohm=1000.0 * ohm)
    for number in range(1, loads + 1):
        s.part(f"T{number}", "converter", rated_v=RATED_V, rated_w=watts / loads, **ratings)
        for wire, a, b, posts in (
            (f"F{number}", "GB1.30", f"T{number}.15", ("GB1.30", f"T{number}.15")),
            (f"R{number}", f"T{number}.31", "GB1.31", (f"T{number}.31", "GB1.31")),
        ):
            s.wire(a, b, 1.0, 0.0, name=wire)
            for post in posts:
                s.found(f"{wire}@{post}", 0.0)
                s.found(f"{post}/{wire}", 0.0)
    return s.done()


def volts(solution: Solution) -> float:
    found = solution.volt("T1.15")
    assert found is not None
    return found


def root(e: float, ohm: float, watts: float) -> float:
    return 0.5 * (e + math.sqrt(e * e - 4.0 * ohm * watts))


emfs, ohms = st.floats(8.0, 16.0), st.floats(-3.0, 1.0).map(lambda x: 10.0**x)


@settings(max_examples=80)
@given(emfs, ohms, st.floats(0.001, 1.0 - FOLD))
def test_the_working_branch(e: float, ohm: float, part: float) -> None:
    watts = part * e * e / (4.0 * ohm)
    solution = solved(one_load(e, ohm, watts))
    assert solution.states["T1"] == "on"
    assert volts(solution) == pytest.approx(root(e, ohm, watts), rel=1e-9)
    assert dict(solution.parts())["T1"].watts == pytest.approx(watts, rel=1e-9)


@settings(max_examples=60)
@given(emfs, ohms, st.floats(1.0 + FOLD, 50.0))
def test_past_the_fold_there_is_no_working_point(e: float, ohm: float, part: float) -> None:
    solution = solved(one_load(e, ohm, part * e * e / (4.0 * ohm)))
    assert solution.states["T1"] == "hiccups"
    assert volts(solution) == pytest.approx(e, rel=1e-12)


@pytest.mark.parametrize("e", [9.0, 12.65, 14.2])
@pytest.mark.parametrize("ohm", [0.004, 0.05, 0.4, 3.0])
@pytest.mark.parametrize("loads", [1, 3])
def test_both_sides_of_the_fold(e: float, ohm: float, loads: int) -> None:
    """A thousandth before the fold the load works at about half the EMF; a thousandth past it nothing holds."""
    at_fold = e * e / (4.0 * ohm)
    before = solved(one_load(e, ohm, (1.0 - FOLD) * at_fold, loads))
    assert set(before.states.values()) == {"on"}
    assert volts(before) == pytest.approx(0.5 * e * (1.0 + math.sqrt(FOLD)), rel=1e-7)
    past = solved(one_load(e, ohm, (1.0 + FOLD) * at_fold, loads))
    assert "hiccups" in past.states.values()


@settings(max_examples=60)
@given(emfs, ohms, st.floats(0.1, 1.5), st.floats(0.3, 1.2), st.floats(1.0, 1.3))
def test_cut_out_and_cut_in(e: float, ohm: float, part: float, out: float, step: float) -> None:
    """Held on while the root lies above cut-out; cut out for good while E is below cut-in; else it hiccups."""
    watts, cut_out, cut_in = part * e * e / (4.0 * ohm), out * e, out * e * max(step, 1.03)
    fold = part - 1.0
    works_v = root(e, ohm, watts) if fold < 0.0 else 0.0
    if abs(fold) < FOLD or min(abs(works_v - cut_out), abs(e - cut_in), abs(e - cut_out)) < 1e-6:
        return
    solution = solved(one_load(e, ohm, watts, cut_out_v=cut_out, cut_in_v=cut_in))
    if e < cut_in:
        expected = "cut out"  # it starts released, and does not come in
    elif works_v > cut_out:
        expected = "on"
    else:
        expected = "hiccups"
    assert solution.states["T1"] == expected
    assert volts(solution) == pytest.approx(works_v if expected == "on" else e, rel=1e-9)


def test_a_load_that_runs_stays_on_between_cut_out_and_cut_in() -> None:
    """E lies between cut-out and cut-in: held or not, depending on what was before."""
    from harness_studio.electrics.solve import solve
    from harness_studio.network.expand import expand

    network = expand(one_load(11.0, 0.05, 60.0, cut_out_v=9.0, cut_in_v=11.5))
    assert solve(network).states["T1"] == "cut out"
    assert solve(network, before={"T1": "on"}).states["T1"] == "on"


@pytest.mark.parametrize(("e", "ohm", "watts"), [(12.0, 0.1, 355.0), (12.65, 0.02, 60.0), (14.2, 0.5, 90.0)])
def test_ngspice_finds_the_same_root(e: float, ohm: float, watts: float) -> None:
    needs_ngspice()
    solution = solved(one_load(e, ohm, watts))
    assert assert_ngspice_agrees(solution) is not None
    assert volts(solution) == pytest.approx(root(e, ohm, watts), rel=1e-9)
