"""Random harnesses obey the laws of direct current: Kirchhoff, balance of power, superposition, and what follows."""

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from harness_studio.electrics.lawset import FULL, RATED
from harness_studio.electrics.solution import Solution
from harness_studio.electrics.solve import solve
from harness_studio.model.harness import Harness
from harness_studio.network.expand import expand
from harness_studio.network.network import Overrides
from tests.support.builders import mesh_resistances, of_resistances
from tests.support.physics import assert_physics, solved
from tests.support.strategies import LINEAR, small_harnesses
from tests.support.vehicle import vehicle

LINEAR_HARNESSES = small_harnesses(kinds=LINEAR)


def volts(solution: Solution) -> np.ndarray:
    return np.asarray(solution.volts)


@settings(max_examples=60)
@given(small_harnesses())
def test_any_harness_obeys_kirchhoff_and_loses_no_watt(harness: Harness) -> None:
    for laws in (RATED, FULL):
        solved(harness, "now", laws=laws)


@settings(max_examples=20)
@given(
    st.integers(0, 10**6),
    st.integers(1, 25),
    st.sampled_from(["off", "key_on", "running_lamps", "braking", "cranking"]),
)
def test_any_vehicle_obeys_kirchhoff_and_loses_no_watt(seed: int, circuits: int, mode: str) -> None:
    solved(vehicle(seed, circuits), mode)


@settings(max_examples=40)
@given(st.integers(2, 8), st.integers(0, 10**6), st.floats(0.1, 50.0), st.floats(0.1, 50.0))
def test_two_sources_give_the_sum_of_what_each_gives_alone(
    nodes: int, seed: int, first: float, second: float
) -> None:
    mesh = mesh_resistances(nodes, seed)
    last = f"m{nodes - 1}"

    def with_sources(a: float, b: float) -> dict[str, float | None]:
        sources = [("GB1", "m0", "m1" if nodes > 1 else "m0", a), ("GB2", last, "m1", b)]
        if last == "m1":
            sources[1] = ("GB2", "m0", "m1", b)
        harness = of_resistances(mesh, sources, "m1", {"GB1": 100.0, "GB2": 70.0})
        found = solved(harness, warm=False)
        return {f"Nm{i}": found.volt(f"Nm{i}") for i in range(nodes)}

    both, one, other = with_sources(first, second), with_sources(first, 0.0), with_sources(0.0, second)
    total = {k: (one[k] or 0.0) + (other[k] or 0.0) for k in both}
    assert both == pytest.approx(total, rel=1e-9, abs=1e-9)


@settings(max_examples=30)
@given(LINEAR_HARNESSES, st.floats(0.3, 3.0))
def test_twice_the_source_is_twice_the_volts(harness: Harness, times: float) -> None:
    without = harness.snapshot()
    without.parts.pop("G1", None)
    for key in [w.id for w in without.wires.values() if "G1.B+" in {e.text for e in w.ends}]:
        without.wires.pop(key)
    stronger = without.snapshot()
    battery = stronger.parts["GB1"]
    stronger.parts["GB1"] = replace(battery, ratings=replace(battery.ratings, rest_v=12.65 * times))
    plain = solved(without, "now", warm=False)
    scaled = solved(stronger, "now", warm=False)
    np.testing.assert_allclose(volts(scaled), times * volts(plain), rtol=1e-9, atol=1e-9)


@settings(max_examples=30)
@given(small_harnesses())
def test_the_order_of_the_file_changes_nothing(harness: Harness) -> None:
    turned = harness.snapshot()
    for table in (turned.wires, turned.splices, turned.grounds):
        items = list(table.items())
        table.clear()
        table.update(reversed(items))
    there, back = solved(harness, "now"), solved(turned, "now")
    found = {p: v for p, v in back.points() if v is not None}
    assert found == pytest.approx({p: v for p, v in there.points() if v is not None}, rel=1e-9, abs=1e-9)


@settings(max_examples=30)
@given(LINEAR_HARNESSES, st.data())
def test_worse_joints_never_raise_the_power_of_a_linear_harness(
    harness: Harness, data: st.DataObject
) -> None:
    """A resistive network fed by one EMF takes no more from it when any resistance grows (Rayleigh)."""
    one = harness.snapshot()
    one.parts.pop("G1", None)
    for key in [w.id for w in one.wires.values() if "G1.B+" in {e.text for e in w.ends}]:
        one.wires.pop(key)
    network = expand(one, "now")
    names = sorted(a for a, n in network.joints.items() if network.branches.address[n] == a)
    joint = data.draw(st.sampled_from(names))
    ohm = float(network.branches.resistance_ohm[network.joints[joint]])
    worse = data.draw(st.sampled_from([2.0 * ohm + 0.001, ohm + 10.0, math.inf]))
    before = solve(network, warm=False)
    after = solve(expand(one, "now", Overrides(joint_ohm=((joint, worse),))), warm=False)
    assert_physics(before)
    assert_physics(after)

    def given_a(solution: Solution) -> float:
        return -dict(solution.parts())["GB1"].terminals["GB1.30"]

    assert given_a(after) <= given_a(before) * (1.0 + 1e-9) + 1e-12
