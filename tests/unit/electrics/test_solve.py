"""Solving: states of relays and batteries, islands, joined points, and harnesses that lack something."""

import math

import pytest

from harness_studio.base.errors import AddressError
from harness_studio.electrics.lawset import FULL, RATED, LawSet
from harness_studio.electrics.solution import Solution
from harness_studio.electrics.solve import solve
from harness_studio.model.harness import Harness
from harness_studio.network.expand import expand
from harness_studio.network.network import Overrides
from tests.support.builders import shared_stud
from tests.support.physics import assert_physics, solved
from tests.support.sketch import Sketch

LAWS = pytest.mark.parametrize("laws", [RATED, FULL], ids=["rated", "full"])


def relay_circuit() -> Harness:
    """Return a relay whose coil has a poor joint of its own, so that the volts at the coil can be set."""
    s = Sketch()
    s.battery(rest_v=12.0, internal_mohm=1.0)
    s.part("K1", "relay", coil_ohm=90.0, pull_in_v=7.2, drop_out_v=2.4, contacts="changeover")
    s.part("E1", "lamp", rated_v=13.5, rated_w=21.0)
    s.part("E2", "lamp", rated_v=13.5, rated_w=5.0)
    for terminal in ("K1.30", "K1.86"):
        s.wire("GB1.30", terminal)
    s.wire("K1.85", "GB1.31", name="coil")
    for contact, lamp in (("K1.87", "E1"), ("K1.87a", "E2")):
        s.wire(contact, f"{lamp}.1")
        s.wire(f"{lamp}.31", "GB1.31")
    return s.done()


def with_coil_in_series(ohm: float) -> Overrides:
    return Overrides(joint_ohm=(("coil@K1.85", ohm),))


@LAWS
@pytest.mark.parametrize(
    ("series_ohm", "state"),
    [(0.0, "pulled in"), (59.0, "pulled in"), (61.0, "released"), (1e4, "released"), (math.inf, "released")],
)
def test_a_relay_pulls_in_at_its_threshold(series_ohm: float, state: str, laws: LawSet) -> None:
    # 12 V · 90/(90 + R) is 7.2 V at R = 60 Ω.
    s = solved(relay_circuit(), None, with_coil_in_series(series_ohm), laws)
    assert s.states["K1"] == state
    made, broken = ("E1", "E2") if state == "pulled in" else ("E2", "E1")
    taken = dict(s.parts())
    assert taken[made].watts > 1.0
    assert taken[broken].watts == pytest.approx(0.0, abs=1e-15)


@LAWS
@pytest.mark.parametrize(
    ("series_ohm", "state"), [(200.0, "pulled in"), (355.0, "pulled in"), (365.0, "released")]
)
def test_a_relay_that_was_pulled_in_holds_until_its_lower_threshold(
    series_ohm: float, state: str, laws: LawSet
) -> None:
    # 2.4 V at R = 360 Ω.
    network = expand(relay_circuit(), None, with_coil_in_series(series_ohm))
    held = solve(network, laws, before={"K1": "pulled in"})
    assert_physics(held)
    assert held.states["K1"] == state
    assert solve(network, laws).states["K1"] == "released"


@LAWS
def test_a_relay_that_breaks_its_own_coil_chatters(laws: LawSet) -> None:
    s = Sketch()
    s.battery()
    s.part("K1", "relay", coil_ohm=90.0, pull_in_v=7.2, drop_out_v=2.4, contacts="break")
    s.wire("GB1.30", "K1.30")
    s.wire("K1.87a", "K1.86")
    s.wire("K1.85", "GB1.31")
    assert solved(s.done(), laws=laws).states == {"K1": "chatters"} | (
        {"GB1": "discharging"} if laws is RATED else {}
    )


def charging(set_v: float, engine: str) -> Solution:
    s = Sketch()
    s.battery(rest_v=12.6, internal_mohm=10.0, charge_mohm=100.0)
    s.part("G1", "alternator", set_v=set_v, droop_mohm=10.0, max_a=60.0)
    s.wire("G1.B+", "GB1.30", 16.0, 500.0)
    s.wire("G1.B-", "GB1.31", 16.0, 500.0)
    s.part("E1", "heater", ohm=2.0)
    s.wire("GB1.30", "E1.1", 2.5)
    s.wire("E1.2", "GB1.31", 2.5)
    s.mode("now", engine=engine)
    return solved(s.done(), "now", laws=RATED)


@pytest.mark.parametrize(
    ("engine", "set_v", "state", "sign"),
    [
        ("off", 14.2, "discharging", -1.0),
        ("running", 14.2, "charging", 1.0),
        ("running", 12.0, "discharging", -1.0),
    ],
)
def test_a_battery_charges_or_discharges(engine: str, set_v: float, state: str, sign: float) -> None:
    s = charging(set_v, engine)
    assert s.states["GB1"] == state
    into = dict(s.parts())["GB1"].terminals["GB1.30"]
    assert math.copysign(1.0, into) == sign
    ohm = 0.1 if state == "charging" else 0.01
    assert s.volt("GB1.30") == pytest.approx(12.6 + ohm * into, abs=1e-12)


@LAWS
def test_an_island_is_named_and_has_no_volts(laws: LawSet) -> None:
    harness = shared_stud(2)
    s = Sketch()
    s.harness = harness
    s.splice("SPX")
    s.splice("SPY")
    s.wire("SPX", "SPY", name="lost")
    found = solved(s.done(), laws=laws)
    assert [u.what for u in found.unsolved] == ["floating, no way to the grounded post: lost"]
    assert set(found.unsolved[0].points) == {"SPX", "SPY"}
    assert found.volt("SPX") is None
    assert found.volt("lost@SPX") is None
    assert dict(found.wires())["lost"].amperes == 0.0
    assert found.volt("M1.1") == pytest.approx(12.5, abs=0.2)


@LAWS
def test_a_load_without_a_return_is_at_its_feeds_volts(laws: LawSet) -> None:
    found = solved(shared_stud(2), None, Overrides(joint_ohm=(("GP2", math.inf),)), laws)
    assert found.volt("E1.31") == pytest.approx(found.volt("E1.1"))
    assert dict(found.parts())["E1"].watts == pytest.approx(0.0, abs=1e-9)
    assert found.joint("GP2").drop_v == pytest.approx(
        (found.volt("E1.1") or 0.0) - (found.volt("shell.own1") or 0.0)
    )
    assert found.unsolved == ()


@LAWS
def test_points_joined_by_no_resistance_carry_current(laws: LawSet) -> None:
    found = solved(shared_stud(3, mohm=0.0), laws=laws)
    through = found.joint("GP1")
    returned = sum(
        r.terminals[f"{p}.31"] for p, r in found.parts() if p in ("M1", "M2", "M3")
    )  # into the lamps: out of them by the stud
    assert through.ohm == through.drop_v == 0.0
    assert through.amperes == pytest.approx(-returned, rel=1e-12)
    assert found.volt("GP1") == found.volt("shell.rear")


def test_a_loop_of_no_resistance_carries_what_it_must_in_all() -> None:
    s = Sketch()
    s.battery()
    s.splice("SP1")
    s.splice("SP2")
    for name in ("a", "b"):
        s.wire("SP1", "SP2", mm=0.0, name=name)
        s.found(f"SP1/{name}", 0.0)
        s.found(f"SP2/{name}", 0.0)
    s.part("R1", "resistor", ohm=6.0)
    s.wire("GB1.30", "SP1")
    s.wire("SP2", "R1.1")
    s.wire("R1.2", "GB1.31")
    found = solved(s.done())
    wires = dict(found.wires())
    assert wires["a"].amperes + wires["b"].amperes == pytest.approx(
        dict(found.parts())["R1"].terminals["R1.1"]
    )


def test_rings_of_one_terminal_share_the_current_of_their_wires() -> None:
    s = Sketch()
    s.harness = shared_stud(2)
    s.stack("GP1", ["W4", "W6"])
    harness = s.done()
    assert [w.ends[1].text for w in (harness.wires["W4"], harness.wires["W6"])] == ["GP1", "GP1"]
    found = solved(harness)
    wires = dict(found.wires())
    assert found.joint("GP1/W4").amperes == pytest.approx(wires["W4"].amperes + wires["W6"].amperes)
    assert found.joint("GP1/W6").amperes == found.joint("GP1/W4").amperes


@LAWS
def test_without_a_battery_nothing_is_solved_and_it_is_said(laws: LawSet) -> None:
    s = Sketch()
    s.part("E1", "lamp")
    s.wire("E1.1", "E1.31")
    found = solved(s.done(), laws=laws)
    assert [u.what for u in found.unsolved] == [
        "no battery: nothing drives a current and there is no post to read against"
    ]
    assert found.volt("E1.1") is None


def test_an_empty_harness_is_solved_to_nothing() -> None:
    found = solved(Sketch().done())
    assert (list(found.points()), list(found.parts())) == ([], [])


@LAWS
def test_a_vehicle_with_its_positive_grounded_reads_below_zero(laws: LawSet) -> None:
    s = Sketch(grounded="positive")
    s.body("shell", front=0.2, rear=0.6)
    s.battery(rest_v=12.6, internal_mohm=10.0)
    s.ground("GP1", "shell.front")
    s.ground("GP2", "shell.rear")
    s.wire("GB1.30", "GP1", 16.0)
    s.part("E1", "lamp", rated_v=12.0, rated_w=21.0)
    s.wire("GB1.31", "E1.1")
    s.wire("E1.31", "GP2")
    found = solved(s.done(), laws=laws)
    assert found.volt("GB1.30") == 0.0
    assert found.volt("E1.1") < -12.0
    assert -0.2 < found.volt("GP2") < 0.0


def test_two_batteries_in_series_give_their_sum() -> None:
    s = Sketch(system_v=24.0)
    s.battery("GB1", rest_v=12.6, internal_mohm=5.0)
    s.battery("GB2", rest_v=12.4, internal_mohm=5.0)
    s.wire("GB1.30", "GB2.31", 25.0, 300.0)
    s.part("E1", "heater", ohm=10.0)
    s.wire("GB2.30", "E1.1", 4.0)
    s.wire("E1.2", "GB1.31", 4.0)
    found = solved(s.done())
    amperes = dict(found.parts())["E1"].terminals["E1.1"]
    assert found.volt("GB2.30") == pytest.approx(25.0 - 0.01 * amperes, abs=0.01)


def test_an_unknown_joint_names_the_nearest() -> None:
    found = solved(shared_stud(1))
    with pytest.raises(AddressError, match="nearest is 'GP1/W4'"):
        found.joint("GP1/W44")
    with pytest.raises(AddressError, match=r"nearest is 'M1\.1'"):
        found.volt("M1.12")


def test_joints_are_listed_once_under_their_canonical_name() -> None:
    found = solved(shared_stud(2))
    names = [name for name, _ in found.joints()]
    assert len(names) == len(set(names))
    assert set(names) == {
        n for n in found.network.joints if found.network.branches.address[found.network.joints[n]] == n
    }


def test_what_is_assumed_is_told() -> None:
    s = Sketch()
    s.part("GB1", "battery")
    s.part("E1", "lamp")
    s.wire("GB1.30", "E1.1", None, None)
    s.wire("E1.31", "GB1.31")
    said = [str(a) for a in solved(s.done()).assumed]
    assert "W1: size not known, 1 mm² assumed" in said
    assert any(t.startswith("E1: rated_w not known") for t in said)
    assert any(t.startswith("GB1: rest_v not known") for t in said)
    assert len(said) == len(set(said))
