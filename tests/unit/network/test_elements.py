"""Which working element stands between which points."""

import pytest

from harness_studio.electrics.shares import shares
from harness_studio.electrics.solve import solve
from harness_studio.model.kinds import KINDS
from harness_studio.model.kinds.control import UnitTerminal
from harness_studio.model.kinds.loads import Filament
from harness_studio.network.elements import PASSIVE_KINDS
from harness_studio.network.expand import expand
from harness_studio.network.network import Network
from tests.support.sketch import Sketch


def elements_of(s: Sketch, mode: str | None = None) -> dict[str, tuple[str, ...]]:
    return {e.address: tuple(e.terminals) for e in expand(s.done(), mode).elements}


@pytest.mark.parametrize(
    ("kind", "terminals"),
    [
        ("battery", ("30", "31")),
        ("lamp", ("1", "31")),
        ("motor", ("15", "31")),
        ("gauge", ("15", "S", "31")),
        ("relay", ("86", "85")),
        ("diode", ("A", "K")),
        ("starter", ("30", "50", "31")),
    ],
)
def test_an_element_has_the_terminals_it_works_between_with_its_return_last(
    kind: str, terminals: tuple[str, ...]
) -> None:
    s = Sketch()
    s.part("D1", kind)
    assert elements_of(s) == {"D1": terminals}


@pytest.mark.parametrize("kind", sorted(PASSIVE_KINDS))
def test_metal_and_unknown_devices_hold_no_element(kind: str) -> None:
    s = Sketch()
    s.part("D1", kind)
    assert elements_of(s) == {}


@pytest.mark.parametrize("kind", sorted(KINDS))
def test_a_harness_with_any_kind_of_part_is_solved(kind: str) -> None:
    s = Sketch()
    s.battery()
    s.splice("SP1")
    s.wire("GB1.30", "SP1")
    s.wire("SP1", "GB1.31", mm=1e6)
    part = KINDS[kind]
    names = part.terminals(part.ratings()) or ("1", "2")
    s.part("D1", kind)
    s.wire("SP1", f"D1.{names[0]}")
    s.wire(f"D1.{names[-1]}", "GB1.31")
    assert solve(expand(s.done())).volt("GB1.30") == pytest.approx(12.65, abs=1.5)


def test_each_filament_is_an_element_with_a_common_return() -> None:
    s = Sketch()
    s.part("E5", "lamp", elements={"stop": Filament(("54", "31")), "tail": Filament(("58", "31"))})
    assert elements_of(s) == {"E5/stop": ("54", "31"), "E5/tail": ("58", "31")}


UNIT = {
    "30": UnitTerminal("supply"),
    "31": UnitTerminal("ground"),
    "31s": UnitTerminal("sensor_ground"),
    "s": UnitTerminal("sensor_input", to="31s"),
    "q": UnitTerminal("low_side"),
    "h": UnitTerminal("high_side"),
    "n": UnitTerminal("unused"),
}


def test_each_working_terminal_of_a_control_unit_is_an_element() -> None:
    s = Sketch()
    s.part("A1", "control_unit", terminals=UNIT)
    assert elements_of(s) == {
        "A1/s": ("30", "s", "31", "31s"),
        "A1/q": ("30", "q", "31"),
        "A1/h": ("30", "h", "31"),
    }


def relay_that_feeds_a_lamp() -> Network:
    s = Sketch()
    s.battery()
    s.part("K1", "relay", coil_ohm=90.0, pull_in_v=7.2, drop_out_v=2.4)
    s.switch("S1", off=(), on=(("30", "87"),))
    s.part("E1", "lamp", rated_v=13.5, rated_w=21.0)
    s.splice("SP1")
    s.wire("GB1.30", "SP1", 4.0, name="main")
    s.wire("SP1", "K1.30", name="contact")
    s.wire("SP1", "S1.30")
    s.wire("S1.87", "K1.86")
    s.wire("K1.85", "GB1.31")
    s.wire("K1.87", "E1.1")
    s.wire("E1.31", "GB1.31")
    s.mode("off", set={"S1": "off"})
    return expand(s.done(), "off")


def test_a_relay_does_not_share_a_feed_through_its_contact_alone() -> None:
    network = relay_that_feeds_a_lamp()
    found = shares(network, solve(network), "contact@K1.30")
    assert [r.element for r in found.rows] == []


def test_what_a_mode_says_of_a_part_is_its_elements_state() -> None:
    s = Sketch()
    s.battery()
    s.part("M2", "motor")
    s.part("B1", "sender", ohm={"empty": 240.0, "full": 33.0})
    s.part("E1", "lamp")
    s.mode("now", engine="running", loads={"M2": "stall"}, senders={"B1": "full"})
    states = {e.address: e.state for e in expand(s.done(), "now").elements}
    assert states == {"GB1": "running", "M2": "stall", "B1": "full", "E1": None}
