"""The invented vehicle's circuits: groups on a fuse, each with its control, splices, loads and returns."""

import random

from .vehicle_frame import Frame
from .vehicle_loads import MAKERS, Loads, Tap

LOAD_ZONES = ("bay", "nose", "dash", "floor", "door", "bed", "tail", "tail")


class Circuits:
    """Adds groups of circuits to a frame until there are enough."""

    def __init__(self, frame: Frame, rng: random.Random) -> None:
        self.frame = frame
        self.rng = rng

    def make(self, circuits: int) -> None:
        """Add circuits."""
        loads = Loads(self.frame, self.rng, circuits)
        made = 0
        group = 0
        while made < circuits:
            group += 1
            tap = self._group(f"Group {group}")
            for _ in range(min(self.rng.choice((3, 4, 5, 5, 6)), circuits - made)):
                if made < circuits:
                    maker = self.rng.choices(list(MAKERS), list(MAKERS.values()))[0]
                    made += maker(loads, tap.named(f"Circuit {made + 1}"))

    def _group(self, name: str) -> Tap:
        """Add one fuse, its control, a feed splice and a way back."""
        f, rng = self.frame, self.rng
        zone = rng.choice(LOAD_ZONES)
        out = f.fuse(name, rng.choice(("30", "15", "15")), rng.choice((5.0, 7.5, 10.0, 15.0)))
        feed = f.sketch.splice(f.next("SP"), zone=zone)
        control = rng.random()
        if control < 0.2:
            switch = f.switch()
            f.wire(out, f"{switch}.30", 1.5, name, ("firewall", "dash"))
            f.wire(f"{switch}.87", feed, 1.5, name, ("dash", zone))
        elif control < 0.26:
            self._through_relay(name, out, feed, zone)
        elif control < 0.29:
            meter = f.sketch.part(f.next("P"), "ammeter", ohm=0.002, zone="dash")
            f.wire(out, f"{meter}.1", 2.5, name, ("firewall", "dash"))
            f.wire(f"{meter}.2", feed, 2.5, name, ("dash", zone))
        elif control < 0.31:
            self._through_flasher(name, out, feed, zone)
        else:
            f.wire(out, feed, 1.5, name, ("firewall", zone))
        return Tap(name, feed, self._way_back(name, zone), zone)

    def _through_relay(self, name: str, out: str, feed: str, zone: str) -> None:
        f = self.frame
        relay = f.relay(rated_a=30.0)
        switch = f.switch()
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
        if kind < 0.2:
            return f.stud(zone)
        if kind < 0.27:
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
