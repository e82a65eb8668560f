"""Facts of the trade about lamps and what shares their ground. Common practice, no source.

Each is a small harness of its own. What a person sees (light, speed, which lamp glows) comes from solved volts; the
arithmetic beside it is our own and no proof.
"""

import pytest

from harness_studio.electrics.readings import readings
from harness_studio.electrics.sneak import sneak_paths
from harness_studio.electrics.solution import Solution
from harness_studio.model.harness import Harness
from harness_studio.model.kinds.loads import Filament
from harness_studio.network.network import Overrides
from tests.support.physics import solved
from tests.support.sketch import Sketch
from tests.support.told import value, volts

INTERNAL_OHM = 0.008


def blower_and_lamp(mohm: float | None) -> Harness:
    """Return a blower and a panel lamp with feeds of their own and one return through the stud GP1."""
    s = Sketch()
    s.battery(rest_v=12.65, internal_mohm=1000.0 * INTERNAL_OHM)
    s.body("shell", front=0.05, dash=0.3)
    s.wire("GB1.31", "shell.front", 16.0, 300.0)
    s.ground("GP1", "shell.dash")
    s.part("M1", "motor", torque="fan", rated_v=13.5, rated_a=10.0, stall_a=40.0)
    s.part("E1", "lamp", rated_v=12.0, rated_w=2.0)
    s.wire("GB1.30", "M1.15", 4.0, 1500.0)
    s.wire("GB1.30", "E1.1", 0.75, 1500.0)
    s.wire("M1.31", "GP1", 4.0, 300.0)
    s.wire("E1.31", "GP1", 0.75, 300.0)
    s.stack("GP1")
    if mohm is not None:
        s.found("GP1", mohm)
    return s.done()


def blower(state: str) -> Overrides:
    return Overrides(loads=(("M1", state),))


def test_blower_and_panel_lamp_on_a_poor_return() -> None:
    """The lamp dims by the drop; the battery's posts move only by internal resistance times amperes."""
    harness = blower_and_lamp(120.0)
    off, on = (solved(harness, None, blower(state)) for state in ("off", "turning"))
    drawn_a = {s: -dict(x.parts())["GB1"].terminals["GB1.30"] for s, x in (("off", off), ("on", on))}
    posts_v = {s: volts(x, "GB1.30", "GB1.31") for s, x in (("off", off), ("on", on))}
    for state in ("off", "on"):
        assert posts_v[state] == pytest.approx(12.65 - INTERNAL_OHM * drawn_a[state], rel=1e-9)
    rise_v = (on.volt("GP1") or 0.0) - (off.volt("GP1") or 0.0)
    assert rise_v == pytest.approx(
        0.12 * (drawn_a["on"] - drawn_a["off"]), abs=0.02
    )  # metal and cable add a little
    dimmed_v = volts(off, "E1.1", "E1.31") - volts(on, "E1.1", "E1.31")
    assert dimmed_v == pytest.approx(rise_v + posts_v["off"] - posts_v["on"], abs=0.01)
    assert rise_v > 0.8
    light = {s: value(readings(harness, x), "E1 light") for s, x in (("off", off), ("on", on))}
    assert light["on"] / light["off"] == pytest.approx(
        (volts(on, "E1.1", "E1.31") / volts(off, "E1.1", "E1.31")) ** 3.4, rel=1e-9
    )
    assert light["on"] < 0.8 * light["off"]


def test_with_a_clean_return_the_same_blower_is_not_seen() -> None:
    harness = blower_and_lamp(None)
    light = {
        s: value(readings(harness, solved(harness, None, blower(s))), "E1 light") for s in ("off", "turning")
    }
    assert light["turning"] > 0.93 * light["off"]


SHARED_STUD = [
    (1.6, 0.007, 0.018, 14.15, 14.07), (10.0, 0.046, 0.112, 14.11, 13.98), (36.0, 0.163, 0.394, 13.99, 13.70),
    (180.0, 0.779, 1.775, 13.38, 12.33), (500.0, 1.972, 4.033, 12.19, 10.09),
]  # fmt: skip
"""mΩ of the stud; stud to negative with the pump off and on, V; volts of the lamps with the pump off and on."""


@pytest.mark.parametrize(("mohm", "off_v", "on_v", "lamps_off_v", "lamps_on_v"), SHARED_STUD)
def test_trailer_lamps_and_the_pump_on_one_stud(
    mohm: float, off_v: float, on_v: float, lamps_off_v: float, lamps_on_v: float
) -> None:
    """A pump of 2.1 Ω, stop lamps of 3.2 Ω and a tank gauge of 90 Ω on one stud, 14.2 V behind 10 mΩ."""
    from tests.support.bare import bared, joined

    s = Sketch()
    s.battery(rest_v=14.2, internal_mohm=10.0, charge_mohm=10.0)
    s.body("frame", rear=0.0)
    s.ground("GP1", "frame.rear")
    joined(s, ("GB1.31", "frame.rear"))
    for part, ohm in (("R_pump", 2.1), ("R_lamps", 3.2), ("R_gauge", 90.0)):
        s.part(part, "resistor", ohm=ohm)
        joined(s, ("GB1.30", f"{part}.1"), (f"{part}.2", "GP1"))
    s.found("GP1", mohm)
    harness = bared(s)
    for state, stud_v, lamps_v in (("off", off_v, lamps_off_v), ("on", on_v, lamps_on_v)):
        solution = solved(harness, None, Overrides(loads=(("R_pump", state),)))
        assert solution.volt("GP1") == pytest.approx(stud_v, abs=6e-4)
        assert volts(solution, "R_lamps.1", "R_lamps.2") == pytest.approx(lamps_v, abs=6e-3)


def rear_lamps(open_return: bool) -> Harness:
    """Return two lamps with a stop and a tail filament each; the left one's common return may be open."""
    s = Sketch()
    s.battery()
    s.body("shell", front=0.05, rear=0.5)
    s.wire("GB1.31", "shell.front", 16.0, 300.0)
    s.switch("S_stop", off=(), on=(("30", "54"),))
    s.switch("S_tail", off=(), on=(("30", "58"),))
    for switch in ("S_stop", "S_tail"):
        s.wire("GB1.30", f"{switch}.30", 1.5, 1000.0)
    s.splice("SP_stop")
    s.splice("SP_tail")
    s.wire("S_stop.54", "SP_stop", 1.5, 3000.0)
    s.wire("S_tail.58", "SP_tail", 1.0, 3000.0)
    for side in ("left", "right"):
        elements = {"stop": Filament(("54", "31"), 13.5, 21.0), "tail": Filament(("58", "31"), 13.5, 5.0)}
        s.part(f"E_{side}", "lamp", elements=elements)
        s.wire("SP_stop", f"E_{side}.54", 1.0, 700.0, name=f"stop_{side}")
        s.wire("SP_tail", f"E_{side}.58", 1.0, 700.0)
        s.wire(f"E_{side}.31", "shell.rear", 1.0, 400.0, name=f"R_{side}")
    if open_return:
        s.found("shell.rear/R_left", float("inf"))
    s.mode("braking", set={"S_stop": "on", "S_tail": "off"})
    s.mode("tail", set={"S_stop": "off", "S_tail": "on"})
    return s.done()


def test_a_two_filament_lamp_with_an_open_return_lights_the_wrong_filament() -> None:
    """Braking: current goes on through the tail filament, backwards, and out through the other lamp's tail filament."""
    healthy, harness = rear_lamps(False), rear_lamps(True)
    sound, faulty = (solved(h, "braking") for h in (healthy, harness))
    light = readings(harness, faulty)
    assert value(readings(healthy, sound), "E_left/stop light") > 70.0
    assert value(readings(healthy, sound), "E_right/tail light") == pytest.approx(0.0, abs=1e-6)
    assert value(light, "E_right/tail light") > 1.0  # a lamp glows whose switch is off
    assert value(light, "E_left/stop light") < 1.0
    amperes = {e.address: dict(zip(e.points, e.amperes, strict=True)) for e in faulty.elements}
    feed = faulty.network.index["E_left.58"]
    assert amperes["E_left/tail"][feed] < -0.1  # backwards


def test_the_sneak_path_is_named() -> None:
    faulty = solved(rear_lamps(True), "braking")
    found = {p.element: p for p in sneak_paths(faulty.network, faulty)}
    assert set(found) == {
        "E_left/tail",
        "E_right/tail",
    }  # less than a volt lies across the left stop filament
    assert found["E_left/tail"].why == "backwards"
    assert found["E_right/tail"].why == "not fed"
    for path in found.values():
        assert list(path.path) == ["E_left/stop", "E_left/tail", "E_right/tail"]
        assert path.amperes == pytest.approx(abs(faulty.wire("stop_left").amperes), rel=1e-6)
    assert sneak_paths(*_of(solved(rear_lamps(False), "braking"))) == []
    assert sneak_paths(*_of(solved(rear_lamps(False), "tail"))) == []


def _of(solution: Solution) -> tuple[object, Solution]:
    return solution.network, solution


def indicators(movement: str, mohm: float) -> Harness:
    """Return a flasher with two 21 W lamps whose common return has so many milliohms."""
    s = Sketch()
    s.battery()
    s.body("shell", front=0.05)
    s.wire("GB1.31", "shell.front", 16.0, 300.0)
    s.part("K1", "flasher", movement=movement, rated_w=42.0)
    s.wire("GB1.30", "K1.49", 1.5, 800.0)
    s.wire("K1.31", "shell.front", 0.75, 300.0)
    s.splice("SP1")
    s.splice("SPR")
    s.wire("SPR", "shell.front", 1.5, 300.0, name="R1")
    s.found("shell.front/R1", mohm)
    s.wire("K1.49a", "SP1", 1.5, 900.0)
    for number in (1, 2):
        s.part(f"E{number}", "lamp", rated_v=12.0, rated_w=21.0)
        s.wire("SP1", f"E{number}.1", 1.0, 1500.0)
        s.wire(f"E{number}.31", "SPR", 1.0, 500.0)
    return s.done()


@pytest.mark.parametrize(("movement", "mohm"), [("thermal", 1200.0), ("electronic", 3000.0)])
def test_flashers_with_a_poor_ground(movement: str, mohm: float) -> None:
    """Less current: a thermal flasher goes slow, an electronic one takes a lamp for failed and goes fast."""
    rates = []
    for ohm in (0.5, mohm):
        harness = indicators(movement, ohm)
        rates.append(value(readings(harness, solved(harness)), "K1 rate"))
    clean, poor = rates
    assert 60.0 <= clean <= 120.0
    if movement == "thermal":
        assert 0.0 < poor < 0.85 * clean
    else:
        assert poor == pytest.approx(2.0 * clean)


def test_a_thermal_flasher_with_one_lamp_out_stays_lit() -> None:
    harness = indicators("thermal", 0.5)
    found = readings(harness, solved(harness, None, Overrides(loads=(("E2", "off"),))))
    assert found["K1 rate"].words == "stays lit"
    assert found["K1 rate"].value == 0.0
