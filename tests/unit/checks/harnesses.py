"""A sound small harness, and the ways to spoil it: what the rules are tested with. All of it is invented."""

from collections.abc import Iterable
from dataclasses import replace
from typing import Any

from harness_studio.model.entities import Accepted, JointRecord, Multicore, Wire
from harness_studio.model.harness import Harness
from harness_studio.model.kinds.control import UnitTerminal
from harness_studio.model.kinds.gauges import Scale
from harness_studio.model.values import AsFound, Cavity, Contact, End, Override
from tests.support.sketch import Sketch

INTERNAL_MOHM = 12.0
SEAL = Cavity(seal="yellow")


def sound() -> Harness:
    """Return a harness in which every rule is content but for one named exemption: W1, the lead to the first fuse.

    Battery GB1; main fuse F1 (40 A) on a short lead; box A1 with F2 (15 A) for a switched lamp E1 through sealed halves
    X1 and X2, F3 (5 A) for a gauge P1 and a control unit A2 on stud GP2, where the gauge's sender B1 and the unit's
    sensor B2 return too; F4 (10 A) on the ignition switch for a motor M1. Modes: parked, driving (lamp and motor on).
    """
    s = Sketch()
    s.body("shell", front=0.1, rear=0.1, dash=0.1)
    s.zone("bay", title="Engine bay", ambient_c=60.0)
    s.zone("rear", title="Rear", ambient_c=30.0)
    s.battery(zone="bay", internal_mohm=INTERNAL_MOHM, charge_mohm=40.0, capacity_ah=60.0)
    s.ground("GP0", "shell.front", "M8")
    s.ground("GP1", "shell.rear", "M6")
    s.ground("GP2", "shell.dash", "M6")
    s.part("F1", "fuse", style="blade_high_current", rated_a=40.0)
    s.part("F2", "fuse", style="blade_medium", rated_a=15.0)
    s.part("F3", "fuse", style="blade_medium", rated_a=5.0)
    s.part("F4", "fuse", style="blade_medium", rated_a=10.0)
    s.part("A1", "box", holds=("F1", "F2", "F3", "F4"), buses=(("F1.out", "F2.in", "F3.in", "F4.in"),))
    s.switch("S1", off=(), on=(("30", "87"),))
    s.switch("S0", "ignition_switch", off=(), on=(("30", "15"),))
    s.part("E1", "lamp", zone="rear", circuit="Lamp", rated_v=13.5, rated_w=55.0)
    s.part("M1", "motor", circuit="Blower", torque="fan", rated_v=13.5, rated_a=4.0, stall_a=12.0)
    _instruments(s)
    _connectors(s)
    _wires(s)
    s.mode(
        "parked",
        title="Key off",
        engine="off",
        set={"S0": "off", "S1": "off"},
        senders={"B1": "half", "B2": "80"},
    )
    s.mode(
        "driving",
        title="Driving",
        engine="off",
        set={"S0": "on", "S1": "on"},
        senders={"B1": "half", "B2": "80"},
    )
    return s.done()


def _instruments(s: Sketch) -> None:
    scale = Scale(ohm={240.0: 0.0, 100.0: 0.5, 33.0: 1.0})
    s.part("P1", "gauge", circuit="Gauge", movement="two_coil", coil_ohm=(90.0, 90.0), scale=scale)
    s.part("B1", "sender", circuit="Gauge", ohm={"empty": 240.0, "half": 100.0, "full": 33.0})
    s.part("B2", "ntc", circuit="Unit", ohm={"20": 2500.0, "80": 330.0})
    does = {
        "30": UnitTerminal("supply"),
        "31": UnitTerminal("ground"),
        "1": UnitTerminal("sensor_input", to="31", reference_v=5.0, pull_up_ohm=1000.0),
        "2": UnitTerminal("draw", amps=0.1, to="31"),
    }
    s.part("A2", "control_unit", circuit="Unit", terminals=does)


def _connectors(s: Sketch) -> None:
    tin = Contact(tab_mm=2.8, plating="tin")
    for name, mate, gender in (("X1", "X2", "socket"), ("X2", None, "pin")):
        s.half(name, ("1", "2"), mates=mate, gender=gender, sealed=True, tab_mm=2.8, zone="rear")
        half = s.harness.halves[name]
        cavities = {"1": SEAL, "2": Cavity(plug="fitted")}
        s.harness.halves[name] = replace(half, contact=tin, cavities=cavities)


def _wires(s: Sketch) -> None:
    """Add the wires, W1 the lead to the first fuse."""

    def wire(name: str, first: str, second: str, area_mm2: float, mm: float, **more: Any) -> None:
        s.wire(first, second, area_mm2, mm, name=name, insulation="TXL", **more)

    wire("W0", "GB1.31", "GP0", 16.0, 300.0, circuit="Ground")
    wire("W1", "GB1.30", "F1.in", 10.0, 250.0, circuit="Supply")
    wire("W2", "F2.out", "S1.30", 2.5, 500.0, circuit="Lamp", colour="RD")
    wire("W3", "S1.87", "X1.1", 2.5, 900.0, circuit="Lamp", colour="RD/YE")
    wire("W4", "X2.1", "E1.1", 2.5, 600.0, circuit="Lamp", colour="RD/YE")
    wire("W5", "E1.31", "GP1", 2.5, 400.0, circuit="Lamp", colour="BN")
    wire("W6", "F4.out", "S0.30", 2.5, 400.0, circuit="Blower")
    wire("W7", "S0.15", "M1.15", 2.5, 600.0, circuit="Blower")
    wire("W8", "M1.31", "GP1", 2.5, 400.0, circuit="Blower")
    s.splice("SP1")
    s.part("K1", "relay", coil_ohm=90.0, pull_in_v=7.2, drop_out_v=2.4, rated_a=30.0)
    wire("W9", "F3.out", "K1.30", 1.0, 500.0, circuit="Gauge")
    wire("W10", "K1.87", "SP1", 1.0, 300.0, circuit="Gauge")
    wire("W11", "SP1", "P1.15", 1.0, 300.0, circuit="Gauge")
    wire("W12", "SP1", "A2.30", 1.0, 300.0, circuit="Unit")
    wire("W13", "S0.15", "K1.86", 1.0, 300.0, circuit="Gauge")
    wire("W14", "K1.85", "GP1", 1.0, 300.0, circuit="Gauge")
    wire("W15", "P1.31", "GP2", 1.0, 300.0, circuit="Gauge")
    wire("W16", "P1.S", "B1.1", 1.0, 700.0, circuit="Gauge")
    wire("W17", "B1.31", "GP2", 1.0, 300.0, circuit="Gauge")
    wire("W18", "A2.31", "GP2", 1.0, 300.0, circuit="Unit")
    wire("W19", "A2.1", "B2.1", 1.0, 700.0, circuit="Unit")
    wire("W20", "B2.2", "GP2", 1.0, 300.0, circuit="Unit")
    wire("W21", "SP1", "A2.2", 1.0, 300.0, circuit="Unit")


def with_generator(h: Harness, mm: float = 800.0, area_mm2: float = 10.0) -> None:
    """Add an alternator with a fuse of its own at the battery, and a mode in which the engine runs."""
    s = grown(h)
    s.body("engine", block=0.05, strap=0.05)
    s.part("G1", "alternator", mount=("B-", "engine.block"), set_v=14.2, max_a=50.0, droop_mohm=5.0)
    s.part("F9", "fuse", style="bolt_in", rated_a=80.0)
    s.wire("GB1.30", "F9.in", 16.0, 250.0, name="W90", insulation="TXL")
    s.wire("F9.out", "G1.B+", area_mm2, mm, name="W91", insulation="TXL")
    s.ground("GP9", "engine.strap", "M8")
    s.wire("GP9", "GP0", 16.0, 300.0, name="W92", insulation="TXL")
    s.mode("running", title="Running", like="driving", engine="running")


def with_starter(h: Harness, mm: float | None = 700.0) -> None:
    """Add a starter on a short cable, and a mode in which it cranks."""
    s = grown(h)
    s.body("engine", block=0.05, strap=0.05)
    s.part(
        "M9", "starter", mount=("31", "engine.block"), rated_v=10.0, crank_a=150.0, hold_in_ohm=1.2, pull_in_ohm=0.4,
        stall_a=400.0, pull_in_v=6.0, drop_out_v=2.0, contact_mohm=0.5,
    )  # fmt: skip
    s.wire("GB1.30", "M9.30", 35.0, mm, name="W80", insulation="TXL")
    s.wire("GB1.31", "engine.strap", 35.0, 500.0, name="W81", insulation="TXL")
    s.switch("S9", released=(), pressed=(("30", "50"),))
    s.wire("F4.out", "S9.30", 2.5, 400.0, name="W82", insulation="TXL")
    s.wire("S9.50", "M9.50", 2.5, 400.0, name="W83", insulation="TXL")
    s.mode("cranking", title="Cranking", like="driving", engine="cranking", set={"S9": "pressed"})


def grown(h: Harness) -> Sketch:
    """Return a sketch that adds to a harness."""
    s = Sketch()
    s.harness = h
    return s


def wire(h: Harness, name: str, **fields: Any) -> None:
    """Change a wire."""
    h.wires[name] = replace(h.wires[name], **fields)


def part(h: Harness, name: str, **ratings: Any) -> None:
    """Change the ratings of a part."""
    h.parts[name] = replace(h.parts[name], ratings=replace(h.parts[name].ratings, **ratings))


def about(h: Harness, name: str, **fields: Any) -> None:
    """Change what every part has: title, zone, circuit, mount."""
    h.parts[name] = replace(h.parts[name], **fields)


def half(h: Harness, name: str, **fields: Any) -> None:
    """Change a half."""
    h.halves[name] = replace(h.halves[name], **fields)


def cavity(h: Harness, name: str, at: str, **fields: Any) -> None:
    """Change one cavity of a half."""
    known = h.halves[name]
    half(h, name, cavities={**known.cavities, at: replace(known.cavities.get(at, Cavity()), **fields)})


def joint(h: Harness, address: str, mohm: float) -> None:
    """Record a joint as found."""
    h.joints[address] = JointRecord(address, mohm)


def limit(h: Harness, name: str, value: float, reason: str = "test") -> None:
    """Let the project set a limit itself."""
    own = h.settings.limits
    limits = replace(own, override={**own.override, name: Override(value, reason)})
    h.tables["settings"][""] = replace(h.settings, limits=limits)


def limits_of(h: Harness, name: str) -> None:
    """Let the project use another limit set."""
    h.tables["settings"][""] = replace(h.settings, limits=replace(h.settings.limits, set=name))


def way_to_ampacity(h: Harness, name: str) -> None:
    """Let the project say how ampacity is found."""
    h.tables["settings"][""] = replace(h.settings, limits=replace(h.settings.limits, ampacity=name))


def stack(h: Harness, ground: str, rings: Iterable[tuple[str, ...]]) -> None:
    """Stack the rings of a stud, the one next to the metal first."""
    h.grounds[ground] = replace(h.grounds[ground], stack=tuple(rings))


def found(h: Harness, name: str, **what: Any) -> None:
    """Say how a wire was found."""
    wire(h, name, as_found=AsFound(**what))


def open_end(h: Harness, name: str, number: int = 1, what: str = "cut") -> None:
    """Open one end of a wire."""
    ends = list(h.wires[name].ends)
    ends[number] = End("words", "into the tape") if what == "words" else End(what)  # type: ignore[arg-type]
    wire(h, name, ends=tuple(ends))


def ends(h: Harness, name: str, first: str, second: str) -> None:
    """Move a wire."""
    wire(h, name, ends=(End("point", first), End("point", second)))


def shield(h: Harness, name: str, *cores: str) -> None:
    """Make a wire the shield of others."""
    h.multicores["C1"] = Multicore("C1", cores, twisted=True, shield=name)


def accept(h: Harness, key: str, reason: str) -> None:
    """Accept a finding."""
    h.tables["accepted"][key] = Accepted(key, reason)


def extra(
    h: Harness, first: str, second: str, area_mm2: float | None, mm: float | None, name: str, **more: Any
) -> Wire:
    """Add a wire."""
    grown(h).wire(first, second, area_mm2, mm, name=name, **{"insulation": "TXL", **more})
    made: Wire = h.wires[name]
    return made
