"""The invented vehicle's circuits: groups on a fuse, each with loads, switches, splices and returns."""

import random
from collections.abc import Callable

from harness_studio.model.kinds.control import UnitTerminal
from harness_studio.model.kinds.gauges import Scale
from harness_studio.model.kinds.loads import Filament

from .vehicle_frame import Frame

LOAD_ZONES = ("bay", "nose", "dash", "floor", "door", "bed", "tail", "tail")
BIG_LOADS = 40
"""About so many loads of tens of watts in any vehicle, however many small ones there are."""


class Circuits:
    """Adds groups of circuits to a frame until there are enough."""

    def __init__(self, frame: Frame, rng: random.Random) -> None:
        self.frame = frame
        self.rng = rng
        self.kinds: dict[Callable[[str, str, str, str], int], int] = {
            self._lamp: 20, self._two_filaments: 6, self._motor: 14, self._converter: 8, self._current: 8,
            self._led: 7, self._blocked_lamp: 3, self._resistor: 20, self._heater: 16, self._coil: 6,
            self._gauge: 6, self._unit: 3, self._voltmeter: 4, self._bolted: 6,
        }  # fmt: skip
        """Makers of loads and how often each is taken: about half are nonlinear."""

    def make(self, circuits: int) -> None:
        """Add circuits."""
        self._big = min(1.0, BIG_LOADS / circuits)
        made = 0
        group = 0
        while made < circuits:
            group += 1
            made += self._group(group, min(self.rng.choice((2, 3, 4, 4, 5)), circuits - made))

    def _group(self, number: int, wanted: int) -> int:
        """Add one fuse, its control, a feed splice, a way back, and loads; return the number of circuits."""
        f, rng = self.frame, self.rng
        name = f"Group {number}"
        zone = rng.choice(LOAD_ZONES)
        out = f.fuse(name, rng.choice(("30", "15", "15")), rng.choice((5.0, 7.5, 10.0, 15.0)))
        feed = f.sketch.splice(f.next("SP"), zone=zone)
        control = rng.random()
        if control < 0.22:
            switch = self._switch()
            f.wire(out, f"{switch}.30", 1.5, name, ("firewall", "dash"))
            f.wire(f"{switch}.87", feed, 1.5, name, ("dash", zone))
        elif control < 0.27:
            self._through_relay(name, out, feed, zone)
        elif control < 0.29:
            meter = f.sketch.part(f.next("P"), "ammeter", ohm=0.002, zone="dash")
            f.wire(out, f"{meter}.1", 2.5, name, ("firewall", "dash"))
            f.wire(f"{meter}.2", feed, 2.5, name, ("dash", zone))
        elif control < 0.31:
            self._through_flasher(name, out, feed, zone)
        else:
            f.wire(out, feed, 1.5, name, ("firewall", zone))
        back = self._way_back(name, zone)
        made = 0
        while made < wanted:
            maker = rng.choices(list(self.kinds), list(self.kinds.values()))[0]
            made += maker(f"Circuit {number}-{made + 1}", feed, back, zone)
        return made

    def _switch(self) -> str:
        f = self.frame
        first = self.rng.random() < 0.5
        positions = {"off": (), "on": (("30", "87"),)} if first else {"on": (("30", "87"),), "off": ()}
        switch = f.sketch.switch(f.next("S"), **positions)
        (f.lamp_switches if self.rng.random() < 0.5 else f.switches).append(switch)
        return switch

    def _through_relay(self, name: str, out: str, feed: str, zone: str) -> None:
        f = self.frame
        relay = f.relay(rated_a=30.0)
        switch = self._switch()
        f.wire(out, f"{relay}.30", 2.5, name)
        f.wire(f"{relay}.87", feed, 2.5, name, ("firewall", zone))
        f.wire("S1.75", f"{switch}.30", 0.75, name)
        f.wire(f"{switch}.87", f"{relay}.86", 0.5, name, ("dash", "firewall"))
        f.wire(f"{relay}.85", f.stud("firewall"), 0.75, name)

    def _through_flasher(self, name: str, out: str, feed: str, zone: str) -> None:
        f = self.frame
        flasher = f.sketch.part(f.next("K"), "flasher", movement="thermal", rated_w=46.0)
        f.wire(out, f"{flasher}.49", 1.5, name)
        f.wire(f"{flasher}.49a", feed, 1.5, name, ("firewall", zone))
        f.wire(f"{flasher}.31", f.stud("firewall"), 0.5, name)

    def _way_back(self, name: str, zone: str) -> str:
        """Return where a group's loads return: a splice on one or two studs, a bus bar, or a stud itself."""
        f, rng = self.frame, self.rng
        kind = rng.random()
        if kind < 0.25:
            return f.stud(zone)
        if kind < 0.32:
            bar = f.sketch.part(f.next("WB"), "bus_bar", zone=zone)
            f.wire(f"{bar}.stud", f.stud(zone), 4.0, name)
            return bar
        splice = f.sketch.splice(f.next("SP"), zone=zone)
        studs = {f.stud(zone): None}
        if kind < 0.62:
            studs[f.stud(rng.choice(LOAD_ZONES))] = None
        for stud in studs:
            f.wire(splice, stud, 2.5, name)
        return splice

    def _end(self, back: str) -> str:
        """Return the next tab of a bus bar; a splice or a stud itself."""
        return self.frame.next(f"{back}.t") if back in self.frame.sketch.harness.parts else back

    def _plug(self, part: str, *terminals: str) -> tuple[str, ...]:
        """Return where wires end at a part: at its terminals, or (one time in three) in a half plugged onto it."""
        if self.rng.random() >= 0.35:
            return tuple(f"{part}.{t}" for t in terminals)
        f = self.frame
        half = f.next("X")
        names = [str(n + 1) for n in range(len(terminals))]
        f.sketch.half(half, names, part=part, terminals=dict(zip(names, terminals, strict=True)))
        return tuple(f"{half}.{n}" for n in names)

    def _feed(self, name: str, feed: str, to: str, zone: str, area_mm2: float = 1.0) -> None:
        """Join a load's feed to the group's splice, through mated halves or another splice most times."""
        f, kind = self.frame, self.rng.random()
        if kind < 0.4:
            first, second = f.cavity(zone)
            f.wire(feed, first, area_mm2, name)
            f.wire(second, to, area_mm2, name)
        elif kind < 0.75:
            between = f.sketch.splice(f.next("SP"), zone=zone)
            f.wire(feed, between, area_mm2, name)
            f.wire(between, to, area_mm2, name)
        else:
            f.wire(feed, to, area_mm2, name)

    def _return(self, name: str, at: str, back: str, zone: str, area_mm2: float = 1.0) -> None:
        """Join a load's return to the group's way back, through mated halves one time in four."""
        f, kind = self.frame, self.rng.random()
        if kind < 0.25:
            first, second = f.cavity(zone)
            f.wire(at, second, area_mm2, name)
            f.wire(first, self._end(back), area_mm2, name)
        elif kind < 0.55:
            between = f.sketch.splice(f.next("SP"), zone=zone)
            f.wire(at, between, area_mm2, name)
            f.wire(between, self._end(back), area_mm2, name)
        else:
            f.wire(at, self._end(back), area_mm2, name)

    def _two_pole(
        self,
        letter: str,
        kind: str,
        name: str,
        feed: str,
        back: str,
        zone: str,
        ends: tuple[str, str],
        **ratings: object,
    ) -> str:
        f = self.frame
        part = f.sketch.part(f.next(letter), kind, zone=zone, circuit=name, **ratings)
        hot, cold = self._plug(part, *ends)
        self._feed(name, feed, hot, zone)
        self._return(name, cold, back, zone)
        return part

    def _watts(self) -> float:
        return (
            self.rng.choice((21.0, 45.0, 55.0))
            if self.rng.random() < self._big
            else self.rng.choice((1.2, 2.0, 3.0, 5.0))
        )

    def _lamp(self, name: str, feed: str, back: str, zone: str) -> int:
        self._two_pole("E", "lamp", name, feed, back, zone, ("1", "31"), rated_v=13.5, rated_w=self._watts())
        return 1

    def _two_filaments(self, name: str, feed: str, back: str, zone: str) -> int:
        f = self.frame
        elements = {
            "stop": Filament(("54", "31"), 13.5, 21.0 if self.rng.random() < self._big else 4.0),
            "tail": Filament(("58", "31"), 13.5, 2.0),
        }
        part = f.sketch.part(f.next("E"), "lamp", zone=zone, circuit=name, elements=elements)
        stop, tail, cold = self._plug(part, "54", "58", "31")
        self._feed(name, feed, stop, zone)
        switch = self._switch()
        f.wire(feed, f"{switch}.30", 1.0, name, (zone, "dash"))
        f.wire(f"{switch}.87", tail, 1.0, name, ("dash", zone))
        self._return(name, cold, back, zone)
        return 2

    def _motor(self, name: str, feed: str, back: str, zone: str) -> int:
        amps = (
            self.rng.choice((4.0, 6.5, 9.0))
            if self.rng.random() < self._big
            else self.rng.choice((0.2, 0.4, 0.8))
        )
        torque = self.rng.choice(("fan", "fan", "centrifugal", "constant"))
        ends = ("15", "31")
        self.frame.motors.append(
            self._two_pole(
                "M",
                "motor",
                name,
                feed,
                back,
                zone,
                ends,
                torque=torque,
                rated_v=13.5,
                rated_a=amps,
                stall_a=3.0 * amps,
            )
        )
        return 1

    def _converter(self, name: str, feed: str, back: str, zone: str) -> int:
        watts = self.rng.choice((1.0, 2.0, 4.0, 8.0))
        ends = ("15", "31")
        self._two_pole(
            "T", "converter", name, feed, back, zone, ends, rated_v=13.5, rated_w=watts, cut_out_v=6.0
        )
        return 1

    def _current(self, name: str, feed: str, back: str, zone: str) -> int:
        amps = self.rng.choice((0.05, 0.1, 0.3))
        self._two_pole("E", "current_load", name, feed, back, zone, ("15", "31"), rated_v=13.5, rated_a=amps)
        return 1

    def _led(self, name: str, feed: str, back: str, zone: str) -> int:
        amps = self.rng.choice((0.02, 0.02, 0.1))
        self._two_pole("P", "led", name, feed, back, zone, ("A", "K"), rated_v=13.5, rated_a=amps)
        return 1

    def _blocked_lamp(self, name: str, feed: str, back: str, zone: str) -> int:
        """Add a lamp behind a diode."""
        f = self.frame
        diode = f.sketch.part(f.next("R"), "diode", zone=zone, series_ohm=0.05, rated_a=3.0)
        f.wire(feed, f"{diode}.A", 1.0, name)
        self._two_pole("E", "lamp", name, f"{diode}.K", back, zone, ("1", "31"), rated_v=13.5, rated_w=3.0)
        return 1

    def _resistor(self, name: str, feed: str, back: str, zone: str) -> int:
        self._two_pole(
            "R",
            "resistor",
            name,
            feed,
            back,
            zone,
            ("1", "2"),
            ohm=self.rng.choice((40.0, 60.0, 120.0, 470.0)),
        )
        return 1

    def _heater(self, name: str, feed: str, back: str, zone: str) -> int:
        self._two_pole("E", "heater", name, feed, back, zone, ("1", "2"), rated_v=13.5, rated_w=self._watts())
        return 1

    def _coil(self, name: str, feed: str, back: str, zone: str) -> int:
        ratings = {"ohm": 3.0, "rated_v": 13.5, "mean_a": self.rng.choice((0.3, 0.5))}
        self._two_pole("T", "coil", name, feed, back, zone, ("15", "1"), **ratings)
        return 1

    def _voltmeter(self, name: str, feed: str, back: str, zone: str) -> int:
        self._two_pole("P", "voltmeter", name, feed, back, "dash", ("1", "2"), ohm=2000.0)
        return 1

    def _bolted(self, name: str, feed: str, back: str, zone: str) -> int:
        """Add a motor whose case lies on metal, with a return wire beside it half of the time."""
        f = self.frame
        place = f.sketch.harness.grounds[f.stud(zone)].place
        assert place is not None
        part = f.sketch.part(
            f.next("M"),
            "motor",
            zone=zone,
            circuit=name,
            mount=("31", place),
            rated_v=13.5,
            rated_a=0.6,
            stall_a=2.0,
        )
        f.motors.append(part)
        self._feed(name, feed, f"{part}.15", zone)
        if self.rng.random() < 0.5:
            self._return(name, f"{part}.31", back, zone)
        return 1

    def _gauge(self, name: str, feed: str, back: str, zone: str) -> int:
        """Add a two-coil gauge, or a bimetal one behind a stabiliser, with its sender on metal or on the way back."""
        f, rng = self.frame, self.rng
        two_coil = rng.random() < 0.6
        scale = Scale(ohm={240.0: 0.0, 100.0: 0.5, 33.0: 1.0})
        movement = (
            {"movement": "two_coil", "coil_ohm": (90.0, 90.0)}
            if two_coil
            else {"movement": "bimetal", "coil_ohm": (65.0,)}
        )
        gauge = f.sketch.part(f.next("P"), "gauge", zone="dash", circuit=name, scale=scale, **movement)
        supply = f"{gauge}.15"
        if not two_coil:
            steady = f.sketch.part(f.next("T"), "stabiliser", zone="dash", nominal_v=10.0)
            f.wire(f"{steady}.out", supply, 0.75, name)
            f.wire(f"{steady}.31", f.stud("dash"), 0.75, name)
            supply = f"{steady}.15"
        self._feed(name, feed, supply, zone, 0.75)
        f.wire(f"{gauge}.31", f.stud("dash"), 0.75, name)
        place = f.sketch.harness.grounds[f.stud(zone)].place if rng.random() < 0.5 else None
        sender = f.sketch.part(
            f.next("B"), "sender", zone=zone, circuit=name, mount=("31", place) if place else None,
            ohm={"empty": 240.0, "half": 100.0, "full": 33.0},
        )  # fmt: skip
        f.senders.append(sender)
        f.wire(f"{gauge}.S", f"{sender}.1", 0.5, name, ("dash", zone))
        if place is None:
            self._return(name, f"{sender}.31", back, zone, 0.75)
        return 2

    def _unit(self, name: str, feed: str, back: str, zone: str) -> int:
        """Add a control unit with two sensors and two driven loads."""
        f = self.frame
        does = {
            "30": UnitTerminal("supply"), "31": UnitTerminal("ground"), "31s": UnitTerminal("sensor_ground"),
            "d": UnitTerminal("draw", amps=0.2, to="31"),
            "s1": UnitTerminal("sensor_input", to="31s", reference_v=5.0, pull_up_ohm=2200.0),
            "s2": UnitTerminal("sensor_input", to="31", reference_v=5.0, pull_up_ohm=1000.0),
            "q1": UnitTerminal("low_side", to="31", ohm=0.1), "q2": UnitTerminal("pwm_high", ohm=0.05, duty=0.4),
        }  # fmt: skip
        unit = f.sketch.part(f.next("A"), "control_unit", zone="dash", circuit=name, terminals=does)
        self._feed(name, feed, f"{unit}.30", zone)
        self._return(name, f"{unit}.31", back, zone)
        # The electronics' sensor ground is joined to its ground inside, and wired out for its sensors.
        f.wire(f"{unit}.31s", f.stud("dash"), 0.75, name)
        for number, table in ((1, True), (2, False)):
            given = (
                {"ohm": {"-10": 9000.0, "20": 2500.0, "80": 330.0}}
                if table
                else {"r25_ohm": 2000.0, "b_k": 3500.0}
            )
            sensor = f.sketch.part(f.next("B"), "ntc", zone=zone, circuit=name, **given)
            f.wire(f"{unit}.s{number}", f"{sensor}.1", 0.5, name, ("dash", zone))
            if table:
                f.wire(f"{sensor}.2", f"{unit}.31s", 0.5, name, (zone, "dash"))
            else:
                self._return(name, f"{sensor}.2", back, zone, 0.5)
        valve = f.sketch.part(f.next("R"), "resistor", zone=zone, circuit=name, ohm=30.0)
        f.wire(feed, f"{valve}.1", 1.0, name)
        f.wire(f"{valve}.2", f"{unit}.q1", 1.0, name, (zone, "dash"))
        fan = f.sketch.part(f.next("E"), "heater", zone=zone, circuit=name, rated_v=13.5, rated_w=10.0)
        f.wire(f"{unit}.q2", f"{fan}.1", 1.0, name, ("dash", zone))
        self._return(name, f"{fan}.2", back, zone)
        return 5
