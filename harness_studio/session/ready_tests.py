"""Ready-made tests: cranking, charging, key-off drain. Each is a short list of readings with what this harness expects.

Limits are those of the limit set in force. Order and points are common practice: battery first, then each side from
post to terminal, then piece by piece.
"""

from __future__ import annotations

import logging
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

from harness_studio.base.errors import AddressError, HarnessError
from harness_studio.model.case_edits import same_pair
from harness_studio.model.cases import Case, Reading
from harness_studio.model.harness import Harness

from .scheduler import Scheduler

if TYPE_CHECKING:
    from harness_studio.checks.limits import LimitSet
    from harness_studio.electrics.solution import Solution

_log = logging.getLogger(__name__)
MOST_FUSES = 8
FUSE_LEAST_V = 1.0
"""A fuse with less than this on it is not fed, and can feed no drain."""
KEY_OFF = ("key off", "parked", "stored")
GENERATORS = ("alternator", "dynamo")


@dataclass(frozen=True, slots=True)
class Step:
    """One reading of a test: what for, where, and what is expected; a limit with its words where there is one."""

    purpose: str
    reading: Reading
    expected: float | None
    limit: float | None = None
    limit_words: str = ""


@dataclass(frozen=True, slots=True)
class ReadyTest:
    """A test; `missing` says what the harness lacks for it, and then it has no steps."""

    id: Literal["cranking", "charging", "drain"]
    title: str
    caution: str
    steps: tuple[Step, ...] = ()
    missing: str = ""


def ready_tests(harness: Harness) -> tuple[ReadyTest, ...]:
    """Return the tests of a harness. Nothing escapes: what cannot be solved is told as missing."""
    found = []
    for make in (_cranking, _charging, _drain):
        try:
            found.append(make(harness, _Bench(harness)))
        except HarnessError as error:
            found.append(_without(make(Harness(), _Bench(Harness())), " ".join(str(error).split())))
        except Exception as error:
            _log.exception("a ready-made test could not be made")
            why = f"a defect of the program, see the log: {type(error).__name__}"
            found.append(_without(make(Harness(), _Bench(Harness())), why))
    return tuple(found)


class Bench:
    """The tests of the harness as it stands, made beside the window when they are first wanted.

    Parameters
    ----------
    scheduler
        Threads.
    tell
        Called when there are other tests.
    """

    def __init__(self, scheduler: Scheduler, tell: Callable[[], None]) -> None:
        self._scheduler = scheduler
        self._tell = tell
        self._key: object = None
        self.tests: tuple[ReadyTest, ...] | None = None

    def want(self, harness: Harness, case: Case, circuit_revision: int) -> None:
        """Have the tests made for a harness as it was known before a case; does nothing where they are."""
        key = (circuit_revision, case.date)
        if key == self._key:
            return
        self._key = key
        snapshot = harness.snapshot()

        def work() -> tuple[ReadyTest, ...]:
            from harness_studio.casebook.before import as_known_before

            return ready_tests(as_known_before(snapshot, case)[0])

        def arrived(found: tuple[ReadyTest, ...]) -> None:
            if key == self._key:
                self.tests = found
                self._tell()

        self._scheduler.run(work, arrived)


def _without(test: ReadyTest, why: str) -> ReadyTest:
    return ReadyTest(test.id, test.title, test.caution, (), why)


def taken(case: Case, step: Step) -> Reading | None:
    """Return the latest reading of a case that a step asks for."""
    same = [r for r in case.readings if same_pair(r, step.reading)]
    return same[-1] if same else None


def judged(step: Step, value: float) -> str:
    """Return 'within the limit' or 'over the limit'; without a limit, how far it is from what is expected."""
    if step.limit is not None:
        return "over the limit" if abs(value) > step.limit else "within the limit"
    if step.expected is None:
        return ""
    off = value - step.expected
    return "as expected" if abs(off) <= 0.1 * abs(step.expected) else "higher" if off > 0 else "lower"


class _Bench:
    """Modes of a harness, solved when they are needed."""

    def __init__(self, harness: Harness) -> None:
        from harness_studio.checks.limits import in_force

        self.harness = harness
        self.limits: LimitSet = in_force(harness.settings.limits, harness.settings.system_v)
        self._solved: dict[str, Solution] = {}
        self.battery = next((p.id for p in harness.parts.values() if p.kind == "battery"), None)

    def solution(self, mode: str) -> Solution:
        from harness_studio.electrics.solve import solve
        from harness_studio.network.expand import expand

        if mode not in self._solved:
            self._solved[mode] = solve(expand(self.harness, mode))
        return self._solved[mode]

    def modes(self, *engine: str) -> list[str]:
        """Return the modes in which the engine does one of these."""
        from harness_studio.network.modes import resolve

        return [m for m in self.harness.modes if resolve(self.harness, m).engine in engine]

    def battery_amperes(self, mode: str) -> float:
        elements = self.solution(mode).elements
        return max((abs(a) for e in elements if e.part == self.battery for a in e.amperes), default=0.0)

    def volts(
        self, purpose: str, mode: str, plus: str, minus: str, limit: str = ""
    ) -> Iterator[Step]:  # fmt: skip
        """Yield the step that reads volts between two points; nothing where a point is not there."""
        try:
            first, second = self.solution(mode).volt(plus), self.solution(mode).volt(minus)
        except AddressError:
            return
        if first is not None and second is not None:
            reading = Reading("volts", mode, plus, minus)
            yield Step(purpose, reading, first - second, *self.limit(limit))

    def limit(self, name: str) -> tuple[float | None, str]:
        found = self.limits.limits.get(name)
        if found is None or found.value is None:
            return None, ""
        return found.value, f"limit {found.value:g} {found.unit}: {found.what} ({self.limits.title})"

    def wires_at(self, point: str) -> list[str]:
        ends = {w.id: [e.point for e in w.ends] for w in self.harness.wires.values()}
        return [wire for wire, points in ends.items() if point in points]


def _cranking(harness: Harness, bench: _Bench) -> ReadyTest:
    test = ReadyTest(
        "cranking", "Cranking",
        "Fuel and ignition disabled. Crank 10 s at most, then let the starter rest two minutes.",
    )  # fmt: skip
    starter = next((p.id for p in harness.parts.values() if p.kind == "starter"), None)
    modes = bench.modes("cranking")
    if starter is None or bench.battery is None:
        return _without(test, "there is no starter or no battery in this harness")
    if not modes:
        return _without(test, "no mode with the engine cranking is recorded")
    mode, plus, minus = modes[0], f"{bench.battery}.30", f"{bench.battery}.31"
    steps = list(bench.volts("battery under load, on its posts", mode, plus, minus))
    steps += bench.volts("whole feed, post to starter", mode, plus, f"{starter}.30", "starter_feed_drop_v")
    steps += bench.volts("whole return, case to post", mode, f"{starter}.31", minus, "starter_return_drop_v")
    for wire in bench.wires_at(plus):
        post = f"{wire}@{plus}"
        steps += bench.volts(f"post to clamp of {wire}", mode, plus, post, "joint_drop_v")
        far = [str(e.point) for e in harness.wires[wire].ends if e.point != plus]
        if far == [f"{starter}.30"]:
            steps += bench.volts(f"cable {wire}", mode, post, f"{wire}@{far[0]}", "starter_wire_drop_v")
    for wire in bench.wires_at(minus):
        steps += bench.volts(f"clamp of {wire} to post", mode, f"{wire}@{minus}", minus, "joint_drop_v")
    steps += bench.volts("feed of the starter's relay", mode, plus, f"{starter}.50", "feed_drop_v")
    return ReadyTest(test.id, test.title, test.caution, tuple(steps))


def _charging(harness: Harness, bench: _Bench) -> ReadyTest:
    test = ReadyTest(
        "charging", "Charging",
        "Engine runs, loads on. Leads, sleeves and hands clear of belts and fans; a fan can start.",
    )  # fmt: skip
    source = next((p.id for p in harness.parts.values() if p.kind in GENERATORS), None)
    modes = bench.modes("running", "idling")
    if source is None or bench.battery is None:
        return _without(test, "there is no alternator or no battery in this harness")
    if not modes:
        return _without(test, "no mode with the engine running is recorded")

    def given(mode: str) -> float:
        elements = bench.solution(mode).elements
        return max((abs(a) for e in elements if e.part == source for a in e.amperes), default=0.0)

    mode = max(modes, key=given)
    plus, minus = f"{bench.battery}.30", f"{bench.battery}.31"
    steps = list(bench.volts("battery on its posts", mode, plus, minus))
    steps += bench.volts("at the alternator itself", mode, f"{source}.B+", f"{source}.B-")
    steps += bench.volts("feed, alternator to post", mode, f"{source}.B+", plus, "charging_feed_drop_v")
    steps += bench.volts(
        "return, post to alternator's case", mode, minus, f"{source}.B-", "charging_return_drop_v"
    )
    solved = dict(bench.solution(mode).wires())
    for wire in bench.wires_at(f"{source}.B+"):
        ends = [f"{wire}@{e.point}" for e in harness.wires[wire].ends]
        steps += bench.volts(f"wire {wire}", mode, ends[0], ends[1], "wire_drop_v")
        if wire in solved:
            steps.append(
                Step(f"clamp round {wire}", Reading("amperes", mode, at=wire), abs(solved[wire].amperes))
            )
    return ReadyTest(test.id, test.title, test.caution, tuple(steps))


def _key_off(harness: Harness, mode: str) -> bool:
    """Tell whether the key is off in a mode: by its key and cut-off switches, else by what the mode is called."""
    from harness_studio.network.modes import resolve

    positions = resolve(harness, mode).positions
    for switch in harness.parts.values():
        if switch.kind in ("ignition_switch", "cut_off"):
            position = positions.get(switch.id) or next(iter(switch.ratings.positions), None)
            if position is not None and not switch.ratings.positions[position]:
                return True
    title = f"{mode.replace('_', ' ')} {harness.modes[mode].title or ''}".lower()
    return any(word in title for word in KEY_OFF)


def _drain(harness: Harness, bench: _Bench) -> ReadyTest:
    test = ReadyTest(
        "drain", "Key-off drain",
        "Key out, doors and lid latched as if shut; wait until units sleep. Do not open the circuit: read in place.",
    )  # fmt: skip
    modes = [mode for mode in bench.modes("off") if _key_off(harness, mode)]
    if bench.battery is None:
        return _without(test, "there is no battery in this harness")
    if not modes:
        return _without(test, "no mode with the key off is recorded")
    mode = min(modes, key=bench.battery_amperes)
    solution = bench.solution(mode)
    steps = list(
        bench.volts("battery at rest, on its posts", mode, f"{bench.battery}.30", f"{bench.battery}.31")
    )
    solved = dict(solution.wires())
    for wire in bench.wires_at(f"{bench.battery}.31"):
        if wire in solved:
            reading = Reading("amperes", mode, at=wire)
            steps.append(
                Step(
                    f"clamp round {wire}", reading, abs(solved[wire].amperes), *bench.limit("key_off_total_a")
                )
            )
    fed = []
    for part in harness.parts.values():
        if part.kind != "fuse":
            continue
        try:
            first, second = solution.volt(f"{part.id}.in"), solution.volt(f"{part.id}.out")
        except AddressError:
            continue
        if first is not None and second is not None and abs(first) > FUSE_LEAST_V:
            fed.append((abs(first - second), part.id))
    for drop, fuse in sorted(fed, key=lambda item: -item[0])[:MOST_FUSES]:
        reading = Reading("fuse_mv", mode, at=fuse)
        steps.append(Step(f"in place across {harness.title_of(fuse)}", reading, drop * 1e3))
    return ReadyTest(test.id, test.title, test.caution, tuple(steps))
