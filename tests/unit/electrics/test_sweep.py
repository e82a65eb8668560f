"""Sweeps: every joint made bad by a low-rank update, equal to solving again."""

import math
import random
from collections.abc import Iterator

import numpy as np
import pytest

from harness_studio.base.errors import SolveError
from harness_studio.electrics.lawset import FULL
from harness_studio.electrics.readings import compare, readings
from harness_studio.electrics.solve import settle_from
from harness_studio.electrics.sweep import Base, Swept, prepare, sweep
from harness_studio.electrics.sweep_rows import sweep_rows
from harness_studio.model.harness import Harness
from harness_studio.network.expand import expand
from harness_studio.network.network import Overrides
from tests.support.bare import bared, emf, joined
from tests.support.physics import solved
from tests.support.random_electrics import random_harness
from tests.support.sketch import Sketch
from tests.support.vehicle import bench500, vehicle

NEAR_V = 1e-4


def full(base: Base, joint: str, added_ohm: float) -> np.ndarray | None:
    """Return the volts of all points by solving again with the joint worse, wires as warm as in the base."""
    ohm = base.done.ohm.copy()
    for contact in base.network.contacts:
        if math.isinf(ohm[contact.branch]):
            ohm[contact.branch] = base.network.branches.resistance_ohm[contact.branch]
    ohm[base.network.joints[joint]] += added_ohm
    try:
        return settle_from(base.network, FULL, ohm, base.done).point_volts
    except SolveError:
        return None


def columns(chunks: Iterator[Swept]) -> dict[str, tuple[Swept, int]]:
    return {joint: (chunk, n) for chunk in chunks for n, some in enumerate(chunk.joints) for joint in some}


def worst_mv(base: Base, added_ohm: float, some: int | None = None, seed: int = 1) -> float:
    """Return the greatest difference at any terminal, in mV, over all joints or so many of them at random."""
    terminals = sorted({p for e in base.network.elements for p in e.terminals.values()})
    swept = columns(sweep(base, added_ohm))
    names = sorted(swept)
    worst = 0.0
    for joint in names if some is None else random.Random(seed).sample(names, some):
        chunk, column = swept[joint]
        expected = full(base, joint, added_ohm)
        assert (expected is None) == bool(chunk.failed[column]), joint
        if expected is not None:
            got = chunk.volts[terminals, column]
            assert (np.isnan(got) == np.isnan(expected[terminals])).all(), joint
            worst = max(worst, float(np.nanmax(np.abs(got - expected[terminals]))))
    return 1000.0 * worst


@pytest.mark.parametrize("added_ohm", [0.001, 0.05, 2.0, math.inf])
@pytest.mark.parametrize(("seed", "mode"), [(1, "braking"), (2, "running_lamps"), (3, "cranking")])
def test_every_joint_of_a_small_vehicle_equals_a_full_solve(seed: int, mode: str, added_ohm: float) -> None:
    assert worst_mv(prepare(expand(vehicle(seed, 20), mode)), added_ohm) < 1000.0 * NEAR_V


@pytest.mark.parametrize("seed", range(12))
def test_every_joint_of_random_harnesses_equals_a_full_solve(seed: int) -> None:
    base = prepare(expand(random_harness(random.Random(f"sweep {seed}"), 60), "now"))
    for added_ohm in (0.05, math.inf):
        assert worst_mv(base, added_ohm) < 1000.0 * NEAR_V


@pytest.mark.slow
@pytest.mark.parametrize("mode", ["braking", "running"])
@pytest.mark.parametrize("added_ohm", [0.05, math.inf])
def test_two_hundred_joints_of_bench500(mode: str, added_ohm: float) -> None:
    worst = worst_mv(prepare(expand(bench500(), mode)), added_ohm, 200)
    print(f"bench500 {mode}, {added_ohm} Ω: 200 random joints, worst {worst:.6f} mV")
    assert worst < 1000.0 * NEAR_V


def one_lamp() -> Harness:
    s = Sketch()
    s.battery(rest_v=12.0)
    s.splice("SP1")
    s.part("E1", "lamp", rated_v=12.0, rated_w=21.0)
    s.part("E2", "lamp", rated_v=12.0, rated_w=5.0)
    s.wire("GB1.30", "SP1", 1.5, 500.0, name="W0")
    for number in (1, 2):
        s.wire("SP1", f"E{number}.1", 1.5, 500.0, name=f"F{number}")
        s.wire(f"E{number}.31", "GB1.31", 1.5, 500.0, name=f"R{number}")
    return s.done()


def test_joints_in_series_share_a_column() -> None:
    chunks = list(sweep(prepare(expand(one_lamp())), 0.05))
    together = next(some for chunk in chunks for some in chunk.joints if "E1.1/F1" in some)
    assert {"F1@E1.1", "SP1/F1", "E1.1/F1"} == set(together)


def test_only_the_joints_asked_for() -> None:
    swept = columns(sweep(prepare(expand(one_lamp())), 0.05, ["E1.1/F1", "no such joint"]))
    assert set(swept) == {"E1.1/F1"}


def test_a_sweep_that_is_cancelled_yields_nothing_more() -> None:
    assert list(sweep(prepare(expand(one_lamp())), 0.05, cancelled=lambda: True)) == []


def test_an_open_joint_leaves_its_load_without_volts() -> None:
    base = prepare(expand(one_lamp()))
    chunk, column = columns(sweep(base, math.inf))["E1.1/F1"]
    at = base.network.index
    assert chunk.volts[at["E1.1"], column] == pytest.approx(chunk.volts[at["E1.31"], column], abs=1e-6)
    assert chunk.volts[at["E2.1"], column] > 11.5


def test_joints_of_no_ohms_can_get_worse() -> None:
    s = Sketch()
    emf(s, 12.0)
    s.part("R1", "resistor", ohm=2.0)
    joined(s, ("GB1.30", "R1.1"), ("R1.2", "GB1.31"))
    base = prepare(expand(bared(s)))
    chunk, column = columns(sweep(base, 0.4))["R1.2/W2"]
    assert chunk.volts[base.network.index["R1.2"], column] == pytest.approx(2.0, abs=1e-4)


def relay_on_a_shared_ground() -> Harness:
    s = Sketch()
    s.battery(rest_v=12.0)
    s.splice("SPR")
    s.wire("SPR", "GB1.31", 4.0, 300.0, name="W_ground")
    s.part("K1", "relay", coil_ohm=80.0, pull_in_v=7.5, drop_out_v=6.5)
    s.part("R1", "heater", rated_v=12.0, rated_w=120.0)
    s.part("E1", "lamp", rated_v=12.0, rated_w=21.0)
    for a, b in (
        ("GB1.30", "K1.86"), ("K1.85", "SPR"), ("GB1.30", "K1.30"), ("K1.87", "E1.1"), ("E1.31", "GB1.31"),
        ("GB1.30", "R1.1"), ("R1.2", "SPR"),
    ):  # fmt: skip
        s.wire(a, b, 2.5, 400.0)
    return s.done()


def test_a_joint_that_lets_a_relay_drop_out_is_solved_fully() -> None:
    """1.2 Ω in the common ground: the coil is left below its drop-out, and the lamp goes out."""
    harness = relay_on_a_shared_ground()
    base = prepare(expand(harness))
    assert base.done.states["K1"] == "pulled in"
    chunk, column = columns(sweep(base, 1.6, ["GB1.31/W_ground"]))["GB1.31/W_ground"]
    assert chunk.solved_fully[column]
    rows = sweep_rows(harness, base, (1.6,), ["GB1.31/W_ground"])
    gone = next(c for c in rows[0].changes if c.reading == "E1 light")
    assert gone.clean == pytest.approx(95.0, abs=5.0)
    assert gone.bad == pytest.approx(0.0, abs=1e-6)


def test_rows_hold_what_readings_of_a_full_solve_hold() -> None:
    """Temperatures are frozen in a sweep: compared with solves without warming."""
    harness = vehicle(4, 20)
    network = expand(harness, "braking")
    base = prepare(network, warm=False)
    clean = readings(harness, solved(harness, "braking", warm=False))
    studs = [g for g in harness.grounds if g in network.joints][:4]
    for row in sweep_rows(harness, base, (0.1,), studs):
        dialled = Overrides().with_joint(row.joint, float(base.done.ohm[network.joints[row.joint]]) + 0.1)
        now = readings(harness, solved(harness, "braking", dialled, warm=False))
        expected = {c.reading: c for c in compare(clean, now) if c.weight > 0.06}
        told = {c.reading: c for c in row.changes}
        assert expected.keys() <= told.keys()
        for key, change in expected.items():
            assert told[key].bad == pytest.approx(change.bad, abs=1e-3)
            assert told[key].clean == pytest.approx(change.clean, abs=1e-3)


def test_rows_are_ranked_and_changes_too() -> None:
    harness = one_lamp()
    rows = sweep_rows(harness, prepare(expand(harness)), (0.05, 1.0))
    weights = [round(row.weight, 6) for row in rows]
    assert weights == sorted(weights, reverse=True)
    for row in rows:
        within = [round(c.weight, 6) for c in row.changes]
        assert within == sorted(within, reverse=True)
    feed = next(r for r in rows if r.joint == "SP1/W0" and r.added_ohm == 1.0)
    assert {c.reading.split()[0] for c in feed.changes} == {"E1", "E2"}
    assert set(feed.in_series) == {"GB1.30/W0", "W0@GB1.30"}
    own = next(r for r in rows if r.joint == "E2.1/F2" and r.added_ohm == 1.0)
    assert {c.reading.split()[0] for c in own.changes} == {"E2"}


def test_a_flasher_made_worse_itself_flashes_otherwise() -> None:
    s = Sketch()
    s.battery()
    s.part("K1", "flasher", movement="thermal", rated_w=42.0)
    s.part("E1", "lamp", rated_v=12.0, rated_w=42.0)
    for a, b in (("GB1.30", "K1.49"), ("K1.49a", "E1.1"), ("E1.31", "GB1.31"), ("K1.31", "GB1.31")):
        s.wire(a, b, 1.5, 500.0)
    harness = s.done()
    row = next(r for r in sweep_rows(harness, prepare(expand(harness)), (1.0,)) if r.joint == "K1")
    rate = next(c for c in row.changes if c.reading == "K1 rate")
    assert rate.bad is not None
    assert rate.clean is not None
    assert rate.bad < rate.clean
