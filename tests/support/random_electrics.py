"""Random working harnesses of 10 to 400 joints: every kind of load, shared and crossed returns, faults at any joint.

Unlike `vehicle` nothing here has the shape of a vehicle: feeds branch off one another through fuses, switches, relays
and halves, returns off other returns, some loads bridge two feeds or hang in the air. One generator decides it all.
"""

import math
import random
from collections.abc import Callable

from harness_studio.model.harness import Harness
from harness_studio.model.kinds.control import UnitTerminal
from harness_studio.model.kinds.gauges import Scale
from harness_studio.model.kinds.loads import Filament
from harness_studio.network.expand import expand

from .sketch import Sketch

FAULTS_MOHM = (0.0, 0.5, 20.0, 50.0, 200.0, 1000.0, 5000.0, 1e5, math.inf)
JOINTS_A_LOAD = 15.0


class RandomHarness:
    """Grows one harness; `kinds` are the loads it may have."""

    def __init__(self, rng: random.Random, joints: int, without: tuple[str, ...] = ()) -> None:
        self.rng = rng
        self.without = without
        self.positive = rng.random() < 0.1
        self.s = Sketch(grounded="positive" if self.positive else "negative")
        self.count = 0
        self.senders: dict[str, str] = {}
        self.loads: dict[str, str] = {}
        self.positions: dict[str, str] = {}
        self.engine = rng.choice(("off", "off", "idling", "running", "cranking"))
        self.supply()
        while (missing := joints - len(expand(self.s.harness).joints)) > 0:
            for _ in range(math.ceil(missing / JOINTS_A_LOAD)):
                self.grow()
        self.s.mode("now", engine=self.engine, set=self.positions, loads=self.loads, senders=self.senders)
        self.spoil()

    def name(self, letter: str) -> str:
        self.count += 1
        return f"{letter}{self.count}"

    def wire(self, a: str, b: str) -> None:
        rng = self.rng
        if a.split(".")[0] != b.split(".")[0]:
            self.s.wire(a, b, rng.choice((0.35, 0.75, 1.5, 4.0)), round(rng.uniform(50.0, 4000.0), 1))

    def supply(self) -> None:
        """Add metal, battery, now and then an alternator and a starter."""
        s, rng = self.s, self.rng
        bodies = ("shell", "engine", "frame")[: rng.randint(1, 3)]
        for body in bodies:
            s.body(body, a=rng.uniform(0.05, 1.0), b=rng.uniform(0.05, 2.0))
        for number, body in enumerate(bodies[1:]):
            if rng.random() < 0.8:
                s.bond(f"bond{number}", f"{bodies[0]}.b", f"{body}.b", rng.choice((0.3, 5.0, 80.0)))
            self.wire(f"{bodies[0]}.a", f"{body}.a")
        self.places = [f"{body}.{place}" for body in bodies for place in "ab"]
        s.battery(
            rest_v=rng.choice((12.65, 12.2, 11.5)),
            internal_mohm=rng.choice((5.0, 8.0, 40.0)),
            capacity_ah=60.0,
        )
        post, live = ("GB1.30", "GB1.31") if self.positive else ("GB1.31", "GB1.30")
        s.wire(post, self.places[0], 25.0, 400.0)
        s.splice("SP0")
        s.wire(live, "SP0", 16.0, 900.0)
        self.feeds, self.backs = ["SP0"], [*self.places]
        if "alternator" not in self.without and rng.random() < 0.6:
            case, out = ("B+", "B-") if self.positive else ("B-", "B+")
            max_a = rng.choice((20.0, 45.0, 90.0))
            s.part(
                "G1",
                "alternator",
                mount=(case, self.places[-1]),
                set_v=14.2,
                max_a=max_a,
                idle_hot_a=0.5 * max_a,
            )
            s.wire(f"G1.{out}", "SP0", 10.0, 1500.0)
            if rng.random() < 0.6:
                s.wire("G1.S", rng.choice((live, "SP0", f"G1.{out}")), 1.0, 800.0)
            if rng.random() < 0.6:
                s.part("E0", "lamp", rated_v=12.0, rated_w=3.0)
                s.wire("SP0", "E0.1", 0.75, 900.0)
                s.wire("E0.31", "G1.D+", 0.75, 900.0)
        if "starter" not in self.without and not self.positive and rng.random() < 0.4:
            s.part("M0", "starter", mount=("31", self.places[-1]), rated_v=10.0, crank_a=140.0)
            s.wire("GB1.30", "M0.30", 35.0, 1200.0)
            if rng.random() < 0.7:
                self.wire(self.switched(), "M0.50")

    def switched(self) -> str:
        """Return a new feed behind a fuse, a switch, mated halves, an ammeter or a flasher."""
        s, rng = self.s, self.rng
        feed, way = rng.choice(self.feeds), rng.random()
        new = s.splice(self.name("SP"))
        if way < 0.3:
            part = s.part(self.name("F"), "fuse", style="blade_medium", rated_a=rng.choice((5.0, 15.0, 30.0)))
            self.wire(feed, f"{part}.in")
            self.wire(f"{part}.out", new)
        elif way < 0.5:
            part = s.switch(self.name("S"), on=(("30", "87"),), off=())
            self.positions[part] = rng.choice(("on", "on", "on", "off"))
            self.wire(feed, f"{part}.30")
            self.wire(f"{part}.87", new)
        elif way < 0.65:
            plug = s.half(self.name("X"), ("1", "2"))
            s.half(self.name("X"), ("1", "2"), mates=plug)
            self.wire(feed, f"{plug}.1")
            self.wire(f"X{self.count}.1", new)
        elif way < 0.75:
            kind, a, b = rng.choice((("ammeter", "1", "2"), ("flasher", "49", "49a")))
            part = s.part(self.name("K"), kind)
            self.wire(feed, f"{part}.{a}")
            self.wire(f"{part}.{b}", new)
        else:
            self.wire(feed, new)
        self.feeds.append(new)
        return new

    def back(self) -> str:
        """Return where a load returns: metal, a splice on it, a bus bar, or what another load returns to."""
        s, rng = self.s, self.rng
        if rng.random() < 0.35:
            kind = rng.random()
            if kind < 0.4:
                new = s.splice(self.name("SP"))
                self.wire(new, rng.choice(self.backs))
                if rng.random() < 0.4:
                    self.wire(new, rng.choice(self.backs))
            elif kind < 0.8:
                new = s.ground(
                    self.name("GP"),
                    rng.choice((*self.places, None)) if rng.random() < 0.1 else rng.choice(self.places),
                )
            else:
                new = s.part(self.name("WB"), "bus_bar", terminals=("t",)) + ".t"
                self.wire(new, rng.choice(self.places))
            self.backs.append(new)
        return rng.choice(self.backs)

    def ends(self) -> tuple[str, str]:
        """Return (feed, return) of a new load; seldom two feeds, or two returns."""
        rng = self.rng
        feed = self.switched() if rng.random() < 0.5 else rng.choice(self.feeds)
        odd = rng.random()
        if odd < 0.03:
            return feed, rng.choice(self.feeds)
        return (feed, self.back()) if odd > 0.05 else (self.back(), rng.choice(self.backs))

    def pole(self, kind: str, first: str, second: str, **ratings: object) -> str:
        """Add a load of two terminals the right way round for the vehicle's grounding."""
        part = self.s.part(self.name("E"), kind, **ratings)
        feed, back = self.ends()
        if self.positive:
            feed, back = back, feed
        self.wire(feed, f"{part}.{first}")
        self.wire(f"{part}.{second}", back)
        return part

    def grow(self) -> None:
        """Add one load."""
        makers: dict[str, Callable[[], object]] = {
            "lamp": self.lamp, "motor": self.motor, "led": self.led, "diode": self.diode, "converter": self.converter,
            "current": self.current, "heater": self.heater, "filaments": self.filaments, "relay": self.relay,
            "resistor": lambda: self.pole("resistor", "1", "2", ohm=round(10.0 ** self.rng.uniform(-0.3, 3.0), 3)),
        }  # fmt: skip
        if not self.positive:
            makers |= {"gauge": self.gauge, "control_unit": self.unit}
        self.rng.choice([m for name, m in makers.items() if name not in self.without])()

    def watts(self) -> float:
        return self.rng.choice((1.2, 5.0, 10.0, 21.0, 55.0))

    def lamp(self) -> None:
        self.pole("lamp", "1", "31", rated_v=self.rng.choice((12.0, 13.5)), rated_w=self.watts())

    def filaments(self) -> None:
        two = {"a": Filament(("56a", "31"), 12.0, 60.0), "b": Filament(("56b", "31"), 12.0, 55.0)}
        part = self.pole("lamp", "56a", "31", elements=two)
        self.wire(self.switched(), f"{part}.56b")

    def motor(self) -> None:
        rng = self.rng
        amperes = rng.choice((0.5, 2.0, 6.0, 15.0))
        torque = rng.choice(("fan", "centrifugal", "constant"))
        part = self.pole(
            "motor",
            "15",
            "31",
            torque=torque,
            rated_v=13.5,
            rated_a=amperes,
            stall_a=amperes * rng.uniform(1.5, 6.0),
        )
        if rng.random() < 0.4:
            self.loads[part] = rng.choice(("turning", "stall", "off", "starting"))

    def led(self) -> None:
        self.pole(
            "led",
            "A",
            "K",
            rated_v=13.5,
            rated_a=self.rng.choice((0.02, 0.3)),
            forward_v=self.rng.choice((1.8, 2.9)),
        )

    def diode(self) -> None:
        """Add a diode into a new feed, either way round, or straight across."""
        rng, s = self.rng, self.s
        part = s.part(
            self.name("R"),
            "diode",
            saturation_a=10.0 ** rng.uniform(-12, -7),
            emission=rng.uniform(1.0, 2.0),
            series_ohm=10.0 ** rng.uniform(-3, 0),
        )
        ends = ["A", "K"] if rng.random() < 0.7 else ["K", "A"]
        new = s.splice(self.name("SP"))
        self.wire(rng.choice(self.feeds), f"{part}.{ends[0]}")
        self.wire(f"{part}.{ends[1]}", new)
        self.feeds.append(new)

    def converter(self) -> None:
        rng = self.rng
        self.pole(
            "converter",
            "15",
            "31",
            rated_v=13.5,
            rated_w=rng.choice((5.0, 30.0, 120.0)),
            cut_out_v=rng.choice((None, 6.0, 9.0)),
            cut_in_v=rng.choice((None, 10.0)),
        )

    def current(self) -> None:
        self.pole("current_load", "15", "31", rated_a=self.rng.choice((0.05, 0.5, 2.0)))

    def heater(self) -> None:
        self.pole("heater", "1", "2", rated_v=13.5, rated_w=self.rng.choice((20.0, 60.0, 150.0)))

    def relay(self) -> None:
        """Add a relay: coil between any feed and return, contacts into a new feed."""
        rng, s = self.rng, self.s
        kind = rng.choice(("make", "break", "changeover"))
        pull_in = rng.uniform(6.0, 9.0)
        part = self.pole(
            "relay", "86", "85", coil_ohm=rng.choice((60.0, 90.0)), contacts=kind, pull_in_v=pull_in,
            drop_out_v=pull_in * rng.uniform(0.3, 0.7), coil_diode=rng.choice(("none", "none", "85 to 86")),
        )  # fmt: skip
        self.wire(rng.choice(self.feeds), f"{part}.30")
        for terminal in {"make": ("87",), "break": ("87a",), "changeover": ("87", "87a")}[kind]:
            new = s.splice(self.name("SP"))
            self.wire(f"{part}.{terminal}", new)
            self.feeds.append(new)

    def gauge(self) -> None:
        """Add a two-coil gauge, or a bimetal one behind a stabiliser, and a sender."""
        rng, s = self.rng, self.s
        scale = Scale(ohm={240.0: 0.0, 33.0: 1.0})
        bimetal = "stabiliser" not in self.without and rng.random() < 0.5
        gauge = s.part(
            self.name("P"), "gauge", movement="bimetal" if bimetal else "two_coil",
            coil_ohm=(65.0,) if bimetal else (rng.uniform(50.0, 120.0), rng.uniform(50.0, 120.0)), scale=scale,
        )  # fmt: skip
        feed, back = self.ends()
        supply = f"{gauge}.15"
        if bimetal:
            steady = s.part(self.name("T"), "stabiliser", nominal_v=rng.choice((7.0, 10.0)))
            self.wire(f"{steady}.out", supply)
            self.wire(f"{steady}.31", self.back())
            supply = f"{steady}.15"
        self.wire(feed, supply)
        self.wire(f"{gauge}.31", back)
        sender = s.part(self.name("B"), "sender", ohm={"empty": 240.0, "half": 100.0, "full": 33.0})
        self.senders[sender] = rng.choice(("empty", "half", "full"))
        self.wire(f"{gauge}.S", f"{sender}.1")
        self.wire(f"{sender}.31", self.back())

    def unit(self) -> None:
        """Add a control unit with a sensor, a draw and a driven load."""
        rng, s = self.rng, self.s
        does = {
            "30": UnitTerminal("supply"), "31": UnitTerminal("ground"), "31s": UnitTerminal("sensor_ground"),
            "30s": UnitTerminal("draw", amps=rng.choice((0.2, 1.0)), to="31"),
            "s1": UnitTerminal("sensor_input", to="31s", reference_v=5.0, pull_up_ohm=rng.choice((1000.0, 2490.0))),
            "q1": UnitTerminal("pwm_low", to="31", ohm=0.1, duty=rng.uniform(0.1, 1.0)),
        }  # fmt: skip
        unit = s.part(self.name("A"), "control_unit", terminals=does, cut_out_v=rng.choice((None, 8.0)))
        feed, back = self.ends()
        for terminal in ("30", "30s"):
            self.wire(feed, f"{unit}.{terminal}")
        self.wire(f"{unit}.31", back)
        if rng.random() < 0.5:
            self.wire(f"{unit}.31s", self.back())
        sensor = s.part(self.name("B"), "ntc", r25_ohm=2000.0, b_k=3500.0)
        self.senders[sensor] = str(rng.choice((-10, 20, 90)))
        self.wire(f"{unit}.s1", f"{sensor}.1")
        self.wire(f"{sensor}.2", rng.choice((f"{unit}.31s", self.back())))
        valve = s.part(self.name("R"), "resistor", ohm=rng.choice((5.0, 30.0)))
        self.wire(feed, f"{valve}.1")
        self.wire(f"{valve}.2", f"{unit}.q1")

    def spoil(self) -> None:
        """Record a few joints as bad, open, or without any resistance."""
        branches = expand(self.s.harness).branches
        joints = [
            a for a, kind in zip(branches.address, branches.kind, strict=True) if kind not in ("wire", "body")
        ]
        joints = [j for j in joints if j in expand(self.s.harness).joints and "=" not in j]
        for joint in self.rng.sample(joints, min(len(joints), self.rng.choice((0, 2, 5, 10)))):
            self.s.found(joint, self.rng.choice(FAULTS_MOHM))


def random_harness(rng: random.Random, joints: int, without: tuple[str, ...] = ()) -> Harness:
    """Return a harness of at least so many joints, with one mode 'now'."""
    return RandomHarness(rng, joints, without).s.done()
