"""The invented vehicle's loads, a maker for each kind; about half of them are nonlinear."""

import random
from collections.abc import Callable
from dataclasses import dataclass, replace

from harness_studio.model.kinds import KINDS
from harness_studio.model.kinds.control import UnitTerminal
from harness_studio.model.kinds.gauges import Scale
from harness_studio.model.kinds.loads import Filament

from .vehicle_frame import Frame

BIG_LOADS = 40
"""About so many loads of tens of watts in any vehicle, however many small ones there are."""
SMALL_LOADS = 300
"""From so many circuits on the small loads get smaller, so that one battery carries them."""
POLAR = frozenset({"diode", "led", "converter"})
"""Kinds whose first terminal must be the positive one."""


@dataclass(frozen=True, slots=True)
class Tap:
    """Where a load is joined on: its circuit, the feed splice and the way back of its group, and the zone."""

    circuit: str
    feed: str
    back: str
    zone: str

    def named(self, circuit: str) -> "Tap":
        return replace(self, circuit=circuit)


class Loads:
    """Makes loads and joins them on."""

    def __init__(self, frame: Frame, rng: random.Random, circuits: int) -> None:
        self.frame = frame
        self.rng = rng
        self._big = min(1.0, BIG_LOADS / circuits)
        self._small = min(1.0, SMALL_LOADS / circuits)

    def add(self, kind: str, tap: Tap, **ratings: object) -> str:
        """Add a part of a kind."""
        return self.frame.sketch.part(
            self.frame.next(KINDS[kind].letter[0]), kind, zone=tap.zone, circuit=tap.circuit, **ratings
        )

    def two_pole(self, kind: str, tap: Tap, first: str, second: str, **ratings: object) -> str:
        """Add a load of two terminals, fed and returned."""
        part = self.add(kind, tap, **ratings)
        if kind in POLAR and not self.frame.negative:
            first, second = second, first
        hot, cold = self.plug(part, first, second)
        self.fed(tap, hot)
        self.returned(tap, cold)
        return part

    def plug(self, part: str, *terminals: str) -> tuple[str, ...]:
        """Return where wires end at a part: at its terminals, or (one time in three) in a half plugged onto it."""
        if self.rng.random() >= 0.35:
            return tuple(f"{part}.{t}" for t in terminals)
        half = self.frame.next("X")
        names = [str(n + 1) for n in range(len(terminals))]
        self.frame.sketch.half(half, names, part=part, terminals=dict(zip(names, terminals, strict=True)))
        return tuple(f"{half}.{n}" for n in names)

    def fed(self, tap: Tap, to: str, area_mm2: float = 1.0) -> None:
        """Join a feed to the group's splice, through mated halves or another splice most times."""
        f, kind = self.frame, self.rng.random()
        if kind < 0.3:
            first, second = f.cavity(tap.zone)
            f.wire(tap.feed, first, area_mm2, tap.circuit)
            f.wire(second, to, area_mm2, tap.circuit)
        elif kind < 0.95:
            between = f.sketch.splice(f.next("SP"), zone=tap.zone)
            f.wire(tap.feed, between, area_mm2, tap.circuit)
            f.wire(between, to, area_mm2, tap.circuit)
        else:
            f.wire(tap.feed, to, area_mm2, tap.circuit)

    def returned(self, tap: Tap, at: str, area_mm2: float = 1.0) -> None:
        """Join a return to the group's way back, through mated halves or another splice half of the time."""
        f, kind = self.frame, self.rng.random()
        bar = tap.back in f.sketch.harness.parts
        end = f.next(f"{tap.back}.t") if bar else tap.back
        if kind < 0.12:
            first, second = f.cavity(tap.zone)
            f.wire(at, second, area_mm2, tap.circuit)
            f.wire(first, end, area_mm2, tap.circuit)
        elif kind < 0.5:
            between = f.sketch.splice(f.next("SP"), zone=tap.zone)
            f.wire(at, between, area_mm2, tap.circuit)
            f.wire(between, end, area_mm2, tap.circuit)
        else:
            f.wire(at, end, area_mm2, tap.circuit)

    def watts(self) -> float:
        """Return a load's watts: seldom a big one."""
        if self.rng.random() < self._big:
            return self.rng.choice((21.0, 45.0, 55.0))
        return round(self._small * self.rng.choice((1.2, 2.0, 3.0, 5.0)), 2)

    def lamp(self, tap: Tap) -> int:
        self.two_pole("lamp", tap, "1", "31", rated_v=13.5, rated_w=self.watts())
        return 1

    def two_filaments(self, tap: Tap) -> int:
        """Add a lamp with two filaments, one of them switched, and a common return."""
        f = self.frame
        elements = {
            "stop": Filament(("54", "31"), 13.5, 21.0 if self.rng.random() < self._big else 4.0),
            "tail": Filament(("58", "31"), 13.5, 2.0),
        }
        stop, tail, cold = self.plug(self.add("lamp", tap, elements=elements), "54", "58", "31")
        self.fed(tap, stop)
        switch = f.switch()
        f.wire(tap.feed, f"{switch}.30", 1.0, tap.circuit, (tap.zone, "dash"))
        f.wire(f"{switch}.87", tail, 1.0, tap.circuit, ("dash", tap.zone))
        self.returned(tap, cold)
        return 2

    def motor(self, tap: Tap) -> int:
        amps = round(self._small * self.rng.choice((0.2, 0.4, 0.8)), 3)
        if self.rng.random() < self._big:
            amps = self.rng.choice((4.0, 6.5, 9.0))
        torque = self.rng.choice(("fan", "fan", "centrifugal", "constant"))
        ratings = {"torque": torque, "rated_v": 13.5, "rated_a": amps, "stall_a": round(3.0 * amps, 3)}
        self.frame.motors.append(self.two_pole("motor", tap, "15", "31", **ratings))
        return 1

    def bolted(self, tap: Tap) -> int:
        """Add a motor whose case lies on metal, with a return wire beside it half of the time."""
        place = self._place(tap.zone)
        ratings = {"rated_v": 13.5, "rated_a": 0.6, "stall_a": 2.0}
        part = self.add("motor", tap, mount=("31", place), **ratings)
        self.frame.motors.append(part)
        self.fed(tap, f"{part}.15")
        if self.rng.random() < 0.5:
            self.returned(tap, f"{part}.31")
        return 1

    def converter(self, tap: Tap) -> int:
        watts = round(self._small * self.rng.choice((1.0, 2.0, 4.0, 8.0)), 2)
        self.two_pole("converter", tap, "15", "31", rated_v=13.5, rated_w=watts, cut_out_v=6.0)
        return 1

    def current(self, tap: Tap) -> int:
        self.two_pole(
            "current_load", tap, "15", "31", rated_v=13.5, rated_a=self.rng.choice((0.05, 0.1, 0.2))
        )
        return 1

    def led(self, tap: Tap) -> int:
        self.two_pole("led", tap, "A", "K", rated_v=13.5, rated_a=self.rng.choice((0.02, 0.02, 0.1)))
        return 1

    def blocked_lamp(self, tap: Tap) -> int:
        """Add a lamp behind a diode."""
        diode = self.add("diode", tap, series_ohm=0.05, rated_a=3.0)
        before, after = ("A", "K") if self.frame.negative else ("K", "A")
        self.frame.wire(tap.feed, f"{diode}.{before}", 1.0, tap.circuit)
        self.two_pole("lamp", replace(tap, feed=f"{diode}.{after}"), "1", "31", rated_v=13.5, rated_w=3.0)
        return 1

    def resistor(self, tap: Tap) -> int:
        ohm = round(self.rng.choice((40.0, 60.0, 120.0, 470.0)) / self._small, 1)
        self.two_pole("resistor", tap, "1", "2", ohm=ohm)
        return 1

    def heater(self, tap: Tap) -> int:
        self.two_pole("heater", tap, "1", "2", rated_v=13.5, rated_w=self.watts())
        return 1

    def coil(self, tap: Tap) -> int:
        mean_a = round(self._small * self.rng.choice((0.3, 0.5)), 3)
        self.two_pole("coil", tap, "15", "1", ohm=3.0, rated_v=13.5, mean_a=mean_a)
        return 1

    def voltmeter(self, tap: Tap) -> int:
        self.two_pole("voltmeter", replace(tap, zone="dash"), "1", "2", ohm=2000.0)
        return 1

    def gauge(self, tap: Tap) -> int:
        """Add a two-coil gauge, or a bimetal one behind a stabiliser, and its sender on metal or on the way back."""
        f, rng = self.frame, self.rng
        # A stabiliser's positive is its feed; there is none in a vehicle with its positive grounded.
        two_coil = rng.random() < 0.6 or not f.negative
        movement, coil_ohm = ("two_coil", (90.0, 90.0)) if two_coil else ("bimetal", (65.0,))
        scale = Scale(ohm={240.0: 0.0, 100.0: 0.5, 33.0: 1.0})
        gauge = self.add(
            "gauge", replace(tap, zone="dash"), scale=scale, movement=movement, coil_ohm=coil_ohm
        )
        supply = f"{gauge}.15"
        if movement == "bimetal":
            steady = self.add("stabiliser", replace(tap, zone="dash"), nominal_v=10.0)
            f.wire(f"{steady}.out", supply, 0.75, tap.circuit)
            f.wire(f"{steady}.31", f.stud("dash"), 0.75, tap.circuit)
            supply = f"{steady}.15"
        self.fed(tap, supply, 0.75)
        f.wire(f"{gauge}.31", f.stud("dash"), 0.75, tap.circuit)
        mount = ("31", self._place(tap.zone)) if rng.random() < 0.5 else None
        sender = self.add("sender", tap, mount=mount, ohm={"empty": 240.0, "half": 100.0, "full": 33.0})
        f.senders.append(sender)
        f.wire(f"{gauge}.S", f"{sender}.1", 0.5, tap.circuit, ("dash", tap.zone))
        if mount is None:
            self.returned(tap, f"{sender}.31", 0.75)
        return 2

    def unit(self, tap: Tap) -> int:
        """Add a control unit with two sensors and two driven loads (a lamp where the positive is grounded)."""
        f = self.frame
        if not f.negative:
            return self.lamp(tap)
        does = {
            "30": UnitTerminal("supply"), "31": UnitTerminal("ground"), "31s": UnitTerminal("sensor_ground"),
            "30s": UnitTerminal("draw", amps=0.2, to="31"),
            "s1": UnitTerminal("sensor_input", to="31s", reference_v=5.0, pull_up_ohm=2200.0),
            "s2": UnitTerminal("sensor_input", to="31", reference_v=5.0, pull_up_ohm=1000.0),
            "q1": UnitTerminal("low_side", to="31", ohm=0.1), "q2": UnitTerminal("pwm_high", ohm=0.05, duty=0.4),
        }  # fmt: skip
        unit = self.add("control_unit", replace(tap, zone="dash"), terminals=does)
        self.fed(tap, f"{unit}.30")
        f.wire(tap.feed, f"{unit}.30s", 0.75, tap.circuit, (tap.zone, "dash"))
        self.returned(tap, f"{unit}.31")
        f.wire(f"{unit}.31s", f.stud("dash"), 0.75, tap.circuit)
        table = self.add("ntc", tap, ohm={"-10": 9000.0, "20": 2500.0, "80": 330.0})
        f.wire(f"{unit}.s1", f"{table}.1", 0.5, tap.circuit, ("dash", tap.zone))
        f.wire(f"{table}.2", f"{unit}.31s", 0.5, tap.circuit, (tap.zone, "dash"))
        by_b = self.add("ntc", tap, r25_ohm=2000.0, b_k=3500.0)
        f.wire(f"{unit}.s2", f"{by_b}.1", 0.5, tap.circuit, ("dash", tap.zone))
        self.returned(tap, f"{by_b}.2", 0.5)
        valve = self.add("resistor", tap, ohm=30.0)
        f.wire(tap.feed, f"{valve}.1", 1.0, tap.circuit)
        f.wire(f"{valve}.2", f"{unit}.q1", 1.0, tap.circuit, (tap.zone, "dash"))
        fan = self.add("heater", tap, rated_v=13.5, rated_w=10.0)
        f.wire(f"{unit}.q2", f"{fan}.1", 1.0, tap.circuit, ("dash", tap.zone))
        self.returned(tap, f"{fan}.2")
        return 5

    def _place(self, zone: str) -> str:
        """Return the metal that one of a zone's studs stands on."""
        place = self.frame.sketch.harness.grounds[self.frame.stud(zone)].place
        assert place is not None
        return place


MAKERS: dict[Callable[[Loads, Tap], int], int] = {
    Loads.lamp: 20, Loads.two_filaments: 6, Loads.motor: 14, Loads.converter: 8, Loads.current: 8, Loads.led: 7,
    Loads.blocked_lamp: 3, Loads.resistor: 20, Loads.heater: 16, Loads.coil: 6, Loads.gauge: 6, Loads.unit: 3,
    Loads.voltmeter: 4, Loads.bolted: 6,
}  # fmt: skip
"""Makers of loads, each returning the number of circuits it made, and how often each is taken."""
