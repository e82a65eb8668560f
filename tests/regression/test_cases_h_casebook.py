"""Worked cases of the trade given to the casebook: what was read there, on a sound harness, names what was bad there.

Common practice, no source: the figures were read in trade articles and owners' accounts. Harnesses are invented around
them; readings are the figures themselves, not solutions. What a case does not tell (lengths, sizes) is chosen so that
its sound parts read as it says. Never counted as proof.
"""

import pytest

from harness_studio.casebook.summary import Suspect, summary
from harness_studio.casebook.suspects import suspects
from harness_studio.model.cases import Case, Reading, Sighting
from harness_studio.model.harness import Harness
from tests.support.sketch import Sketch
from tests.support.worked_cases import charging, cranked


def volts(plus: str, minus: str, value: float, mode: str | None = None, **more: float) -> Reading:
    return Reading("volts", mode=mode, plus=plus, minus=minus, value=value, symptom_present="yes", **more)


def named(harness: Harness, *readings: Reading, sightings: tuple[Sighting, ...] = ()) -> list[Suspect]:
    found = suspects(harness, Case("h", sightings=sightings, readings=readings))
    assert len(found.observed.measured) == len(readings), found.observed.notes
    assert not found.observed.notes
    return summary(harness, found)


def members(suspect: Suspect) -> set[str]:
    return {address for address, _ in suspect.members}


def holds(suspect: Suspect, ohm: float) -> bool:
    return suspect.range_ohm[0] <= ohm * 1.3 and ohm <= suspect.range_ohm[1] * 1.3


def test_1_weak_ground_cable_slow_crank() -> None:
    """1.29 V on the ground side while cranking, 200 A: 6.45 mΩ."""
    first, *_ = named(
        cranked().done(),
        volts("engine.block", "GB1.31", 1.29, "crank"),
        volts("GB1.30", "M1.30", 0.14, "crank"),
        sightings=(Sighting("M1", "down", to_mode="crank"),),
    )
    assert "W_ground" in members(first) or "GB1.31/W_ground" in members(first)
    assert first.probability > 0.3
    assert holds(first, 0.006)


def test_2_battery_grounded_to_the_trunk_floor() -> None:
    """1.5 to 2 V on the ground side: nothing on the feed is suspected."""
    found = named(
        cranked(0.1).done(),
        volts("engine.block", "GB1.31", 1.75, "crank"),
        volts("GB1.30", "M1.30", 0.14, "crank"),
    )
    leading = [f for f in found if f.probability > 0.05]
    assert leading
    ground = {"W_ground", "W_strap", "GP1", "GP1/W_ground", "shell.front", "shell.rear", "engine.block"}
    assert all(any(g in m for m in members(f) for g in ground) for f in leading)


def test_4_a_hundred_amperes_through_ten_milliohms() -> None:
    """1.00 V lost between the alternator and the battery at 100 A; the ground side reads next to nothing."""
    s = charging(35.0)
    first, *_ = named(
        s.done(), volts("G1.B+", "GB1.30", 1.0, "run"), volts("engine.block", "GB1.31", -0.06, "run")
    )
    assert "W_charge" in members(first)
    assert holds(first, 0.009)


def fuel_pump() -> Harness:
    """Return a pump on a pickup's frame, which a strap joins to the body and the body's cable to the battery."""
    s = Sketch()
    s.battery(rest_v=12.4, internal_mohm=8.0)
    s.body("shell", front=0.02)
    s.body("frame", rear=0.05)
    s.wire("GB1.31", "shell.front", 25.0, 500.0, name="W_body")
    s.wire("shell.front", "frame.rear", 16.0, 300.0, name="W_strap")
    s.part(
        "M1",
        "motor",
        mount=("31", "frame.rear"),
        torque="centrifugal",
        rated_v=12.0,
        rated_a=6.0,
        stall_a=20.0,
    )
    s.part("E1", "lamp", rated_w=21.0, rated_v=12.0)
    s.ground("GP2", "shell.front")
    s.wire("E1.31", "GP2", 1.0, 800.0)
    s.wire("GB1.30", "M1.15", 2.5, 2500.0, name="W_pump")
    s.wire("GB1.30", "E1.1", 1.5, 1500.0)
    return s.done()


@pytest.mark.parametrize(("across_v", "ground_v"), [(8.0, 4.0), (10.0, 2.0)])
def test_5_and_21_volts_on_the_ground_side(across_v: float, ground_v: float) -> None:
    """8 V across a pump of a 12 V system and 4 V at its ground-side tip, the strap being off; 2 V leave 10 of 12."""
    found = named(
        fuel_pump(),
        volts("M1.15", "M1.31", across_v),
        volts("M1.31", "GB1.31", ground_v),
        volts("shell.front", "GB1.31", 0.01),
        sightings=(Sighting("M1", "down"),),
    )
    leading = [f for f in found if f.probability > 0.05]
    assert sum(f.probability for f in leading) > 0.8
    for suspect in leading:
        assert any("W_strap" in m or "M1.31@frame" in m for m in members(suspect)), members(suspect)


def test_7_a_shared_feed_moves_with_the_loads() -> None:
    """10 V at the pump with lights, heater and stereo on, 12 V with the pump alone: what feeds all of them."""
    s = Sketch()
    s.battery(rest_v=12.6, internal_mohm=8.0)
    s.splice("SP1")
    s.part("F1", "fuse", rated_a=40.0)
    s.wire("GB1.30", "F1.in", 6.0, 400.0, name="W_battery")
    s.wire("F1.out", "SP1", 6.0, 1500.0, name="W_shared")
    s.part("S1", "switch", positions={"on": (("1", "2"),), "off": ()})
    s.part("M1", "current_load", rated_a=5.0)
    s.part("E1", "current_load", rated_a=25.0)
    s.wire("SP1", "M1.15", 2.5, 1500.0, name="W_pump")
    s.wire("M1.31", "GB1.31", 2.5, 1500.0)
    s.wire("SP1", "S1.1", 4.0, 500.0)
    s.wire("S1.2", "E1.15", 4.0, 500.0)
    s.wire("E1.31", "GB1.31", 4.0, 1500.0)
    s.mode("pump", set={"S1": "off"})
    s.mode("all_on", set={"S1": "on"})
    found = named(
        s.done(),
        volts("M1.15", "M1.31", 10.0, "all_on"),
        volts("M1.15", "M1.31", 12.0, "pump"),
        volts("M1.31", "GB1.31", 0.07, "all_on"),
    )
    own = [f for f in found if f.probability > 0.05 and any("W_pump" in m for m in members(f))]
    assert not own
    leading = [f for f in found if f.probability > 0.05]
    assert leading
    assert all(
        any(w in m for m in members(f) for w in ("W_battery", "W_shared", "F1", "GB1")) for f in leading
    )


def test_9_relay_fed_headlamps_share_a_ground() -> None:
    """0.25 V of ground at both sides, 0.25 and 0.5 V of feed as their lengths are: the common ground, not a feed."""
    s = Sketch()
    s.battery(rest_v=12.3, internal_mohm=8.0)
    s.body("shell", front=0.02)
    s.wire("GB1.31", "shell.front", 25.0, 500.0, name="W_main")
    s.ground("GP1", "shell.front")
    for side, mm in (("near", 4000.0), ("far", 8200.0)):
        s.part(f"E_{side}", "current_load", rated_a=5.0)
        s.wire("GB1.30", f"E_{side}.15", 1.5, mm, name=f"W_{side}")
        s.wire(f"E_{side}.31", "GP1", 2.5, 300.0, name=f"R_{side}")
    found = named(
        s.done(),
        volts("GB1.30", "E_near.15", 0.25),
        volts("GB1.30", "E_far.15", 0.5),
        volts("E_near.31", "GB1.31", 0.25),
        volts("E_far.31", "GB1.31", 0.25),
    )
    assert "GP1" in members(found[0])
    assert holds(found[0], 0.023)
    common = {"GP1", "W_main", "GB1.31/W_main", "shell.front/W_main"}
    assert all(members(f) & common for f in found if f.probability > 0.05)


def test_15_reverse_lamps_through_two_plugs() -> None:
    """One plug loses over 3 V: 0.86 Ω at 3.5 A; the lamps are left about 9 V."""
    s = Sketch()
    s.battery(rest_v=12.5, internal_mohm=8.0)
    s.body("shell", rear=0.02)
    s.wire("GB1.31", "shell.rear", 25.0, 500.0)
    s.ground("GP1", "shell.rear")
    for number in (1, 2):
        s.half(f"X{number}1", ("1",))
        s.half(f"X{number}2", ("1",), mates=f"X{number}1")
    s.part("E1", "current_load", rated_a=3.5)
    s.wire("GB1.30", "X11.1", 1.5, 1000.0)
    s.wire("X12.1", "X21.1", 1.5, 1000.0)
    s.wire("X22.1", "E1.15", 1.5, 1000.0)
    s.wire("E1.31", "GP1", 1.5, 500.0)
    first, *_ = named(
        s.done(),
        volts("E1.15", "E1.31", 9.0),
        volts("X11.1", "X12.1", 0.02),
        volts("X21.1", "X22.1", 3.01),
    )
    assert members(first) & {"X21.1", "X22.1"}
    assert first.word == "likely"
    assert holds(first, 0.86)


def test_16_corroding_lighting_loop() -> None:
    """12 V and 6 Ω are 2 A; 1.5 A are two ohms more somewhere in the loop, and next to no volts on its ground side."""
    s = Sketch()
    s.battery(rest_v=12.0, internal_mohm=8.0)
    s.part("E1", "resistor", rated_w=24.0, rated_v=12.0)
    s.wire("GB1.30", "E1.1", 1.5, 800.0, name="W_feed")
    s.wire("E1.2", "GB1.31", 1.5, 800.0, name="W_return")
    harness = s.done()
    clamp = Reading("amperes", at="W_feed", value=1.5, accuracy=0.02, symptom_present="yes")
    found = named(harness, clamp)
    assert found[0].probability > 0.05
    assert holds(found[0], 2.0)
    found = named(harness, clamp, volts("E1.2", "GB1.31", 0.03))
    assert any("W_feed" in m for m in members(found[0]))


def test_17_main_ground_cable_of_five_milliohms() -> None:
    """0.15 V at 30 A, 0.5 V at 100 A between body and post."""
    s = Sketch()
    s.battery(rest_v=12.6, internal_mohm=6.0)
    s.body("shell", front=0.02)
    s.wire("GB1.31", "shell.front", 35.0, 400.0, name="W_main")
    for number in (1, 2):
        s.part(f"S{number}", "switch", positions={"on": (("1", "2"),), "off": ()})
    for number, load_a in ((1, 30.0), (2, 70.0)):
        s.part(f"E{number}", "current_load", rated_a=load_a, mount=("31", "shell.front"))
        s.wire("GB1.30", f"S{number}.1", 10.0, 800.0)
        s.wire(f"S{number}.2", f"E{number}.15", 10.0, 800.0)
    s.mode("fans", set={"S1": "on", "S2": "off"})
    s.mode("all", set={"S1": "on", "S2": "on"})
    first, *_ = named(
        s.done(),
        volts("shell.front", "GB1.31", 0.15, "fans"),
        volts("shell.front", "GB1.31", 0.50, "all"),
    )
    assert any("W_main" in m for m in members(first))
    assert holds(first, 0.0045)
