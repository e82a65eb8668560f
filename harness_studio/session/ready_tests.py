"""Ready-made tests for the open case: what the casebook proposes, the limits in force, what was taken of it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import partial
from typing import TYPE_CHECKING

from harness_studio.model.case_edits import same_pair
from harness_studio.model.cases import Case, Reading
from harness_studio.model.harness import Harness

from .attempt import attempt
from .scheduler import Scheduler

if TYPE_CHECKING:
    from harness_studio.casebook import ready_made as engine
    from harness_studio.checks.limits import LimitSet

CAUTIONS = {
    "cranking": "Fuel and ignition disabled. Crank 10 s at most, then let the starter rest two minutes.",
    "charging": "Engine runs, loads on. Leads, sleeves and hands clear of belts and fans; a fan can start by itself.",
    "key-off drain": (
        "Key out, doors and lid latched as if shut; wait until units sleep. Do not open the circuit: read in place."
    ),
}
"""What to mind during a whole test (common practice, no source)."""
AS_EXPECTED = 0.1
"""Part by which a reading without a limit may be off and still be as expected."""


@dataclass(frozen=True, slots=True)
class Step:
    """One reading of a test: what for, where, and what is expected; a limit with its words where there is one."""

    purpose: str
    reading: Reading
    expected: float | None
    limit: float | None = None
    limit_words: str = ""
    caution: str = ""


@dataclass(frozen=True, slots=True)
class ReadyTest:
    """A test. Without steps `notes` say what the harness lacks for it, else what to mind of them."""

    id: str
    caution: str
    steps: tuple[Step, ...] = ()
    notes: tuple[str, ...] = ()


def guide_of(harness: Harness, test: engine.Test) -> engine.Guide:
    """Return a ready-made test with the limits in force; see `casebook.ready_made` for what it raises."""
    from harness_studio.casebook.ready_made import ready_made

    limits = _limits(harness).limits
    return ready_made(harness, test, lambda name: limits[name].value if name in limits else None)


def _limits(harness: Harness) -> LimitSet:
    from harness_studio.checks.limits import in_force

    return in_force(harness.settings.limits, harness.settings.system_v)


def ready_tests(harness: Harness) -> tuple[ReadyTest, ...]:
    """Return the tests of a harness. Nothing escapes: what cannot be made is told."""
    from harness_studio.casebook.ready_made import TESTS

    limits = _limits(harness)
    found = []
    for test in TESTS:
        guide, problem = attempt(f"the {test} test", partial(guide_of, harness, test))
        if guide is None:
            found.append(ReadyTest(test, CAUTIONS[test], (), (problem or "",)))
        else:
            steps = tuple(_step(step, limits) for step in guide.steps)
            found.append(ReadyTest(test, CAUTIONS[test], steps, guide.missing))
    return tuple(found)


def _step(step: engine.Step, limits: LimitSet) -> Step:
    volts = step.kind == "volts"
    reading = Reading(
        step.kind,
        step.mode,
        step.plus if volts else None,
        step.minus if volts else None,
        None if volts else step.at,
    )
    from harness_studio.casebook.cautions import CRANKING, RUNNING

    words = ""
    if step.limit is not None and step.rule in limits.limits:
        words = f"{limits.limits[step.rule].what}, {step.limit:g} {step.unit} ({limits.title})"
    own = step.caution
    for whole in (CRANKING, RUNNING):  # what the whole test says already
        own = own.replace(whole, "")
    return Step(step.what, reading, step.expected, step.limit, words, own.strip("; "))


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
    return "as expected" if abs(off) <= AS_EXPECTED * abs(step.expected) else "higher" if off > 0 else "lower"


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
