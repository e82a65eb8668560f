"""Discrete states: where each begins, between which volts it holds, and what the solver makes of them."""

import math

import numpy as np
import pytest

from harness_studio.electrics.laws import discrete
from harness_studio.electrics.laws.discrete import CHOICES, flips, initial, judged, thresholds
from harness_studio.electrics.solve import solve
from harness_studio.model.harness import Harness
from harness_studio.model.kinds.control import UnitTerminal
from harness_studio.network.expand import expand
from harness_studio.network.network import Network
from tests.support.bare import bared, emf, joined
from tests.support.physics import assert_physics, solved
from tests.support.sketch import Sketch


def at_volts(network: Network, **by_terminal: float) -> np.ndarray:
    """Return volts of all points: those of X1's terminals as given, else 0 V."""
    volts = np.zeros(network.size)
    for terminal, value in by_terminal.items():
        volts[network.index[f"X1.{terminal.lstrip('t')}"]] = value
    return volts


def part(kind: str, mode: str | None = None, **ratings: object) -> Network:
    s = Sketch()
    s.battery()
    s.part("X1", kind, **ratings)
    for terminal in s.harness.parts["X1"].terminals() or ():
        s.wire(f"X1.{terminal}", "GB1.31", 1.0, 100.0)
    s.mode("now", engine=mode or "off")
    return expand(s.done(), "now")


def wanted(network: Network, state: str, **by_terminal: float) -> str | None:
    """Return what state an element wants at given volts; None if it stays."""
    found = flips(network, {"X1": state}, at_volts(network, **by_terminal))
    return found[0].to if found else None


@pytest.mark.parametrize(
    ("state", "volts", "to"),
    [
        ("released", 6.99, None),
        ("released", 7.0, "pulled in"),
        ("pulled in", 3.0, None),
        ("pulled in", 2.99, "released"),
    ],
)
@pytest.mark.parametrize("sign", [1.0, -1.0])
def test_a_relay_has_hysteresis_either_way_round(
    state: str, volts: float, to: str | None, sign: float
) -> None:
    relay = part("relay", pull_in_v=7.0, drop_out_v=3.0)
    assert wanted(relay, state, t86=sign * volts) == to


def test_thresholds_where_they_are_not_known() -> None:
    assert thresholds(None, None) == (7.2, 2.4)
    assert thresholds(9.0, None) == (9.0, pytest.approx(3.0))
    assert thresholds(None, 4.8) == (pytest.approx(14.4), 4.8)
    assert thresholds(8.0, 1.0) == (8.0, 1.0)


@pytest.mark.parametrize(
    ("state", "volts", "to"),
    [("on", 9.0, None), ("on", 8.99, "cut out"), ("cut out", 10.99, None), ("cut out", 11.0, "on")],
)
def test_a_converter_cuts_out_and_in(state: str, volts: float, to: str | None) -> None:
    assert wanted(part("converter", cut_out_v=9.0, cut_in_v=11.0), state, t15=volts) == to


def test_a_converter_of_which_nothing_is_said_still_has_a_least() -> None:
    converter = part("converter", rated_v=13.5)
    assert wanted(converter, "on", t15=1.41) == "cut out"
    assert wanted(converter, "on", t15=1.43) is None


@pytest.mark.parametrize(
    ("state", "volts", "to"),
    [
        ("passing", 9.99, None),
        ("passing", 10.0, "regulating"),
        ("regulating", 9.99, "passing"),
        ("regulating", 14.0, None),
    ],
)
def test_a_stabiliser_regulates_above_its_volts(state: str, volts: float, to: str | None) -> None:
    assert wanted(part("stabiliser", nominal_v=10.0), state, t15=volts) == to


MACHINE = {"set_v": 14.2, "droop_mohm": 10.0, "max_a": 50.0}
"""Limited below 14.2 V − 50 A·10 mΩ = 13.7 V; held at 18.034 V."""


@pytest.mark.parametrize(
    ("state", "sense_v", "out_v", "to"),
    [
        ("regulating", 14.0, 14.0, None), ("regulating", 13.69, 13.7, "limited"), ("regulating", 14.21, 14.3, "idle"),
        ("regulating", 14.2, 14.2, None), ("regulating", 14.0, 18.1, "held"), ("limited", 12.0, 12.2, None),
        ("limited", 13.71, 13.8, "regulating"), ("limited", 12.0, 18.1, "held"), ("idle", 14.5, 14.5, None),
        ("idle", 14.19, 14.19, "regulating"), ("held", 12.0, 18.0, None), ("held", 14.3, 18.0, "regulating"),
        ("held", 12.0, 17.0, "limited"),
    ],
)  # fmt: skip
def test_the_states_of_a_machine(state: str, sense_v: float, out_v: float, to: str | None) -> None:
    network = part("alternator", "running", **MACHINE)
    volts = at_volts(network, S=sense_v)
    volts[network.index["X1.B+"]] = out_v
    found = flips(network, {"X1": state}, volts)
    assert (found[0].to if found else None) == to


def test_a_machine_stands_with_its_engine() -> None:
    for mode, state in (
        ("off", "standing"),
        ("cranking", "standing"),
        ("idling", "unexcited"),
        ("running", "regulating"),
    ):
        network = part("alternator", mode)
        assert initial(network) == {"X1": state}
    assert flips(part("alternator"), {"X1": "standing"}, at_volts(part("alternator"), S=20.0)) == []


@pytest.mark.parametrize("kind", ["relay", "starter"])
def test_coils_start_released_or_as_before(kind: str) -> None:
    network = part(kind)
    assert initial(network) == {"X1": "released"}
    assert initial(network, {"X1": "pulled in"}) == {"X1": "pulled in"}
    assert initial(network, {"X1": "no such state", "X9": "on"}) == {"X1": "released"}


def test_a_starter_with_nothing_at_its_control_is_closed_by_the_mode() -> None:
    s = Sketch()
    s.battery()
    s.part("X1", "starter")
    s.wire("GB1.30", "X1.30", 35.0, 500.0)
    s.wire("X1.31", "GB1.31", 35.0, 500.0)
    for mode in ("off", "cranking"):
        s.mode(mode, engine=mode)
    harness = s.done()
    assert initial(expand(harness, "off")) == {"X1": "released"}
    cranking = expand(harness, "cranking")
    assert initial(cranking) == {"X1": "pulled in"}
    assert len(judged(cranking, {"X1": "pulled in"}).elements) == 0  # no threshold can release it


def test_an_element_in_an_island_is_taken_to_have_no_volts() -> None:
    network = part("relay")
    volts = at_volts(network)
    volts[network.index["X1.86"]] = math.nan
    assert flips(network, {"X1": "pulled in"}, volts)[0].to == "released"


def test_the_worst_is_first_and_each_element_once() -> None:
    s = Sketch()
    s.battery()
    for name in ("K1", "K2"):
        s.part(name, "relay", pull_in_v=7.0)
        for terminal in ("85", "86", "30", "87"):
            s.wire(f"{name}.{terminal}", "GB1.31", 1.0, 100.0)
    network = expand(s.done())
    volts = np.zeros(network.size)
    volts[network.index["K1.86"]], volts[network.index["K2.86"]] = 8.0, 13.0
    found = flips(network, {"K1": "released", "K2": "released"}, volts)
    assert [f.element for f in found] == ["K2", "K1"]
    assert found[0].by == pytest.approx(13.0 / 7.0 - 1.0)


def test_many_columns_are_judged_at_once() -> None:
    network = part("relay", pull_in_v=7.0)
    volts = np.zeros((network.size, 3))
    volts[network.index["X1.86"]] = [0.0, 7.5, -8.0]
    under, over = judged(network, {"X1": "released"}).outside(volts)
    assert over.tolist() == [[False, True, True]]
    assert not under.any()


def test_every_state_that_a_flip_may_want_is_one_of_its_kind() -> None:
    kinds = {"relay", "starter", "alternator", "dynamo", "stabiliser", "converter"}
    for kind in kinds:
        network = part(kind, "running")
        for state in CHOICES[kind]:
            at = judged(network, {"X1": state})
            assert {s for s in (*at.below, *at.above) if s} <= set(CHOICES[kind])
    assert {k: set(v) for k, v in discrete.RELIEF.items()}.keys() <= CHOICES.keys()


def unit(rest_v: float, **ratings: object) -> Harness:
    s = Sketch()
    emf(s, rest_v)
    does = {
        "30": UnitTerminal("supply"), "31": UnitTerminal("ground"), "p": UnitTerminal("draw", amps=0.5),
        "q": UnitTerminal("low_side", to="31", ohm=0.1),
    }  # fmt: skip
    s.part("A1", "control_unit", terminals=does, **ratings)
    s.part("R1", "resistor", ohm=10.0)
    joined(
        s, ("GB1.30", "A1.30"), ("GB1.30", "A1.p"), ("A1.31", "GB1.31"), ("GB1.30", "R1.1"), ("R1.2", "A1.q")
    )
    return bared(s)


def test_all_terminals_of_a_unit_turn_together() -> None:
    for rest_v, state in ((12.0, "on"), (7.0, "cut out")):
        solution = solve(expand(unit(rest_v, cut_out_v=8.0)))
        assert set(solution.states.values()) == {state}
        through = dict(solution.parts())["R1"].terminals["R1.1"] if state == "on" else 0.0
        assert through == pytest.approx(12.0 / 10.1 if state == "on" else 0.0, rel=1e-5)


def three_converters(rest_v: float, feed_ohm: float, watts: float) -> Harness:
    s = Sketch()
    s.battery(rest_v=rest_v, internal_mohm=10.0)
    s.splice("SP1")
    s.wire("GB1.30", "SP1", 6.0, 100.0, name="W_feed")
    s.found("SP1/W_feed", 1000.0 * feed_ohm)
    for name in ("T1", "T2", "T3"):
        s.part(name, "converter", rated_v=12.0, rated_w=watts, cut_out_v=6.5, cut_in_v=7.0)
        s.wire("SP1", f"{name}.15", 1.5, 300.0)
        s.wire(f"{name}.31", "GB1.31", 1.5, 300.0)
    return s.done()


def test_of_three_that_ask_too_much_together_only_as_many_give_up_as_must() -> None:
    """12 V behind 0.5 Ω can give 72 W: two of three loads of 30 W run, the third starts and stops."""
    solution = solved(three_converters(12.0, 0.48, 30.0))
    assert sorted(solution.states.values()) == ["hiccups", "on", "on"]


def test_all_run_where_all_can() -> None:
    assert set(solved(three_converters(12.0, 0.1, 30.0)).states.values()) == {"on"}


def test_none_runs_where_none_can() -> None:
    """12 V behind 3 Ω can give 12 W."""
    assert "on" not in solved(three_converters(12.0, 3.0, 30.0)).states.values()


def test_the_alternator_alone_carries_what_it_can() -> None:
    """The battery's cable opens with the engine running: the machine's own current sets how far the volts fall."""
    s = Sketch()
    s.battery()
    s.body("engine", block=0.05)
    s.wire("GB1.31", "engine.block", 35.0, 400.0)
    s.part("G1", "alternator", mount=("B-", "engine.block"), set_v=14.2, max_a=20.0)
    s.splice("SP1")
    s.wire("GB1.30", "SP1", 16.0, 400.0, name="W_battery")
    s.wire("G1.B+", "SP1", 16.0, 900.0)
    s.part("R1", "resistor", ohm=0.5)
    s.part("T1", "converter", rated_v=13.5, rated_w=40.0, cut_out_v=6.0)
    for load, first, second in (("R1", "1", "2"), ("T1", "15", "31")):
        s.wire("SP1", f"{load}.{first}", 4.0, 900.0)
        s.wire(f"{load}.{second}", "engine.block", 4.0, 300.0)
    s.found("SP1/W_battery", math.inf)
    s.mode("run", engine="running")
    solution = solved(s.done(), "run")
    assert solution.states["G1"] == "limited"
    given_a = -dict(solution.parts())["G1"].terminals["G1.B+"]
    assert given_a == pytest.approx(20.0, rel=1e-3)
    out_v = solution.volt("SP1")
    assert out_v is not None
    assert 6.0 < out_v < 10.0
    assert_physics(solution)
