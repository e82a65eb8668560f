"""What rules read off a solved mode: drops, shares over studs, ampacity in company; numbers worked by hand."""

import pytest

from harness_studio.checks.how import How
from harness_studio.checks.runner import check
from harness_studio.checks.scope import scope_of
from harness_studio.checks.studs import path_ohm
from harness_studio.electrics.heat.ampacity import Ampacity, free_air
from harness_studio.electrics.heat.cable import Cable
from harness_studio.electrics.shares import shares
from harness_studio.standards.figures import Figure, NotJudged
from tests.support.vehicle import vehicle
from tests.unit.checks import harnesses as h
from tests.unit.checks.cases_protection import company


def test_drops_of_a_load_add_up_to_what_the_battery_gives() -> None:
    (state,) = scope_of(h.sound(), ["driving"]).states
    lamp = next(load for load in state.loads if load.part == "E1")
    across = abs(state.solution.volts[lamp.feed] - state.solution.volts[lamp.back])
    assert state.posts is not None
    assert lamp.path_drop_v is not None
    assert lamp.path_drop_v + across == pytest.approx(state.posts.volts(state.solution), abs=1e-9)
    assert 0.0 < (lamp.back_drop_v or 0.0) < (lamp.feed_drop_v or 0.0)


def test_positive_ground_loses_the_same_on_the_other_side() -> None:
    # Kirchhoff: the same circuit with the battery turned round.
    from tests.support.sketch import Sketch

    drops = []
    for grounded, hot, cold in (("negative", "30", "31"), ("positive", "31", "30")):
        s = Sketch(grounded=grounded)
        s.battery()
        s.body("shell", a=0.5)
        s.wire(f"GB1.{cold}", "shell.a", 6.0, 500.0, name="W0")
        s.part("R1", "resistor", ohm=2.0)
        s.wire(f"GB1.{hot}", "R1.1", 1.0, 2000.0, name="W1")
        s.wire("R1.2", "shell.a", 1.0, 500.0, name="W2")
        (state,) = scope_of(s.done(), [None]).states
        (load,) = state.loads
        drops.append((load.feed_drop_v, load.back_drop_v, load.amperes))
    assert drops[0] == pytest.approx(drops[1], rel=1e-9)


def test_a_load_behind_another_has_no_drop_on_that_side() -> None:
    # A charge lamp between the key and D+: its return is the generator's, not the ground.
    x = h.sound()
    h.with_generator(x)
    s = h.grown(x)
    s.part("E9", "lamp", rated_v=13.5, rated_w=2.0)
    s.wire("S0.15", "E9.1", 1.0, 300.0, name="W60", insulation="TXL")
    s.wire("E9.31", "G1.D+", 1.0, 300.0, name="W61", insulation="TXL")
    (state,) = scope_of(x, ["driving"]).states
    for load in state.loads:
        if load.part == "E9":
            assert load.path_drop_v is None


@pytest.mark.parametrize("seed", [1, 2])
def test_shares_over_all_studs_are_those_of_each_joint(seed: int) -> None:
    # Constructed; against the shares of one joint at a time.
    (state,) = scope_of(vehicle(seed, 40), ["running_lamps"]).states
    for number, stud in enumerate(state.studs.studs[:6]):
        rows = {
            r.element: r for r in shares(state.network, state.solution, stud.joint).rows if r.side == "return"
        }
        for load in state.loads:
            row = rows.get(load.element)
            if row is not None and load.back is not None and row.point == state.network.points[load.back]:
                node = state.metal.node[load.back]
                assert state.studs.share[number, node] == pytest.approx(abs(row.share), abs=1e-9)


def test_the_way_back_in_milliohms_is_that_of_the_parts_in_series() -> None:
    # GP0 to the post: 0.3 m of 16 mm² (ISO 6722: 1.16 mΩ/m), two lug crimps, one ring on M8, one post clamp.
    x = h.sound()
    (state,) = scope_of(x, ["driving"]).states
    assert state.posts is not None
    sink = int(state.metal.node[state.posts.grounded])
    found = path_ohm(state.metal, sink, {"GP0": state.network.index["GP0"]})
    clean = state.network.branches
    named = {"W0", "W0@GB1.31", "W0@GP0", "GP0/W0", "GB1.31/W0"}
    parts = sum(float(state.solution.ohm[n]) for n, address in enumerate(clean.address) if address in named)
    assert found["GP0"] == pytest.approx(parts, rel=1e-9)
    assert parts == pytest.approx(0.3 * 1.16e-3, abs=0.5e-3)


def test_a_wire_alone_may_carry_its_free_air_ampacity() -> None:
    (state,) = scope_of(h.sound(), ["driving"]).states
    row = state.wires["W3"]
    alone = free_air(Cable(2.5, "TXL"), 30.0)
    assert isinstance(row.may, Ampacity)
    assert isinstance(alone, Figure)
    assert row.may.figure.value == pytest.approx(alone.value)
    assert row.steady_c == pytest.approx(state.solution.wire_temperatures_c()["W3"], abs=0.05)


def test_ten_wires_in_a_run_leave_what_the_curve_says() -> None:
    # MIL-W-5088L curve: 10 wires at 20 % of capacity: 0.755.
    x = h.sound()
    company(x, "W3", 9)
    (state,) = scope_of(x, ["driving"]).states
    row = state.wires["W3"]
    assert row.around.in_run == 10
    assert row.around.share < 0.2
    assert isinstance(row.may, Ampacity)
    assert isinstance(row.alone, Figure)
    assert row.may.figure.value == pytest.approx(0.755 * row.alone.value)


def test_a_bundle_makes_a_wire_as_hot_as_more_current_would() -> None:
    x = h.sound()
    company(x, "W3", 9)
    (state,) = scope_of(x, ["driving"]).states
    row = state.wires["W3"]
    assert row.equal_a == pytest.approx(abs(row.amperes) / 0.755)
    assert row.steady_c is not None
    assert row.steady_c > state.solution.wire_temperatures_c()["W3"]


def test_thirty_wires_are_judged_by_a_handbook_table() -> None:
    x = h.sound()
    company(x, "W3", 29)
    (state,) = scope_of(x, ["driving"]).states
    may = state.wires["W3"].may
    assert isinstance(may, Ampacity)
    assert may.figure.method == "handbook table"
    assert "not judged by the curve" in may.figure.note


def test_the_user_chooses_the_method() -> None:
    # 33 CFR 183.425 table 5: AWG 14 (2.08 mm²) 125 °C: 40 A; 2.5 mm² is taken as that, the next smaller row.
    (state,) = scope_of(h.sound(), ["driving"], How("handbook table", "cfr_33_183_425")).states
    may = state.wires["W7"].may
    assert isinstance(may, Ampacity)
    assert may.figure.value == 40.0
    assert may.figure.table == "33 CFR 183.425 table 5"


def test_what_the_user_asks_for_now_goes_before_what_the_file_says() -> None:
    x = h.sound()
    h.way_to_ampacity(x, "cfr_33_183_425")
    assert str(scope_of(x, ["driving"]).how) == "handbook table cfr_33_183_425"
    assert str(scope_of(x, ["driving"], How("heat balance")).how) == "heat balance"


def test_small_craft_have_the_table_of_the_law_by_default() -> None:
    x = h.sound()
    h.limits_of(x, "small_craft")
    scope = scope_of(x, ["driving"])
    assert (scope.how.method, scope.how.table) == ("handbook table", "cfr_33_183_425")


def test_altitude_comes_from_the_limit_set() -> None:
    # AC 43.13-1B 11-68e: 0.91 at 20,000 ft.
    x = h.sound()
    h.limits_of(x, "aviation_circular")
    (state,) = scope_of(x, ["driving"]).states
    row = state.wires["W3"]
    assert isinstance(row.may, Ampacity)
    assert isinstance(row.alone, Figure)
    assert row.may.figure.value == pytest.approx(0.91 * row.alone.value)


def test_a_mode_without_a_solution_is_kept_with_the_reason() -> None:
    x = h.sound()
    h.wire(x, "W3", material="unobtainium")
    scope = scope_of(x)
    assert scope.states == ()
    assert [mode for mode, _ in scope.unsolved] == ["parked", "driving"]


def test_of_two_modes_the_one_that_allows_less_counts_for_a_fuse() -> None:
    x = h.sound()
    x.modes["driving"] = h.replace(x.modes["driving"], ambient_c={"rear": 80.0})
    scope = scope_of(x)
    assert scope.least["W3"].around.ambient_c == 80.0
    h.wire(x, "W3", insulation=None)
    assert isinstance(scope_of(x).least["W3"].may, NotJudged)


@pytest.mark.parametrize("seed", [1, 2, 3])
def test_the_order_of_the_modes_changes_no_finding(seed: int) -> None:
    # Contacts that close add branches: numbers of one mode's network mean nothing in another's.
    x = vehicle(seed, 40)
    modes = ["off", "running_lamps", "braking"]
    forward, backward = (check(scope_of(x, order)) for order in (modes, modes[::-1]))
    assert {(f.rule, f.grade, frozenset(f.ids), f.text) for f in forward} == {
        (f.rule, f.grade, frozenset(f.ids), f.text) for f in backward
    }
    assert "check_failed" not in {f.rule for f in forward}
