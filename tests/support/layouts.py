"""Harnesses to lay out: a small one with a shared stud, and made-up vehicles of any size."""

from __future__ import annotations

import random
from dataclasses import replace
from typing import Any

from harness_studio.model.entities import Half
from harness_studio.model.harness import Harness
from harness_studio.model.values import Cavity, End, Face

from .sketch import Sketch

COLOURS = ("RD", "BK", "BN", "YE", "GN", "BU", "WH/RD", "GN/BK", "BN/WH", "GY", "OG", "VT", "RD/WH", "PK")


class Maker:
    """A sketch with titles and colours, for harnesses that are to be looked at."""

    def __init__(self) -> None:
        self.sketch = Sketch()
        self.harness = self.sketch.harness
        self.wires = 0

    def _titled(self, section: str, key: str, title: str | None) -> None:
        table = self.harness.tables[section]
        table[key] = replace(table[key], title=title)

    def part(
        self, part_id: str, kind: str, title: str | None = None, mount: str = "", **ratings: Any
    ) -> None:
        terminal, _, place = mount.partition("@")
        self.sketch.part(part_id, kind, mount=(terminal, place) if mount else None, **ratings)
        self._titled("parts", part_id, title)

    def wire(
        self, first: str | End, second: str | End, colour: str | None = None, name: str | None = None
    ) -> str:
        self.wires += 1
        colour = colour or COLOURS[self.wires % len(COLOURS)]
        return self.sketch.wire(first, second, 1.0, name=name, colour=colour)

    def body(self, body_id: str, title: str, *places: str) -> None:
        self.sketch.body(body_id, dict.fromkeys(places, 0.2))
        self._titled("bodies", body_id, title)

    def ground(self, ground_id: str, place: str, title: str | None = None) -> str:
        self.sketch.ground(ground_id, place, title=title)
        return ground_id

    def splice(self, splice_id: str) -> None:
        self.sketch.splice(splice_id)

    def halves(self, first: str, second: str, count: int, title: str | None = None) -> None:
        """Add two mated halves with faces of one or two rows."""
        names = [str(n + 1) for n in range(count)]
        across = (count + 1) // 2 if count > 3 else count
        rows = tuple(tuple(names[i : i + across]) for i in range(0, count, across))
        table = self.harness.halves
        face = Face("mating", rows, lock="top")
        table[first] = Half(first, title, mates={second: None}, face=face)
        table[second] = Half(second, face=replace(face, rows=tuple(row[::-1] for row in rows)))

    def plug(self, half_id: str, part: str, *terminals: str) -> None:
        cavities = {str(i + 1): Cavity(terminal=t) for i, t in enumerate(terminals)}
        self.harness.halves[half_id] = Half(half_id, part=part, cavities=cavities)


def small() -> Harness:
    """Return a pickup's rear end: two lamps, a pump, a gauge, two bodies, a shared stud and a parallel return."""
    m = Maker()
    m.body("shell", "Cab and bed", "cab_floor", "bed_rear")
    m.body("engine", "Engine block", "block")
    m.part("GB1", "battery", "Battery", rest_v=12.65)
    m.part("G1", "alternator", "Alternator", mount="B-@engine.block", set_v=14.2)
    for fuse, amps in (("F2", 10), ("F4", 15), ("F7", 7.5), ("F9", 20)):
        m.part(fuse, "fuse", style="blade_medium", rated_a=amps)
    m.part(
        "A9", "box", "Fuse box", holds=("F2", "F4", "F7", "F9"), buses=(("F2.in", "F4.in", "F7.in", "F9.in"),)
    )
    m.part("E1", "lamp", "Head lamp left", rated_w=55)
    m.part("E5", "lamp", "Stop, left", rated_w=25)
    m.part("E6", "lamp", "Stop, right", rated_w=25)
    m.part("M2", "motor", "Fuel pump", rated_a=6.5)
    m.part("P1", "gauge", "Fuel gauge", coil_ohm=(90.0, 90.0))
    m.part("B1", "sender", "Tank sender", mount="31@shell.bed_rear", ohm={"empty": 240.0, "full": 33.0})
    m.halves("X7", "X8", 8, "Bed loom")
    m.plug("X9", "M2", "15", "31")
    for splice in ("SP1", "SP2", "SP3"):
        m.splice(splice)
    m.ground("GP1", "shell.cab_floor", "Cab floor")
    m.ground("GP2", "shell.bed_rear", "Bed left rear corner")
    m.wire("GB1.30", "SP1", "RD")
    m.wire("SP1", "A9.B", "RD")
    m.wire("G1.B+", "SP1", "RD")
    m.wire("GB1.31", "engine.block", "BK")
    m.wire("engine.block", "shell.cab_floor", "BK")
    m.wire("F2.out", "X7.1", "WH/RD")
    m.wire("F4.out", "X7.3", "GN/BK")
    m.wire("F7.out", "X7.5", "YE")
    m.wire("F9.out", "E1.1", "OG/BK")
    m.wire("E1.31", "GP1", "BN")
    m.wire("X8.1", "P1.15", "WH/RD")
    m.wire("X8.3", "X9.1", "GN/BK")
    m.wire("X8.5", "SP2", "YE")
    m.wire("SP2", "E5.1", "YE")
    m.wire("SP2", "E6.1", "YE")
    m.wire("E5.31", "SP3", "BN")
    m.wire("E6.31", "SP3", "BN")
    m.wire("SP3", "GP2", "BN", "W31")
    m.wire("X9.2", "GP2", "BN/WH", "W40")
    m.wire("P1.31", "GP2", "BK", "W41")
    m.wire("P1.S", "B1.1", "BU")
    m.sketch.stack("GP2", ("W31",), ("W40",), ("W41",))
    return m.sketch.done()


_LOADS = (
    ("lamp", "1", "31"),
    ("motor", "15", "31"),
    ("heater", "1", "2"),
    ("lamp", "1", "31"),
    ("gauge", "15", "31"),
)


def vehicle_of(wires: int, seed: int = 1) -> Harness:
    """Return a made-up vehicle with about so many wires."""
    rng = random.Random(seed)
    m = Maker()
    m.body("shell", "Body shell", "front", "rear")
    m.body("engine", "Engine block", "block")
    m.part("GB1", "battery", "Battery")
    m.part("G1", "alternator", "Alternator", mount="B-@engine.block")
    m.wire("GB1.31", "engine.block", "BK")
    m.wire("engine.block", "shell.front", "BK")
    m.splice("SP0")
    m.wire("GB1.30", "SP0", "RD")
    m.wire("G1.B+", "SP0", "RD")
    studs = [
        m.ground(f"GP{i}", rng.choice(("shell.front", "shell.rear")), f"Stud {i}")
        for i in range(1, 3 + wires // 60)
    ]
    box = fuse = load = switch = joint = 0
    while m.wires < wires:
        box += 1
        names = [f"F{fuse + i + 1}" for i in range(rng.randint(3, 8))]
        fuse += len(names)
        for name in names:
            m.part(name, "fuse", rated_a=rng.choice((5, 7.5, 10, 15, 20)))
        m.part(f"A{box}", "box", f"Fuse box {box}", holds=tuple(names))
        m.wire("SP0", f"A{box}.B", "RD")
        pins = rng.choice((6, 8, 12))
        m.halves(f"X{2 * box}", f"X{2 * box + 1}", pins, f"Loom {box}")
        for pin, name in enumerate(names, 1):
            if m.wires >= wires:
                break
            source = f"{name}.out"
            if rng.random() < 0.4:
                switch += 1
                m.part(f"S{switch}", "switch", f"Switch {switch}", positions={"off": (), "on": (("1", "2"),)})
                m.wire(source, f"S{switch}.1")
                source = f"S{switch}.2"
            if pin <= pins and rng.random() < 0.7:
                m.wire(source, f"X{2 * box}.{pin}")
                source = f"X{2 * box + 1}.{pin}"
            count = rng.choice((1, 1, 2, 3))
            if count > 1:
                joint += 1
                m.splice(f"SP{joint}")
                m.wire(source, f"SP{joint}")
                source = f"SP{joint}"
            for _ in range(count):
                load += 1
                kind, feed, back = rng.choice(_LOADS)
                m.part(f"E{load}", kind, f"{kind.capitalize()} {load}")
                m.wire(source, f"E{load}.{feed}")
                m.wire(f"E{load}.{back}", rng.choice(studs), rng.choice(("BN", "BK", "BN/WH")))
    return m.sketch.done()
