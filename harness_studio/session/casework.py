"""The case that is being worked on: its suspects are computed beside the window, and what is overtaken is dropped."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from threading import Event
from typing import TYPE_CHECKING, Any

from harness_studio.model.cases import Case
from harness_studio.model.harness import Harness

from .progress import LOOK_MS, Progress
from .ready_tests import Bench
from .scheduler import Cancel, Scheduler
from .study import Answer, Memory, argue, look_after, weigh

if TYPE_CHECKING:
    from harness_studio.casebook.before_after import BeforeAfter

DELAY_MS = 250
"""How long the entries must pause."""

Tell = Callable[[str, float], None]
Study = Callable[[Harness, Case, int, Memory, Tell, Callable[[], bool]], "Answer | None"]
Argue = Callable[[Harness, Case], Answer]


class Casework:
    """The open case and its answer. One computation runs at a time; a newer one cancels it.

    Parameters
    ----------
    scheduler
        Timers and threads.
    tell
        Called when anything here has changed.
    study, argue
        What computes; called on any thread. What an answer still owes (`Answer.more`) is worked out after it is shown.
    """

    def __init__(
        self, scheduler: Scheduler, tell: Callable[[], None], study: Study = weigh, argue: Argue = argue
    ) -> None:
        self._scheduler = scheduler
        self._tell = tell
        self._study = study
        self._memory = Memory()
        self.bench = Bench(scheduler, tell)
        self._revision = 0
        self._argue = argue
        self.case_id: str | None = None
        self.answer: Answer | None = None
        self.progress: Progress | None = None
        self.stopped = False
        self.after: BeforeAfter | None = None
        self._after_key: object = None
        self._key: object = None
        self._answered: object = None
        self._generation = 0
        self._take_back: Cancel | None = None
        self._cancel: Event | None = None
        self._due: tuple[Harness, Case] | None = None

    @property
    def stale(self) -> bool:
        """Whether the answer belongs to an earlier state of the case."""
        return self.answer is not None and self._answered != self._key

    @property
    def busy(self) -> bool:
        """Whether an answer is on its way."""
        return self._take_back is not None or self.progress is not None or self._due is not None

    def open(self, case_id: str | None) -> None:
        """Take another case, or none; what was computed for the former is dropped."""
        if case_id == self.case_id:
            return
        self._drop()
        self.case_id, self.answer, self._key, self._answered, self.stopped = case_id, None, None, None, False
        self.after, self._after_key = None, None
        self._tell()

    def want(self, harness: Harness, circuit_revision: int) -> None:
        """Have the open case answered as it is now; does nothing where that is under way or known.

        `harness` is read when the computation starts, on the caller's thread.
        """
        case: Case | None = harness.tables["cases"].get(self.case_id) if self.case_id is not None else None
        if case is None:
            return
        self._want_after(harness, case, circuit_revision)
        key = (circuit_revision, sum_of(case))
        if key == self._key:
            return
        self._key, self.stopped, self._revision = key, False, circuit_revision
        self._ask(harness)

    def _want_after(self, harness: Harness, case: Case, circuit_revision: int) -> None:
        """Have the readings before and after the mend judged, once something was mended or taken again."""
        key = (circuit_revision, case.readings, case.mends, case.fault_made_to_come_back)
        if key == self._after_key:
            return
        self._after_key = key
        if not (case.mends or any(r.after_mend for r in case.readings)):
            self.after = None
            return
        snapshot = harness.snapshot()

        def arrived(found: BeforeAfter | None) -> None:
            if key == self._after_key:
                self.after = found
                self._tell()

        self._scheduler.run(lambda: look_after(snapshot, case), arrived)

    def again(self, harness: Harness) -> None:
        """Compute once more what was stopped."""
        self.stopped = False
        self._ask(harness)

    def cancel(self) -> None:
        """Stop computing; what was known stays."""
        if self.busy:
            self._drop()
            self.stopped = True
            self._tell()

    def _ask(self, harness: Harness) -> None:
        self._drop()
        case: Case | None = harness.tables["cases"].get(self.case_id) if self.case_id is not None else None
        if case is None or not (case.sightings or case.readings):
            self.answer, self._answered = None, self._key
            self._tell()
            return
        self._take_back = self._scheduler.later(DELAY_MS, lambda: self._due_now(harness))
        self._tell()

    def _due_now(self, harness: Harness) -> None:
        self._take_back = None
        case: Case | None = harness.tables["cases"].get(self.case_id) if self.case_id is not None else None
        if case is None:
            return
        if self._cancel is not None:  # the former one has not ended yet
            self._due = harness, case
            return
        self._start(harness.snapshot(), case)

    def _start(self, harness: Harness, case: Case) -> None:
        generation, self._cancel, revision = self._generation, Event(), self._revision
        cancelled = self._cancel.is_set
        self.progress = Progress("What they have in common", 0.0)

        def tell(words: str, part: float) -> None:
            if not cancelled():
                self.progress = Progress(words, part)

        def work() -> Any:
            found = self._study(harness, case, revision, self._memory, tell, cancelled)
            return None if cancelled() else found

        self._scheduler.run(
            lambda: self._argue(harness, case), lambda first: self._argued(generation, first, work)
        )
        if self._cancel is not None:
            self._scheduler.later(LOOK_MS, lambda: self._look(generation))

    def _argued(self, generation: int, first: Answer, work: Callable[[], Any]) -> None:
        if generation != self._generation or first.problem:
            self._arrived(generation, first)
            return
        self.answer = (
            replace(self.answer, argument=first.argument) if self.answer is not None else first
        )  # fmt: skip
        self._tell()
        self._scheduler.run(work, lambda found: self._arrived(generation, found, first))

    def _look(self, generation: int) -> None:
        if generation == self._generation and self._cancel is not None:
            self._tell()
            self._scheduler.later(LOOK_MS, lambda: self._look(generation))

    def _arrived(self, generation: int, found: Answer | None, first: Answer | None = None) -> None:
        if generation == self._generation and found is not None and found.more is not None:
            self.answer = replace(found, argument=first.argument if first is not None else None)
            self._answered = self._key
            self._tell()
            self._scheduler.run(found.more, lambda whole: self._arrived(generation, whole, first))
            return
        self._cancel = None
        if generation == self._generation:
            self.progress = None
            if found is not None:
                self.answer = replace(found, argument=first.argument if first is not None else found.argument)
                self._answered = self._key
            self._tell()
        elif self._due is not None:
            (harness, case), self._due = self._due, None
            self._start(harness.snapshot(), case)

    def _drop(self) -> None:
        self._generation += 1
        self._due = None
        self.progress = None
        if self._take_back is not None:
            self._take_back()
            self._take_back = None
        if self._cancel is not None:
            self._cancel.set()


def sum_of(case: Case) -> tuple[Any, ...]:
    """Return of a case what enters the sum: its words and mends do not, nor what was read after them."""
    before = tuple(r for r in case.readings if not r.after_mend)
    return case.date, case.sightings, before, case.disturbed, case.found_good, case.provocations
