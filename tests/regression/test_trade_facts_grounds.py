"""Facts of the trade about straps, joints set clean, and circuits that share nothing. Common practice, no source.

Each is a small harness of its own, solved; the arithmetic beside it is our own and no proof.
"""

import math

import pytest

from harness_studio.electrics.readings import readings
from harness_studio.electrics.solution import Solution
from harness_studio.electrics.sweep import prepare
from harness_studio.electrics.sweep_rows import sweep_rows
from harness_studio.model.harness import Harness
from harness_studio.network.expand import expand
from harness_studio.network.network import Overrides
from tests.support.bare import bared, emf, joined
from tests.support.physics import IDEAL_SOURCE_A, solved
from tests.support.sketch import Sketch
from tests.support.vehicle import vehicle


def engine_bay() -> Harness:
    """Return a starter on an engine that is joined to the body by a strap, a throttle cable and a fuel line."""
    s = Sketch()
    s.battery(rest_v=12.65, internal_mohm=6.0)
    s.body("shell", front=0.05, firewall=0.1)
    s.body("engine", block=0.02)
    s.wire("GB1.31", "shell.front", 35.0, 400.0)
    s.wire("engine.block", "shell.front", 35.0, 400.0, name="W_strap")
    s.bond("throttle_cable", "engine.block", "shell.firewall", 60.0)
    s.bond("fuel_line", "engine.block", "shell.front", 200.0)
    s.part("M1", "starter", mount=("31", "engine.block"), rated_v=9.0, crank_a=150.0, stall_a=450.0)
    s.wire("GB1.30", "M1.30", 35.0, 1200.0)
    s.mode("crank", engine="cranking")
    return s.done()


def carried(solution: Solution, part: str) -> float:
    return max(abs(i) for i in dict(solution.parts())[part].terminals.values())


def test_a_missing_engine_strap_sends_starter_current_through_stray_bonds() -> None:
    harness = engine_bay()
    fitted = solved(harness, "crank")
    missing = solved(harness, "crank", Overrides().with_joint("engine.block/W_strap", math.inf))
    bonds = ("throttle_cable", "fuel_line")
    stray_a = {s: [abs(x.joint(b).amperes) for b in bonds] for s, x in (("on", fitted), ("off", missing))}
    assert sum(stray_a["on"]) < 0.05 * carried(fitted, "M1")
    assert sum(stray_a["off"]) == pytest.approx(carried(missing, "M1"), rel=1e-6)
    assert stray_a["off"][0] > 50.0  # enough to burn a throttle cable
    watts = stray_a["off"][0] ** 2 * 0.06
    assert watts > 150.0
    starter_v = [(x.volt("M1.30") or 0.0) - (x.volt("M1.31") or 0.0) for x in (fitted, missing)]
    assert starter_v[1] < 0.5 * starter_v[0]


def test_the_block_then_lies_volts_above_the_battery() -> None:
    missing = solved(engine_bay(), "crank", Overrides().with_joint("engine.block/W_strap", math.inf))
    rise_v = missing.volt("engine.block")
    assert rise_v is not None
    assert rise_v > 3.0


def coil_on_the_block(bad_mohm: float) -> Harness:
    """Return a relay whose coil is grounded on a stud that a fan shares."""
    s = Sketch()
    s.battery(rest_v=12.2)
    s.body("engine", block=0.05)
    s.ground("GP1", "engine.block")
    s.wire("GB1.31", "engine.block", 25.0, 400.0)
    s.part("K1", "relay", coil_ohm=80.0, pull_in_v=7.5, drop_out_v=2.5)
    s.part("M1", "heater", rated_v=12.0, rated_w=250.0)
    s.part("E1", "lamp", rated_v=12.0, rated_w=21.0)
    s.wire("GB1.30", "K1.86", 0.75, 900.0)
    s.wire("K1.85", "GP1", 0.75, 300.0)
    s.wire("GB1.30", "K1.30", 1.5, 900.0)
    s.wire("K1.87", "E1.1", 1.5, 900.0)
    s.wire("E1.31", "engine.block", 1.5, 300.0)
    s.wire("GB1.30", "M1.1", 4.0, 900.0)
    s.wire("M1.2", "GP1", 4.0, 300.0)
    s.found("GP1", bad_mohm)
    return s.done()


def test_a_relay_whose_coil_shares_a_poor_ground_does_not_pull_in() -> None:
    """It stays released; had it been pulled in before the heater came on, it would hold: relays remember."""
    harness = coil_on_the_block(400.0)
    solution = solved(harness)
    assert solution.states["K1"] == "released"
    assert readings(harness, solution)["E1 light"].value == pytest.approx(0.0, abs=1e-9)
    held = solved(harness, before={"K1": "pulled in"})
    assert held.states["K1"] == "pulled in"
    assert (readings(harness, held)["E1 light"].value or 0.0) > 50.0
    assert solved(coil_on_the_block(0.5)).states["K1"] == "pulled in"


def buzzer() -> Harness:
    """Return a relay that is fed through its own break contact."""
    s = Sketch()
    s.battery()
    s.part("K1", "relay", coil_ohm=80.0, pull_in_v=7.0, drop_out_v=3.0, contacts="changeover")
    s.wire("GB1.30", "K1.30", 1.0, 500.0)
    s.wire("K1.87a", "K1.86", 1.0, 300.0)
    s.wire("K1.85", "GB1.31", 1.0, 500.0)
    return s.done()


def test_a_relay_fed_through_its_own_break_contact_chatters() -> None:
    assert solved(buzzer()).states["K1"] == "chatters"


@pytest.mark.parametrize("mode", ["running_lamps", "braking", "cranking"])
def test_with_its_joints_set_clean_a_harness_reads_as_the_clean_solve(mode: str) -> None:
    """Joints recorded as bad, then dialled to what they are when clean: every reading is that of the clean harness."""
    harness = vehicle(3, 40)
    clean_ohm = {
        a: float(r)
        for a, r in zip(
            expand(harness, mode, clean=True).branches.address,
            expand(harness, mode, clean=True).branches.resistance_ohm,
            strict=True,
        )
    }
    studs = [g for g in harness.grounds if g in clean_ohm][:6]
    s = Sketch()
    s.harness = harness
    for number, stud in enumerate(studs):
        s.found(stud, 50.0 * (number + 1))
    clean = readings(harness, solved_clean(harness, mode))
    found = readings(harness, solved(harness, mode))
    assert any(abs((found[k].value or 0.0) - (r.value or 0.0)) > 1e-3 for k, r in clean.items())
    set_clean = Overrides(joint_ohm=tuple((stud, clean_ohm[stud]) for stud in studs))
    now = readings(harness, solved(harness, mode, set_clean))
    assert {k: r.value for k, r in now.items()} == pytest.approx(
        {k: r.value for k, r in clean.items()}, abs=1e-9
    )


def solved_clean(harness: Harness, mode: str) -> Solution:
    from harness_studio.electrics.solve import solve
    from tests.support.physics import assert_physics

    solution = solve(expand(harness, mode, clean=True))
    assert_physics(solution)
    return solution


def two_circuits(ideal: bool) -> Harness:
    """Return two lamps, each with a feed of its own through a fuse, and a return of its own."""
    s = Sketch()
    if ideal:
        emf(s, 12.65)
    else:
        s.battery()
    for side in ("a", "b"):
        s.part(f"F_{side}", "fuse", style="blade_medium", rated_a=10.0)
        s.part(f"E_{side}", "lamp", rated_v=12.0, rated_w=55.0)
        s.splice(f"SP_{side}")
        s.wire("GB1.30", f"F_{side}.in", 1.5, 300.0)
        s.wire(f"F_{side}.out", f"SP_{side}", 1.5, 900.0)
        s.wire(f"SP_{side}", f"E_{side}.1", 1.5, 900.0)
        s.wire(f"E_{side}.31", "GB1.31", 1.5, 900.0)
    return s.done()


def feed_joints(harness: Harness, side: str) -> list[str]:
    return [j for j in expand(harness).joints if f"_{side}" in j and f"E_{side}.31" not in j]


@pytest.mark.parametrize("ideal", [True, False])
def test_loads_with_disjoint_feeds_have_no_feed_joint_that_changes_both(ideal: bool) -> None:
    """Only the battery's own resistance joins them: a joint of one brightens the other by that, and by nothing else."""
    harness = two_circuits(ideal)
    base = prepare(expand(harness))
    for side, other in (("a", "b"), ("b", "a")):
        joints = feed_joints(harness, side)
        assert len(joints) > 5
        for row in sweep_rows(harness, base, (0.2, math.inf), joints):
            touched = {c.reading.split()[0] for c in row.changes if c.weight >= 1.0}
            assert touched == {f"E_{side}"}, row
        before = volts(solved(harness, floor_a=IDEAL_SOURCE_A), other)
        opened = solved(harness, None, Overrides().with_joint(joints[0], math.inf), floor_a=IDEAL_SOURCE_A)
        lost_a = 55.0 / 12.0 * 1.05
        assert abs(volts(opened, other) - before) <= lost_a * (1e-6 if ideal else 0.008)


def volts(solution: Solution, side: str) -> float:
    a, b = solution.volt(f"E_{side}.1"), solution.volt(f"E_{side}.31")
    assert a is not None
    assert b is not None
    return a - b


def test_a_sense_wire_at_the_battery_feeds_loads_at_the_machine_more_than_it_holds() -> None:
    """Loads at the machine's end see the battery's volts plus what the charge cable loses."""
    s = Sketch()
    s.battery(rest_v=12.6, charge_mohm=60.0)
    s.body("engine", block=0.02)
    s.wire("GB1.31", "engine.block", 35.0, 400.0)
    s.part("G1", "alternator", mount=("B-", "engine.block"), set_v=14.2, max_a=90.0)
    s.wire("G1.B+", "GB1.30", 10.0, 1500.0, name="W_charge")
    s.wire("G1.S", "GB1.30", 1.0, 1500.0)
    s.part("R1", "resistor", ohm=1.0)
    s.wire("G1.B+", "R1.1", 2.5, 300.0)
    s.wire("R1.2", "engine.block", 2.5, 300.0)
    s.mode("run", engine="running")
    harness = s.done()
    for mohm in (1.0, 30.0):
        solution = solved(harness, "run", Overrides().with_joint("G1.B+/W_charge", mohm / 1000.0))
        cable_v = (solution.volt("G1.B+") or 0.0) - (solution.volt("GB1.30") or 0.0)
        held_v = (solution.volt("GB1.30") or 0.0) - (solution.volt("G1.B-") or 0.0)
        out_v = (solution.volt("G1.B+") or 0.0) - (solution.volt("G1.B-") or 0.0)
        assert out_v == pytest.approx(held_v + cable_v, rel=1e-12)
        assert held_v == pytest.approx(14.2, abs=0.4)
    assert cable_v > 0.5


def test_a_sense_that_is_cut_off_is_said_and_the_machine_holds_its_own_output() -> None:
    """The charge cable opens: the sense sees the battery alone, and the machine holds its own output at 18 V."""
    s = Sketch()
    s.battery(rest_v=12.4)
    s.body("engine", block=0.02)
    s.wire("GB1.31", "engine.block", 35.0, 400.0)
    s.part("G1", "alternator", mount=("B-", "engine.block"), set_v=14.2, max_a=90.0)
    s.wire("G1.B+", "GB1.30", 10.0, 1500.0, name="W_charge")
    s.wire("G1.S", "GB1.30", 1.0, 1500.0)
    s.part("R1", "resistor", ohm=2.0)
    s.wire("G1.B+", "R1.1", 2.5, 300.0)
    s.wire("R1.2", "engine.block", 2.5, 300.0)
    s.mode("run", engine="running")
    solution = solved(s.done(), "run", Overrides().with_joint("G1.B+/W_charge", math.inf))
    assert solution.states["G1"] == "held"
    out_v = (solution.volt("G1.B+") or 0.0) - (solution.volt("G1.B-") or 0.0)
    assert 17.5 < out_v < 18.1
    assert any("sense" in note.what for note in solution.assumed if note.id == "G1")


def test_joined_is_without_ohms() -> None:
    """The bare circuits of these tests really have nothing in between."""
    s = Sketch()
    emf(s, 12.0)
    s.part("R1", "resistor", ohm=2.0)
    joined(s, ("GB1.30", "R1.1"), ("R1.2", "GB1.31"))
    solution = solved(bared(s), floor_a=IDEAL_SOURCE_A)
    assert solution.volt("R1.1") == solution.volt("GB1.30")
    assert solution.volt("R1.2") == 0.0
