"""Who shares a joint: sides, sinks, splices and buses as places, and harnesses with something missing."""

import math

import pytest

from harness_studio.base.errors import AddressError
from harness_studio.electrics.shares import Share, Shares, shares
from harness_studio.model.harness import Harness
from harness_studio.network.network import Overrides
from tests.support.builders import parallel_returns, shared_stud
from tests.support.physics import solved
from tests.support.sketch import Sketch


def at(harness: Harness, joint: str, mode: str | None = None, overrides: Overrides | None = None) -> Shares:
    solution = solved(harness, mode, overrides)
    return shares(solution.network, solution, joint)


def listed(found: Shares, folded: bool = False) -> dict[str, Share]:
    return {r.element or r.point: r for r in found.rows if folded or r.way != "minor"}


def test_a_shared_stud_is_the_only_way_of_its_loads() -> None:
    found = at(shared_stud(3), "GP1")
    rows = listed(found)
    assert set(rows) == {"M1", "M2", "M3"}
    assert {(r.side, r.way, r.circuit) for r in rows.values()} == {
        ("return", "only", "Shared 1"),
        ("return", "only", "Shared 2"),
        ("return", "only", "Shared 3"),
    }
    assert [r.share for r in rows.values()] == pytest.approx([1.0] * 3)
    assert (found.sink, found.side) == ("GB1.31", "return")
    assert found.joint_amperes == pytest.approx(sum(r.amperes for r in rows.values()))


def test_rows_come_by_what_they_move_the_joint() -> None:
    found = at(shared_stud(3, mohm=50.0), "GP1")
    assert [r.element for r in found.rows][:3] == ["M3", "M2", "M1"]
    moved = [r.moved_mv for r in found.rows]
    assert moved == sorted(moved, reverse=True)
    assert sum(moved) == pytest.approx(1000.0 * found.drop_v)


def test_the_rise_is_that_of_the_first_side() -> None:
    harness = shared_stud(2, mohm=50.0)
    solution = solved(harness)
    assert shares(solution.network, solution, "GP1").rise_v == solution.volt("GP1")


def test_two_equal_ways_carry_half_each() -> None:
    s = Sketch()
    s.battery()
    s.part("E1", "lamp")
    s.splice("SP1")
    s.wire("GB1.30", "E1.1")
    s.wire("E1.31", "SP1")
    for name in ("a", "b"):
        s.wire("SP1", "GB1.31", 1.5, 1000.0, name=name)
    row = listed(at(s.done(), "a"))["E1"]
    assert (row.share, row.way) == (pytest.approx(0.5), "main")


def test_feed_and_return_of_a_load_are_told_apart() -> None:
    harness = shared_stud(2)
    feed = listed(at(harness, "SP1/W2"))
    assert {r.side for r in feed.values()} == {"feed"}
    assert {k: r.point for k, r in feed.items()} == {"M1": "M1.1", "M2": "M2.1", "E1": "E1.1"}
    assert all(r.way == "only" and r.amperes > 0.0 for r in feed.values())
    # From the wire's metal into the splice, as the current flows.
    assert {k: r.share for k, r in feed.items()} == pytest.approx({"M1": 1.0, "M2": 1.0, "E1": 1.0})


def test_a_splice_is_a_place_with_all_its_legs() -> None:
    found = at(shared_stud(2), "SP1")
    rows = listed(found)
    assert {(r.way, r.side) for r in rows.values()} == {("only", "feed")}
    assert set(rows) == {"M1", "M2", "E1"}
    assert [r.share for r in rows.values()] == pytest.approx([1.0] * 3)
    assert found.joint_amperes == pytest.approx(sum(r.amperes for r in rows.values()))
    assert found.drop_v == 0.0


def test_a_stud_on_two_ways_is_a_place_for_its_part() -> None:
    # M1 is bolted to metal as well as wired to the splice of the returns.
    rows = listed(at(parallel_returns(2, 1), "SPR", "now"), folded=True)
    assert rows["M2"].way == rows["M3"].way == "only"
    assert rows["M1"].way in ("main", "some", "minor")
    assert 0.0 < rows["M1"].share < 1.0


def test_a_bus_of_a_box_is_a_place() -> None:
    s = Sketch()
    s.battery()
    s.part("A1", "bus_bar")
    s.wire("GB1.30", "A1.in", 6.0)
    for number in (1, 2):
        s.part(f"E{number}", "lamp")
        s.wire(f"A1.out{number}", f"E{number}.1")
        s.wire(f"E{number}.31", "GB1.31")
    rows = listed(at(s.done(), "A1"))
    assert {k: r.way for k, r in rows.items()} == {"E1": "only", "E2": "only"}
    assert list(listed(at(s.done(), "A1/out1"))) == ["E1"]


def test_a_wire_and_a_fuse_are_places_by_their_ids() -> None:
    s = Sketch()
    s.battery()
    s.part("F1", "fuse", style="blade_medium", rated_a=10.0)
    s.part("E1", "lamp")
    s.wire("GB1.30", "F1.in")
    s.wire("F1.out", "E1.1", name="fed")
    s.wire("E1.31", "GB1.31")
    for joint in ("F1", "F1.in:clip", "fed", "fed@E1.1"):
        assert {k: r.way for k, r in listed(at(s.done(), joint)).items()} == {"E1": "only"}


def test_both_supply_and_are_blended_by_their_amperes() -> None:
    harness = parallel_returns(3, 2, engine="running", loads=4)
    s = Sketch()
    s.harness = harness
    s.harness.parts.pop("G1")
    s.part("G1", "alternator", mount=("B-", "engine.centre"), set_v=14.2, max_a=8.0)
    solution = solved(s.done(), "now")
    given = {p: -r.watts for p, r in solution.parts() if p in ("G1", "GB1")}
    assert min(given.values()) > 1.0
    battery_a = -dict(solution.parts())["GB1"].terminals["GB1.30"]
    part = battery_a / (battery_a + 8.0)
    found = shares(solution.network, solution, "GP1")
    assert found.sink == f"GB1.31 {part:.0%} + G1.B- {1.0 - part:.0%}"
    total = sum(r.share * r.amperes for r in found.rows)
    assert total == pytest.approx(found.joint_amperes, rel=1e-9)


def test_while_charging_the_battery_is_one_more_load() -> None:
    found = at(parallel_returns(2, 2, engine="running"), "strap_engine", "now")
    assert found.sink == "G1.B-"
    rows = listed(found)
    assert rows["GB1"].side == "return"
    assert "G1" not in rows


def test_cranking_the_battery_is_the_sink() -> None:
    assert at(parallel_returns(2, 2, engine="cranking"), "GP1", "now").sink == "GB1.31"


def gauge_and_sender() -> Harness:
    s = Sketch()
    s.body("shell", dash=0.2, tank=0.6)
    s.battery()
    s.wire("GB1.31", "shell.dash", 16.0)
    s.part("P1", "gauge", movement="two_coil", coil_ohm=(90.0, 90.0))
    s.part("B1", "sender", mount=("31", "shell.tank"), ohm={"half": 100.0})
    s.wire("GB1.30", "P1.15")
    s.wire("P1.31", "shell.dash")
    s.wire("P1.S", "B1.1", name="sent")
    return s.done()


def test_metal_between_two_loads_ends_at_the_one_that_takes_its_current() -> None:
    found = at(gauge_and_sender(), "sent@B1.1")
    assert found.sink == "B1.1"
    rows = listed(found)
    assert set(rows) == {"P1"}
    assert (rows["P1"].way, rows["P1"].share) == ("only", pytest.approx(1.0))
    assert found.joint_amperes == pytest.approx(rows["P1"].amperes)


def test_an_open_joint_shows_who_would_need_it() -> None:
    found = at(shared_stud(2), "GP1", overrides=Overrides(joint_ohm=(("GP1", math.inf),)))
    assert {k: r.way for k, r in listed(found).items()} == {"M1": "none", "M2": "none"}
    assert all(r.share == 0.0 for r in found.rows)
    assert (found.joint_amperes, found.ohm) == (0.0, math.inf)


def test_an_open_joint_beside_a_sound_way_carries_nothing() -> None:
    found = at(parallel_returns(2, 1), "GP1", "now", Overrides(joint_ohm=(("GP1", math.inf),)))
    assert all(r.share == 0.0 and r.way == "minor" for r in found.rows)


def test_a_joint_of_no_resistance_shares_as_it_must() -> None:
    ways = {}
    for mohm in (0.0, 1e-6):
        s = Sketch()
        s.harness = parallel_returns(2, 1)
        s.found("GP1", mohm)
        ways[mohm] = {k: r.share for k, r in listed(at(s.done(), "GP1", "now"), folded=True).items()}
    assert ways[0.0] == pytest.approx(ways[1e-6], rel=1e-6, abs=1e-9)


def test_only_way_is_never_told_from_a_number() -> None:
    s = Sketch()
    s.battery()
    s.part("E1", "lamp")
    s.splice("SP1")
    s.wire("GB1.30", "E1.1")
    s.wire("E1.31", "SP1")
    s.wire("SP1", "GB1.31", 35.0, 10.0, name="thick")
    s.wire("SP1", "GB1.31", 0.35, 90_000.0, name="thin")
    row = listed(at(s.done(), "thick"))["E1"]
    assert row.share > 0.9999
    assert row.way == "main"
    assert listed(at(s.done(), "thin"), folded=True)["E1"].way == "minor"


def test_carriers_are_the_wires_of_the_sharing_circuits() -> None:
    found = at(shared_stud(2), "GP1")
    assert found.sharing_wires >= {"W4", "W6", "W3", "W5", "W2", "W1"}
    assert not found.sharing_wires & {"W7", "W8"}
    assert found.carriers["W1"] == pytest.approx(found.joint_amperes)


def imported() -> Harness:
    """Return a harness as an import leaves it: connectors and a ring, no loads, no source, a body `unknown`."""
    s = Sketch()
    s.body("unknown", p1=0.0)
    s.half("X1", "123")
    s.splice("SP1")
    s.ground("GP1", "unknown.p1")
    s.part("A1", "device", terminals=("7",))
    s.wire("X1.1", "SP1", circuit="a")
    s.wire("X1.2", "SP1", circuit="b")
    s.wire("SP1", "GP1", name="back")
    s.wire("X1.3", "unknown", circuit="c")
    s.wire("A1.7", "GP1", circuit="d")
    return s.done()


def test_an_imported_harness_has_unknown_returns_and_ends_at_its_unknown_body() -> None:
    harness = imported()
    solution = solved(harness)
    assert solution.network.unknown_returns == ("X1.1", "X1.2", "X1.3", "A1.7")
    found = shares(solution.network, solution, "back")
    assert found.sink == "unknown"
    rows = {r.point: r for r in found.rows if r.way != "minor"}
    assert {p: (r.way, r.part, r.circuit) for p, r in rows.items()} == {
        "X1.1": ("only", "X1", "a"),
        "X1.2": ("only", "X1", "b"),
    }
    assert [r.share for r in rows.values()] == pytest.approx([1.0, 1.0])
    assert {r.amperes for r in found.rows} == {0.0}
    stud = {r.point: r.way for r in shares(solution.network, solution, "GP1").rows}
    assert stud == {"X1.1": "only", "X1.2": "only", "A1.7": "only"}


@pytest.mark.parametrize("joint", ["GP9", "GP1/W99", "X1.1"])
def test_a_joint_that_is_not_there(joint: str) -> None:
    with pytest.raises(AddressError):
        at(shared_stud(1), joint)


def test_a_splice_that_no_wire_reaches() -> None:
    s = Sketch()
    s.harness = shared_stud(1)
    s.splice("SPX")
    with pytest.raises(AddressError, match="SPX"):
        at(s.done(), "SPX")
