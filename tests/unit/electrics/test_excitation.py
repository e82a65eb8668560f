"""An alternator's first field comes through its charge lamp: common practice, no source; figures from memory."""

import math

import pytest

from harness_studio.electrics.readings import readings
from harness_studio.electrics.solve import solve
from harness_studio.model.harness import Harness
from harness_studio.network.expand import expand
from tests.support.physics import solved
from tests.support.sketch import Sketch


def charged(
    lamp: str = "lamp", kind: str = "alternator", *, wired: bool = True, opened: bool = False
) -> Harness:
    """Return a machine with a charge lamp, or what stands in its place, between the key and D+."""
    s = Sketch()
    s.battery()
    s.body("engine", block=0.05)
    s.wire("GB1.31", "engine.block", 25.0, 500.0)
    s.part("G1", kind, mount=("B-", "engine.block"), set_v=14.2, max_a=60.0, idle_hot_a=30.0)
    s.wire("G1.B+", "GB1.30", 16.0, 1000.0)
    s.switch("S1", off=(), on=(("1", "2"),))
    s.part("R9", "resistor", ohm=2.0)
    s.wire("GB1.30", "R9.1", 4.0)
    s.wire("R9.2", "engine.block", 4.0)
    s.wire("GB1.30", "S1.1")
    if wired:
        ratings: dict[str, object] = (
            {"rated_v": 13.5, "rated_w": 2.2} if lamp == "lamp" else {"rated_a": 0.02}
        )
        s.part("P1", lamp, **ratings)
        first, second = s.harness.parts["P1"].terminals() or ()
        s.wire("S1.2", f"P1.{first}")
        s.wire(f"P1.{second}", "G1.D+", name="W_lamp")
    if opened:
        s.found("G1.D+/W_lamp", math.inf)
    for engine in ("off", "idling", "running"):
        s.mode(engine, engine=engine, set={"S1": "on"})
        s.mode(f"{engine}_key_off", engine=engine, set={"S1": "off"})
    return s.done()


def state(harness: Harness, mode: str) -> str:
    return solved(harness, mode).states["G1"]


def test_a_good_lamp_excites_it_and_goes_out() -> None:
    harness = charged()
    off, idle = solved(harness, "off"), solved(harness, "idling")
    assert readings(harness, off)["P1 light"].value > 20.0  # type: ignore[operator]
    assert idle.states["G1"] == "regulating"
    assert readings(harness, idle)["P1 light"].value == pytest.approx(0.0, abs=0.1)
    assert idle.volt("GB1.30") == pytest.approx(14.2, abs=0.1)


@pytest.mark.parametrize(
    "harness", [charged(opened=True), charged("led")], ids=["open lead", "diode for lamp"]
)
def test_without_its_lamp_it_charges_only_once_it_excites_itself(harness: Harness) -> None:
    idle = solved(harness, "idling")
    assert idle.states["G1"] == "unexcited"
    assert dict(idle.parts())["GB1"].terminals["GB1.30"] < -5.0  # the battery carries the load
    assert any("charge lamp" in a.what for a in idle.assumed)
    assert state(harness, "running") == "regulating"


def test_with_the_key_off_nothing_excites_it() -> None:
    assert state(charged(), "idling_key_off") == "unexcited"


def test_what_charges_goes_on_when_its_lamp_is_lost() -> None:
    harness = charged(opened=True)
    idle = solve(expand(harness, "idling"), before={"G1": "regulating"})
    assert idle.states["G1"] == "regulating"


def test_a_dynamo_and_a_machine_without_a_wire_at_its_lamp_terminal_excite_themselves() -> None:
    assert state(charged(kind="dynamo", opened=True), "idling") == "regulating"
    assert state(charged(wired=False), "idling") == "regulating"
