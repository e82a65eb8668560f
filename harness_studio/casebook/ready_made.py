"""Ready-made tests: cranking, charging and key-off drain as short lists of readings in the order they are taken.

Expected values are those of this harness; limits are asked for by name from the set in force (order of the readings:
common practice, no source).
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Literal

from harness_studio.base.errors import HarnessError
from harness_studio.electrics.solution import Solution
from harness_studio.electrics.solve import solve
from harness_studio.model.harness import Harness
from harness_studio.network.expand import expand
from harness_studio.network.network import Network

from .cautions import caution

Test = Literal["cranking", "charging", "key-off drain"]
TESTS: tuple[Test, ...] = ("cranking", "charging", "key-off drain")
KEY_OFF = ("key off", "parked", "stored")
"""Words of a mode's title that say that the key is off."""
LEAST_MV = 0.02
"""A fuse across which less than this is expected is left out of the list."""
LimitOf = Callable[[str], float | None]


@dataclass(frozen=True, slots=True)
class Step:
    """One reading of a test: volts or millivolts between tips, or amperes in a wire; what is expected, and its limit.

    `limit` is the most that is allowed, None where the set has none or it is switched off; `rule` its name in the set.
    """

    what: str
    kind: Literal["volts", "amperes", "fuse_mv"]
    plus: str
    minus: str
    at: str
    mode: str | None
    expected: float | None
    unit: str
    limit: float | None
    rule: str
    caution: str


@dataclass(frozen=True, slots=True)
class Guide:
    """A test with its readings in order; `missing` says what the harness lacks for more."""

    test: Test
    mode: str | None
    steps: tuple[Step, ...]
    missing: tuple[str, ...]


def ready_made(harness: Harness, test: Test, limit: LimitOf) -> Guide:
    """Return a ready-made test for a harness.

    Parameters
    ----------
    limit
        Gives a limit of the set in force by name; None where it has none.

    Raises
    ------
    HarnessError
        If there is no battery, or no mode of the kind that the test needs.
    """
    battery = next((p.id for p in harness.parts.values() if p.kind == "battery"), None)
    if battery is None:
        raise HarnessError(f"the {test} test needs a battery; the harness has none")
    mode = _mode(harness, test)
    solution = solve(expand(harness, mode))
    work = _Work(harness, test, mode, solution, limit, battery)
    steps = {"cranking": _cranking, "charging": _charging, "key-off drain": _drain}[test](work)
    return Guide(test, mode, tuple(steps), tuple(work.missing))


def _mode(harness: Harness, test: Test) -> str:
    wanted = {"cranking": ("cranking",), "charging": ("running", "idling"), "key-off drain": ("off",)}[test]
    found = []
    for mode in harness.modes:
        network = expand(harness, mode)
        if network.mode.engine in wanted and (test != "key-off drain" or key_is_off(harness, network)):
            solution = solve(network)
            drawn = sum(
                abs(max(e.amperes, key=abs, default=0.0))
                for e in solution.elements
                if e.kind not in ("battery", "alternator", "dynamo", "starter")
            )
            found.append((drawn, mode))
    if not found:
        what = "key off" if test == "key-off drain" else f"engine {' or '.join(wanted)}"
        raise HarnessError(f"the {test} test needs a mode with the {what}; there is none")
    return (min(found) if test == "key-off drain" else max(found))[1]


def key_is_off(harness: Harness, network: Network) -> bool:
    """Tell whether the key is off in a mode: by its key and cut-off switches, else by what the mode is called."""
    for switch in harness.parts.values():
        if switch.kind in ("ignition_switch", "cut_off"):
            position = network.mode.positions.get(switch.id) or next(iter(switch.ratings.positions), None)
            if position is not None and not switch.ratings.positions[position]:
                return True
    mode = harness.modes.get(network.mode.id or "")
    title = f"{mode.id.replace('_', ' ')} {mode.title or ''}".lower() if mode is not None else ""
    return any(word in title for word in KEY_OFF)


@dataclass(slots=True)
class _Work:
    harness: Harness
    test: Test
    mode: str
    solution: Solution
    limit: LimitOf
    battery: str
    missing: list[str]

    def __init__(
        self, harness: Harness, test: Test, mode: str, solution: Solution, limit: LimitOf, battery: str
    ) -> None:
        self.harness, self.test, self.mode, self.solution = harness, test, mode, solution
        self.limit, self.battery, self.missing = limit, battery, []

    @property
    def ground(self) -> str:
        """The grounded post."""
        return str(self.solution.network.grounded)

    @property
    def live(self) -> str:
        """The other post."""
        return f"{self.battery}.30" if self.ground.endswith(".31") else f"{self.battery}.31"

    def volts(self, what: str, plus: str, minus: str, rule: str = "") -> Iterator[Step]:
        """Yield a reading in volts, if both points are there."""
        gone = [p for p in (plus, minus) if p not in self.solution.network.index]
        if gone:
            self.missing.append(f"{what}: no point {gone[0]}")
            return
        first, second = self.solution.volt(plus), self.solution.volt(minus)
        expected = None if first is None or second is None else first - second
        if expected is not None and expected < 0.0:
            plus, minus, expected = minus, plus, -expected
        words = caution(self.harness, self.solution.network, plus, minus, self.mode)
        limit = self.limit(rule) if rule else None
        yield Step(what, "volts", plus, minus, "", self.mode, expected, "V", limit, rule, words)

    def part(self, kinds: tuple[str, ...]) -> str | None:
        """Return the first part of a kind, noting where there is none."""
        found = next((p.id for p in self.harness.parts.values() if p.kind in kinds), None)
        if found is None:
            self.missing.append(f"the harness has no {' or '.join(kinds)}")
        return found

    def cables(self, near: str, far: str, rule: str) -> Iterator[Step]:
        """Yield each wire from one point to another, metal to metal: its own drop and no joint's."""
        for wire in self.harness.wires.values():
            if {e.point for e in wire.ends} == {near, far}:
                yield from self.volts(f"cable {wire.id}", f"{wire.id}@{near}", f"{wire.id}@{far}", rule)

    def clamp_on(self, what: str, point: str) -> Iterator[Step]:
        """Yield the amperes of each wire at a point."""
        solved = dict(self.solution.wires())
        for wire in self.harness.wires.values():
            if point in [e.point for e in wire.ends] and wire.id in solved:
                yield Step(f"{what} {wire.id}", "amperes", "", "", wire.id, self.mode,
                           abs(solved[wire.id].amperes), "A", None, "", "")  # fmt: skip

    def clamps(self) -> Iterator[Step]:
        """Yield post against clamp at both posts."""
        network = self.solution.network
        for post in (self.live, self.ground):
            for number in network.joints.values():
                ends = [network.points[int(i[number])] for i in (network.branches.a, network.branches.b)]
                if post in ends and "@" in "".join(ends):
                    other = ends[1] if ends[0] == post else ends[0]
                    clamp = other.partition("@")[0]
                    yield from self.volts(f"post {post} to the clamp of {clamp}", post, other, "joint_drop_v")


def _cranking(work: _Work) -> Iterator[Step]:
    yield from work.volts("battery, post to post, while cranking", work.live, work.ground)
    yield from work.clamps()
    starter = work.part(("starter",))
    if starter is None:
        return
    feed, case = ("30", "31") if work.ground.endswith(".31") else ("31", "30")
    yield from work.volts(
        "live post to the starter's stud", work.live, f"{starter}.{feed}", "starter_feed_drop_v"
    )
    yield from work.cables(work.live, f"{starter}.{feed}", "starter_wire_drop_v")
    yield from work.volts(
        "starter's case to the grounded post", f"{starter}.{case}", work.ground, "starter_return_drop_v"
    )
    yield from work.volts(
        "live post to the solenoid's terminal 50", work.live, f"{starter}.50", "feed_drop_v"
    )
    yield from _bodies(work, "rise_ground_cranking_v")


def _charging(work: _Work) -> Iterator[Step]:
    yield from work.volts("battery, post to post, engine running with loads on", work.live, work.ground)
    generator = work.part(("alternator", "dynamo"))
    if generator is not None:
        out, case = ("B+", "B-") if work.ground.endswith(".31") else ("B-", "B+")
        yield from work.volts(
            "alternator's stud to the live post", f"{generator}.{out}", work.live, "charging_feed_drop_v"
        )
        yield from work.volts(
            "grounded post to the alternator's case",
            work.ground,
            f"{generator}.{case}",
            "charging_return_drop_v",
        )
        yield from work.clamp_on("clamp round", f"{generator}.{out}")
    yield from work.clamps()
    yield from _bodies(work, "rise_ground_v")


def _bodies(work: _Work, rule: str) -> Iterator[Step]:
    """Yield each body against the grounded post, at the place where its first ground point is."""
    for body in work.harness.bodies:
        place = next(
            (g.place for g in work.harness.grounds.values() if (g.place or "").split(".", 1)[0] == body), None
        )
        if place is not None:
            yield from work.volts(f"{body} to the grounded post", place, work.ground, rule)


def _drain(work: _Work) -> Iterator[Step]:
    network, solution = work.solution.network, work.solution
    yield from work.volts("battery, post to post, at rest", work.live, work.ground)
    total = 0.0
    for element in solution.elements:
        if element.part == work.battery:
            total = max((abs(a) for a in element.amperes), default=0.0)
    leads = [w.id for w in work.harness.wires.values() if work.ground in [e.point for e in w.ends]]
    limit = work.limit("key_off_total_a")
    if len(leads) == 1:
        yield Step("all from the battery, everything asleep", "amperes", "", "", leads[0], work.mode, total, "A", limit,
                   "key_off_total_a", "")  # fmt: skip
    elif leads:
        most = "" if limit is None else f"; together no more than {limit:g} A"
        work.missing.append(f"{', '.join(leads)} are all leads of the grounded post: add them up{most}")
        yield from work.clamp_on("clamp round", work.ground)
    fuses = []
    for part in work.harness.parts.values():
        if part.kind in ("fuse", "link", "breaker") and f"{part.id}.in" in network.index:
            volts = [solution.volt(f"{part.id}.{t}") for t in ("in", "out")]
            if volts[0] is not None and volts[1] is not None:
                fuses.append((abs(volts[0] - volts[1]) * 1e3, part.id))
    for millivolts, fuse in sorted(fuses, reverse=True):
        if millivolts >= LEAST_MV:
            yield Step(f"across {fuse}", "fuse_mv", f"{fuse}.in", f"{fuse}.out", fuse, work.mode, millivolts, "mV",
                       None, "", "")  # fmt: skip
