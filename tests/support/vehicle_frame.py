"""The invented vehicle's metal, zones, bundle, supply, boxes and modes."""

import random
from itertools import pairwise

from .sketch import Sketch

ZONES = {
    # zone: (its neighbour towards the firewall, ambient °C, wet, body of its metal)
    "firewall": (None, 45.0, False, "shell"),
    "bay": ("firewall", 85.0, False, "engine"),
    "nose": ("bay", 40.0, True, "shell"),
    "dash": ("firewall", 35.0, False, "shell"),
    "floor": ("dash", 30.0, False, "shell"),
    "door": ("floor", 30.0, True, "shell"),
    "bed": ("floor", 30.0, True, "frame"),
    "tail": ("bed", 30.0, True, "frame"),
}
PLACES_MOHM = {
    "shell": {"dash": 0.2, "floor": 0.3, "wing": 0.4, "bond": 0.5},
    "engine": {"block": 0.05, "head": 0.08, "bond": 0.3},
    "frame": {"rail_front": 0.15, "rail_rear": 0.25, "bond": 0.4},
}
FUSES_PER_BOX = 14
CAVITIES = 24
COLOURS = ("BK", "BN", "RD", "OG", "YE", "GN", "BU", "VT", "GY", "WH")


class Frame:
    """What circuits hang on: metal, zones, boxes with their buses, halves that are filled up, studs.

    Everything is made in a fixed order from one random generator, so that a seed gives one harness.
    """

    def __init__(self, rng: random.Random, studs: int, grounded: str) -> None:
        self.rng = rng
        self.sketch = Sketch("Invented vehicle", grounded=grounded)
        self.negative = grounded == "negative"
        self.switches: list[str] = []
        self.lamp_switches: list[str] = []
        self.senders: list[str] = []
        self.motors: list[str] = []
        self._rings: dict[str, list[list[str]]] = {}
        self._counts = {"S": 1, "M": 1}  # S1 is the ignition switch, M1 the starter
        self._free: dict[str, list[str]] = {}
        self._in_box = FUSES_PER_BOX
        self._box: list[str] = []
        self._held: dict[str, list[str]] = {}
        self._buses: dict[str, dict[str, list[str]]] = {}
        self._metal(studs)

    def next(self, letter: str) -> str:
        """Return the next designator of a letter."""
        self._counts[letter] = self._counts.get(letter, 0) + 1
        return f"{letter}{self._counts[letter]}"

    def _metal(self, studs: int) -> None:
        s = self.sketch
        for body, places in PLACES_MOHM.items():
            s.body(body, places)
        s.bond("throttle_cable", "engine.bond", "shell.bond", 120.0)
        s.bond("exhaust_hanger", "engine.bond", "frame.bond", 60.0)
        for zone, (_, ambient_c, wet, _) in ZONES.items():
            s.zone(zone, title=f"{zone} of the vehicle", ambient_c=ambient_c, wet=wet)
        for zone in ZONES:
            s.breakout(f"bk_{zone}", zone)
        for zone, (inner, _, _, _) in ZONES.items():
            if inner:
                s.run(f"{inner}_{zone}", f"bk_{inner}", f"bk_{zone}", self.rng.choice((600.0, 900.0, 1400.0)))
        zones = list(ZONES)
        self.studs: dict[str, list[str]] = {z: [] for z in zones}
        for number in range(studs):
            zone = zones[number % len(zones)]
            body = ZONES[zone][3] if self.rng.random() < 0.7 else self.rng.choice(list(PLACES_MOHM))
            place = f"stud{number + 1}"
            s.body(body, {place: round(self.rng.uniform(0.1, 0.8), 2)})
            stud = s.ground(
                self.next("GP"), f"{body}.{place}", self.rng.choice(("M6", "M6", "M8")), zone=zone
            )
            self.studs[zone].append(stud)

    def path(self, first: str, second: str) -> tuple[str, ...]:
        """Return the runs from one zone to another."""
        ways = []
        for zone in (first, second):
            way = [zone]
            while inner := ZONES[way[-1]][0]:
                way.append(inner)
            ways.append(way)
        a, b = ways
        while len(a) > 1 and len(b) > 1 and a[-2] == b[-2]:
            a.pop()
            b.pop()
        out = [f"{inner}_{zone}" for zone, inner in pairwise(a)]
        back = [f"{inner}_{zone}" for zone, inner in pairwise(b)]
        return tuple(out + back[::-1])

    def wire(
        self, first: str, second: str, area_mm2: float, circuit: str, way: tuple[str, str] | None = None
    ) -> str:
        """Add a wire: along the runs from one zone to another, or within one, by its own length."""
        colour = self.rng.choice(COLOURS)
        if self.rng.random() < 0.3:
            colour += "/" + self.rng.choice([c for c in COLOURS if c != colour])
        runs = self.path(*way) if way else ()
        made = self.sketch.wire(
            first,
            second,
            area_mm2,
            None if runs else float(self.rng.randrange(150, 900, 10)),
            circuit=circuit,
            colour=colour,
            insulation="TXL",
            runs=runs,
            tails_mm=(120.0, 90.0) if runs else None,
        )
        for at in (first, second):
            if at in self.sketch.harness.grounds:
                self._ring(at, made)
        return made

    def _ring(self, stud: str, wire: str) -> None:
        rings = self._rings.setdefault(stud, [])
        if rings and len(rings[-1]) == 1 and self.rng.random() < 0.25:
            rings[-1].append(wire)
        else:
            rings.append([wire])

    def stud(self, zone: str) -> str:
        """Return a stud near a zone."""
        here = self.studs[zone] or self.studs["firewall"]
        return self.rng.choice(here)

    def cavity(self, zone: str) -> tuple[str, str]:
        """Return the next free pair of mated cavities at a zone: (towards the firewall, beyond)."""
        free = self._free.setdefault(zone, [])
        if not free:
            names = [str(n + 1) for n in range(CAVITIES)]
            first, second = self.next("X"), self.next("X")
            tab_mm = self.rng.choice((1.5, 2.8, 2.8, 6.3))
            where = {"zone": zone, "tab_mm": tab_mm}
            self.sketch.half(first, names, gender="socket", mates=second, **where)
            self.sketch.half(second, names, gender="pin", **where)
            free.extend(f"{first} {second} {n}" for n in reversed(names))
        first, second, name = free.pop().split()
        return f"{first}.{name}", f"{second}.{name}"

    def fuse(self, circuit: str, bus: str, rated_a: float) -> str:
        """Add a fuse on a bus ('30' permanent, '15' switched) of a box and return its outer terminal."""
        if self._in_box >= FUSES_PER_BOX:
            self._new_box()
        self._in_box += 1
        box = self._box[-1]
        style = self.rng.choice(("blade_medium", "blade_medium", "blade_miniature"))
        fuse = self.sketch.part(self.next("F"), "fuse", style=style, rated_a=rated_a, circuit=circuit)
        self._held[box].append(fuse)
        self._buses[box][bus].append(f"{fuse}.in")
        return f"{fuse}.out"

    def switch(self) -> str:
        """Add a switch that starts off or on, either for lamps or for something else."""
        positions = {"off": (), "on": (("30", "87"),)}
        if self.rng.random() < 0.5:
            positions = dict(reversed(positions.items()))
        switch = self.sketch.switch(self.next("S"), **positions)
        (self.lamp_switches if self.rng.random() < 0.5 else self.switches).append(switch)
        return switch

    def relay(self, **ratings: float) -> str:
        """Add a relay to the box that is being filled."""
        relay = self.sketch.part(
            self.next("K"), "relay", coil_ohm=90.0, pull_in_v=7.2, drop_out_v=2.4, **ratings
        )
        self._held[self._box[-1]].append(relay)
        return relay

    def on_bus(self, bus: str, terminal: str) -> None:
        """Put a terminal on a bus of the box that is being filled."""
        self._buses[self._box[-1]][bus].append(terminal)

    def _new_box(self) -> None:
        """Open a box: its permanent bus fed from the positive post, its switched bus through a relay on the key."""
        box = self.next("A")
        self._box.append(box)
        self._in_box = 0
        self._held[box] = []
        self._buses[box] = {"30": [f"{box}.in"], "15": []}
        main = self.sketch.part(self.next("F"), "fuse", style="bolt_in", rated_a=60.0, zone="bay")
        self.wire(self.live, f"{main}.in", 10.0, "Supply")
        self.wire(f"{main}.out", f"{box}.in", 10.0, "Supply", ("bay", "firewall"))
        relay = self.relay(rated_a=70.0)
        self.on_bus("30", f"{relay}.30")
        self.on_bus("15", f"{relay}.87")
        self.wire("S1.15", f"{relay}.86", 0.75, "Key", ("dash", "firewall"))
        self.wire(f"{relay}.85", self.stud("firewall"), 0.75, "Key")

    def supply(self, circuits: int) -> None:
        """Add battery, alternator, starter, straps and the ignition switch."""
        s = self.sketch
        post, case = ("31", "B-") if self.negative else ("30", "B+")
        out, other = ("30", "B+") if self.negative else ("31", "B-")
        s.battery(zone="bay", capacity_ah=70.0)
        self.live = f"GB1.{out}"
        most_a = float(90 + circuits // 4)
        s.part("G1", "alternator", zone="bay", mount=(case, "engine.block"), set_v=14.2, max_a=most_a)
        s.part(
            "M1",
            "starter",
            zone="bay",
            mount=("31", "engine.block"),
            rated_v=10.0,
            crank_a=140.0,
            hold_in_ohm=1.2,
        )
        s.switch(
            "S1",
            "ignition_switch",
            off=(),
            on=(("30", "15"), ("30", "75")),
            start=(("30", "15"), ("30", "50")),
        )
        for name, place in (("GPE", "engine.block"), ("GPS", "shell.wing"), ("GPF", "frame.rail_front")):
            s.ground(name, place, "M8", zone="bay")
        self.wire(f"GB1.{post}", "GPE", 35.0, "Ground")
        self.wire(f"GB1.{post}", "GPS", 10.0, "Ground")
        self.wire("GPE", "GPF", 16.0, "Ground")
        self.wire("GPS", "GPF", 6.0, "Ground")
        self.wire(f"G1.{other}", self.live, 16.0, "Charging")
        self.wire("G1.S", self.live, 1.0, "Charging")
        self.wire(self.live, "M1.30", 35.0, "Starting")
        key = s.part("F0", "link", area_mm2=1.5, length_mm=150.0, zone="bay")
        self.wire(self.live, f"{key}.in", 4.0, "Key")
        self.wire(f"{key}.out", "S1.30", 4.0, "Key", ("bay", "dash"))
        self.wire("S1.50", "M1.50", 2.5, "Starting", ("dash", "bay"))
        s.part("E0", "lamp", rated_v=13.5, rated_w=2.0, circuit="Charging")
        self.wire("S1.15", "E0.1", 0.75, "Charging")
        self.wire("E0.31", "G1.D+", 0.75, "Charging", ("dash", "bay"))

    def finish(self) -> None:
        """Stack the rings, fill the boxes, and add the modes."""
        s = self.sketch
        for stud, rings in self._rings.items():
            s.stack(stud, *rings)
        for box, held in self._held.items():
            buses = tuple(tuple(b) for b in self._buses[box].values() if len(b) > 1)
            s.part(box, "box", holds=tuple(held), buses=buses, zone="firewall")
        key_on = {"S1": "on"}
        lamps = {**key_on, **dict.fromkeys(self.lamp_switches, "on")}
        braking = {switch: "on" for number, switch in enumerate(self.switches) if number % 2}
        stalled = self.rng.sample(self.motors, min(len(self.motors), 1 + len(self.motors) // 20))
        loads = {m: "stall" if m in stalled else "turning" for m in self.motors if self.rng.random() < 0.8}
        s.mode("off", title="Key off", engine="off", set={"S1": "off"})
        s.mode("key_on", title="Key on", engine="off", set=key_on)
        s.mode("running", title="Running", engine="running", set=key_on)
        s.mode("running_lamps", title="Running with lamps", like="running", set=lamps)
        s.mode(
            "braking",
            title="Braking",
            like="running_lamps",
            set=braking,
            senders=dict.fromkeys(self.senders, "half"),
            loads=loads,
            ambient_c={"bay": 95.0},
        )
        s.mode("cranking", title="Cranking", engine="cranking", set={"S1": "start"})
