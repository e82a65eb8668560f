"""The findings of the open harness: worked out beside the window after it has settled, overtaken work dropped."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from threading import Event
from typing import TYPE_CHECKING

from harness_studio.base.changes import Changes, merge
from harness_studio.model.harness import Harness

from .attempt import attempt
from .progress import LOOK_MS, Progress
from .scheduler import Cancel, Scheduler

if TYPE_CHECKING:
    from harness_studio.checks.finding import Finding
    from harness_studio.checks.memory import Memory
    from harness_studio.checks.scope import Scope
    from harness_studio.electrics.solution import Solution

DELAY_MS = 500
"""How long the harness must rest."""

Solved = tuple[tuple["str | None", "Solution"], ...]


@dataclass(frozen=True, slots=True)
class Checked:
    """The findings of one state of a harness, and what they were judged in."""

    harness: Harness
    revision: object
    findings: tuple[Finding, ...]
    scope: Scope

    def counts(self) -> dict[str, int]:
        """Return how many findings of each grade stand, and how many are accepted."""
        from harness_studio.checks.finding import GRADES

        found = dict.fromkeys((*GRADES, "accepted"), 0)
        for finding in self.findings:
            found["accepted" if finding.accepted is not None else finding.grade] += 1
        return found


@dataclass(frozen=True, slots=True)
class _Done:
    generation: int
    checked: Checked | None
    problem: str | None


class Checking:
    """Keeps the findings of one harness up to date.

    One check runs at a time; a newer one ends it. Modes are solved again only where the circuit has changed, and rules
    looked at only where what they read has (`checks.memory`).

    Parameters
    ----------
    scheduler
        Timers and threads.
    tell
        Called when anything here has changed.
    """

    def __init__(self, scheduler: Scheduler, tell: Callable[[], None]) -> None:
        self._scheduler = scheduler
        self._tell = tell
        self.latest: Checked | None = None
        self.progress: Progress | None = None
        self.problem: str | None = None
        self.stopped = False
        self._harness: Harness | None = None
        self._revision: object = None
        self._changes: Changes | None = None
        self._memory: Memory | None = None
        self._solved: tuple[object, Solved] | None = None
        self._generation = 0
        self._cancel: Event | None = None
        self._take_back: Cancel | None = None

    @property
    def findings(self) -> tuple[Finding, ...]:
        """The findings shown; of an earlier state while `stale`."""
        return self.latest.findings if self.latest else ()

    @property
    def busy(self) -> bool:
        """Whether findings are on their way."""
        return self._take_back is not None or self.progress is not None

    @property
    def stale(self) -> bool:
        """Whether the findings shown are not those of the harness as it is."""
        return self.busy or self.stopped

    def open(self, harness: Harness, revision: object) -> None:
        """Take another harness; what was known of the former is dropped."""
        self._drop()
        self.latest, self.problem, self.stopped = None, None, False
        self._memory, self._solved, self._changes = None, None, None
        self.want(harness, revision)

    def want(self, harness: Harness, revision: object, changes: Changes | None = None) -> None:
        """Have the harness checked as it is when it has rested; `revision` stays where no current changed.

        `changes` is what changed since the last call; None for anything.
        """
        self._drop()
        self._harness, self._revision, self.stopped = harness, revision, False
        if changes is None or (self._changes is None and self.latest is None):
            self._changes, self._memory = None, None
        elif self._memory is not None:
            self._changes = merge([self._changes, changes]) if self._changes else changes
        self._take_back = self._scheduler.later(DELAY_MS, self._begin)
        self._tell()

    def cancel(self) -> None:
        """Stop; what was known stays."""
        if self.busy:
            self._drop()
            self.stopped = True
            self._tell()

    def again(self) -> None:
        """Work out what was stopped."""
        if self._harness is not None:
            self.want(self._harness, self._revision)

    def close(self) -> None:
        """Work out nothing any more."""
        self._drop()
        self._harness = None

    def _drop(self) -> None:
        if self._take_back is not None:
            self._take_back()
            self._take_back = None
        if self._cancel is not None:
            self._cancel.set()
            self._cancel = None
            self._memory = None  # what was being looked at when it ended is not known
        self._generation += 1
        self.progress = None

    def _begin(self) -> None:
        self._take_back = None
        harness = self._harness
        if harness is None:
            return
        from harness_studio.checks.memory import Memory

        if not harness.taken_ids():
            self.latest = None
            self._tell()
            return
        fresh = self._memory is None
        memory = self._memory or Memory()
        changes = None if fresh else (self._changes or Changes())
        self._changes, cancel = Changes(), Event()
        self._memory, self._cancel = memory, cancel
        self.progress = Progress("solving", 0.0)
        snapshot, revision, generation = harness.snapshot(), self._revision, self._generation
        known = self._solved[1] if self._solved and self._solved[0] == revision else None

        def said(words: str, part: float) -> None:
            if generation == self._generation:
                self.progress = Progress(words, part)

        def work() -> _Done:
            found, problem = attempt(
                "the check",
                lambda: checked(snapshot, revision, memory, changes, known, said, cancel.is_set),
            )
            return _Done(generation, found, problem)

        self._scheduler.run(work, self._arrived)
        if self._cancel is cancel:
            self._scheduler.later(LOOK_MS, lambda: self._look(generation))
            self._tell()

    def _look(self, generation: int) -> None:
        if generation == self._generation and self.progress is not None:
            self._tell()
            self._scheduler.later(LOOK_MS, lambda: self._look(generation))

    def _arrived(self, done: _Done) -> None:
        if done.generation != self._generation:
            return
        self._cancel, self.progress, self.problem = None, None, done.problem
        if done.problem is not None:
            self._memory = None
        if done.checked is not None:
            self.latest = done.checked
            states = done.checked.scope.states
            self._solved = done.checked.revision, tuple((s.mode, s.solution) for s in states)
        self._tell()


def checked(
    harness: Harness,
    revision: object,
    memory: Memory,
    changes: Changes | None,
    known: Solved | None,
    said: Callable[[str, float], None],
    stopped: Callable[[], bool],
) -> Checked | None:
    """Return the findings of a harness, solved in all its modes; None where it was stopped. On any thread.

    Raises
    ------
    HarnessError, ValueError, ArithmeticError
        If the harness cannot be expanded; a mode without a solution is a finding instead.
    """
    from harness_studio.checks.scope import Scope, solved_in

    modes: list[str | None] = [*harness.modes] or [None]
    solved = list(known or ())
    unsolved: list[tuple[str | None, str]] = []
    if known is None or [mode for mode, _ in known] != modes:
        solved = []
        for number, mode in enumerate(modes):
            if stopped():
                return None
            said(f"solving mode {number + 1} of {len(modes)}", 0.8 * number / len(modes))
            found = solved_in(harness, mode)
            if isinstance(found, str):
                unsolved.append((mode, found))
            else:
                solved.append((mode, found))
    if stopped():
        return None
    said("looking at the rules", 0.8)
    scope = Scope(harness, solved, unsolved)
    findings = memory.check(scope, changes)
    return None if stopped() else Checked(harness, revision, findings, scope)
