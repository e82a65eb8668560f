"""What cannot be as a file says: each names the part and what is wrong, and the rest is still solved."""

import pytest

from harness_studio.base.errors import AddressError, InputError
from harness_studio.electrics.readings import readings
from harness_studio.electrics.solution import Solution
from harness_studio.electrics.solve import solve
from harness_studio.network.expand import expand
from harness_studio.storage.project_file import parse
from tests.support.physics import assert_physics
from tests.support.sketch import Sketch


def with_a_lamp() -> Sketch:
    """Return a battery and a lamp that has nothing to do with what is wrong."""
    s = Sketch()
    s.battery(internal_mohm=8.0)
    s.part("E9", "lamp", rated_v=12.0, rated_w=21.0)
    s.wire("GB1.30", "E9.1")
    s.wire("E9.31", "GB1.31")
    return s


def still_lit(s: Sketch) -> Solution:
    solution = solve(expand(s.done()))
    assert_physics(solution)
    light = readings(s.harness, solution)["E9 light"].value
    assert light is not None
    assert light > 50.0
    return solution


def said(solution: Solution, part: str) -> str:
    return " ".join(a.what for a in solution.assumed if a.id == part)


def coil(**ratings: float) -> Sketch:
    s = with_a_lamp()
    s.part("K1", "relay", coil_ohm=90.0, **ratings)
    s.wire("GB1.30", "K1.86")
    s.wire("K1.85", "GB1.31")
    return s


def test_a_stall_current_below_the_running_one() -> None:
    s = with_a_lamp()
    s.part("M1", "motor", rated_v=12.0, rated_a=10.0, stall_a=5.0)
    s.wire("GB1.30", "M1.15")
    s.wire("M1.31", "GB1.31")
    assert "stall current 5 A is not above the running 10 A" in said(still_lit(s), "M1")


def test_a_coil_that_never_pulls_in() -> None:
    solution = still_lit(coil(pull_in_v=20.0))
    assert "pulls in at 20 V, more than all sources give (12.65 V)" in said(solution, "K1")
    assert solution.states["K1"] == "released"
    assert "never" not in said(still_lit(coil(pull_in_v=12.0)), "K1")


def test_a_coil_that_drops_out_above_its_pull_in() -> None:
    solution = still_lit(coil(pull_in_v=6.0, drop_out_v=8.0))
    assert "drops out at 8 V, not below its pull-in at 6 V: 2 V taken" in said(solution, "K1")
    assert solution.states["K1"] == "pulled in"


@pytest.mark.parametrize(
    ("part", "what"),
    [
        ("R1: {kind: resistor, ohm: -3}", "ohm"),
        ("GB1: {kind: battery, internal_mohm: -8}", "internal_mohm"),
        ("K1: {kind: relay, coil_ohm: 0}", "coil_ohm"),
    ],
)
def test_a_resistance_that_is_none_is_refused_where_it_stands(part: str, what: str) -> None:
    with pytest.raises(InputError, match=f"3:.*{what}"):
        parse(f"harness_studio: 1\nparts:\n  {part}\n", "x.yaml")


def test_a_loop_of_sources_is_solved_and_says_what_limits_it() -> None:
    s = Sketch()
    for name, rest_v in (("GB1", 12.6), ("GB2", 12.0)):
        s.battery(name, rest_v=rest_v, internal_mohm=0.0, charge_mohm=0.0)
    s.wire("GB1.30", "GB2.30", 25.0, 500.0)
    s.wire("GB1.31", "GB2.31", 25.0, 500.0)
    solution = solve(expand(s.done()))
    assert_physics(solution, floor_a=1e-8)
    assert "a loop of sources has no limit" in said(solution, "GB1")
    joints_and_wires = sum(float(r) for r in solution.ohm)
    through = dict(solution.parts())["GB2"].terminals["GB2.30"]
    assert through == pytest.approx(0.6 / joints_and_wires, rel=0.01)


def test_no_battery_is_said_once_and_nothing_else() -> None:
    s = Sketch()
    s.part("E1", "lamp", rated_v=12.0, rated_w=5.0)
    s.wire("E1.1", "E1.31")
    solution = solve(expand(s.done()))
    assert [u.what.split(":")[0] for u in solution.unsolved] == ["no battery"]


def test_a_return_that_is_not_connected_is_named() -> None:
    s = with_a_lamp()
    s.part("E1", "lamp", rated_v=12.0, rated_w=5.0)
    s.wire("GB1.30", "E1.1")
    solution = still_lit(s)
    assert [u.what for u in solution.unsolved] == ["E1.31 is not connected: nothing returns from E1"]
    assert solution.volt("E1.31") == pytest.approx(12.6, abs=0.1)


def test_gauge_coils_that_cannot_be_told_apart() -> None:
    s = with_a_lamp()
    s.part("P1", "gauge", coil_ohm=(90.0,))
    s.part("B1", "sender", ohm={"full": 33.0})
    for a, b in (("GB1.30", "P1.15"), ("P1.31", "GB1.31"), ("P1.S", "B1.1"), ("B1.31", "GB1.31")):
        s.wire(a, b)
    assert "coil_ohm not known for both coils, 90 Ω assumed" in said(still_lit(s), "P1")


def test_a_mode_that_names_a_missing_switch() -> None:
    harness = with_a_lamp().done()
    from harness_studio.model.entities import Mode

    harness.tables["modes"]["now"] = Mode("now", set={"S1": "on"})
    with pytest.raises(AddressError, match="mode 'now' sets S1, which is no switch"):
        expand(harness, "now")
