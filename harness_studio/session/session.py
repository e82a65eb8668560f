"""One open project: wires history, selection, results and recomputing together. Everything else asks and tells here."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterable
from dataclasses import astuple, replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

from harness_studio.base.changes import Changes
from harness_studio.model.edits import Edit
from harness_studio.model.harness import Harness

from .casework import Casework
from .computed import Computed
from .engine import Electrics, Engine
from .forecast import Forecast
from .notices import Notice, Notices, Unsubscribe
from .project import Project
from .recompute import Job
from .results import Key
from .scheduler import Scheduler
from .selection import Selection
from .situation import Situation

if TYPE_CHECKING:
    from harness_studio.electrics.shares import Shares
    from harness_studio.electrics.solution import Solution
    from harness_studio.network.network import Overrides


class Session:
    """One open project: a harness and its file, timers and threads, and what computes (the program's electrics)."""

    def __init__(self, project: Project, scheduler: Scheduler, engine: Engine | None = None) -> None:
        self.project = project
        self._notices = Notices()
        self._selection = Selection()
        self._situation = Situation(project.harness)
        tell = self._notices.tell
        engine = engine or Electrics()
        self.forecast = Forecast(scheduler, engine, lambda: tell("forecast", self.forecast.shown))
        self._foreseen: tuple[str | None, Key | None] | None = None
        self.casework = Casework(scheduler, lambda: tell("casework", self.casework.answer))
        self.computed = Computed(scheduler, engine, self._arrived)
        self._refresh()

    @classmethod
    def open(cls, path: str | os.PathLike[str], scheduler: Scheduler) -> Session:
        """Open a project file; see `Project.open` for what it raises."""
        return cls(Project.open(path), scheduler)

    @classmethod
    def new(cls, scheduler: Scheduler) -> Session:
        """Start with an empty harness that has no file."""
        return cls(Project(Harness()), scheduler)

    @classmethod
    def of(cls, harness: Harness, scheduler: Scheduler) -> Session:
        """Start with a harness that has no file."""
        return cls(Project(harness), scheduler)

    @property
    def harness(self) -> Harness:
        """The harness; only edits change it."""
        return self.project.harness

    @property
    def path(self) -> Path | None:
        """The project's file."""
        return self.project.path

    @property
    def title(self) -> str:
        """Title of the harness."""
        return self.project.title

    @property
    def unsaved(self) -> bool:
        """Whether there is something to save."""
        return self.project.unsaved

    @property
    def read_only(self) -> bool:
        """Whether the file cannot be written."""
        return self.project.read_only

    def save(self, path: str | os.PathLike[str] | None = None) -> None:
        """Write the file; see `Project.save`."""
        self.project.save(path)
        self._notices.tell("saved", self.path)

    def take_over(self) -> Changes:
        """Take over what others wrote into the file; see `Project.take_over`."""
        changes = self._changed(self.project.take_over())
        self._notices.tell("saved", self.path)
        return changes

    @property
    def history(self) -> tuple[str, ...]:
        """Words of the steps that led here, the latest last."""
        return self.project.history.done

    @property
    def undone(self) -> tuple[str, ...]:
        """Words of the steps that can be done again, the next one last."""
        return self.project.history.undone

    def go_to(self, steps: int) -> Changes:
        """Undo or redo until this many steps are done; all is told as one. EditError where the way is barred."""
        changes = Changes()
        history = self.project.history
        try:
            while len(history.done) > max(steps, 0):
                changes = changes.then(history.undo())
            while len(history.done) < steps and history.can_redo:
                changes = changes.then(history.redo())
        finally:
            self._changed(changes)
        return changes

    @property
    def can_undo(self) -> bool:
        """Whether there is a step to undo."""
        return self.project.history.can_undo

    @property
    def can_redo(self) -> bool:
        """Whether there is a step to do again."""
        return self.project.history.can_redo

    def apply(self, edit: Edit) -> Changes:
        """Apply an edit and tell what changed; EditError if the harness does not allow it."""
        return self._changed(self.project.apply(edit))

    def undo(self) -> Changes:
        """Undo the latest step; see `History.undo`."""
        return self._changed(self.project.history.undo())

    def redo(self) -> Changes:
        """Do the step again that was undone last; see `History.redo`."""
        return self._changed(self.project.history.redo())

    def _changed(self, changes: Changes) -> Changes:
        if not changes:
            return changes
        moved = self._situation.follow()
        selected, chosen = self._selection.forget(changes)
        self._notices.tell("changes", changes)
        if moved:
            self._notices.tell("mode", self.mode)
        if selected:
            self._notices.tell("selection", self._selection.ids)
        if chosen:
            self._notices.tell("chosen", None)
        self._refresh()
        return changes

    def subscribe(
        self, kind: Notice, callback: Callable[[Any], object], *, first: bool = False
    ) -> Unsubscribe:
        """Have `callback` called with every notice of a kind; `notices.Notice` says with what, and of `first`."""
        return self._notices.subscribe(kind, callback, first=first)

    @property
    def selection(self) -> frozenset[str]:
        """Ids that are selected."""
        return self._selection.ids

    def select(self, ids: Iterable[str]) -> None:
        """Select exactly these ids."""
        if self._selection.select(ids):
            self._notices.tell("selection", self._selection.ids)

    @property
    def chosen(self) -> str | None:
        """Address of the joint whose ground map is shown."""
        return self._selection.chosen

    def choose(self, joint: str | None) -> None:
        """Choose a joint, or none; an address that is no joint has no ground map."""
        if self._selection.choose(joint):
            self._notices.tell("chosen", joint)
            self._foresee()

    @property
    def mode(self) -> str | None:
        """Id of the mode that is computed; None in a harness without modes."""
        return self._situation.mode

    def set_mode(self, mode_id: str | None) -> None:
        """Compute another mode; None is the first one of the file. EditError if there is no such mode."""
        if self._situation.set_mode(mode_id):
            self._notices.tell("mode", self.mode)
            self._refresh(at_once=True)

    @property
    def overrides(self) -> Overrides | None:
        """What is set beside the file; None for nothing."""
        return self._situation.overrides

    def set_overrides(self, overrides: Overrides | None, *, at_once: bool = False) -> None:
        """Set what counts instead of the file, None for nothing; `at_once` does not wait for a pause."""
        if self._situation.set_overrides(overrides):
            self._refresh(at_once=at_once)

    @property
    def solution(self) -> Solution | None:
        """The latest solution, shown until a newer one arrives (see `computed.stale`); None if there is none."""
        return self.computed.solution

    @property
    def solve_ms(self) -> float | None:
        """How long expanding and solving took."""
        return self.computed.solve_ms

    def ground_map(self) -> Shares | None:
        """Return who shares the chosen joint in the results shown; None if nothing is chosen, or it is no joint."""
        return self.computed.shares(self.chosen) if self.chosen is not None else None

    def _arrived(self) -> None:
        self._notices.tell("results", self.solution)
        self._foresee()

    def _foresee(self) -> None:
        """Forecast the chosen joint; while only that joint is dialled the forecast stays what it is."""
        key, joint = self.computed.key, self.chosen
        if key is not None and key.overrides is not None and joint is not None:
            without = key.overrides.with_joint(joint, None)
            key = replace(key, overrides=without if any(astuple(without)) else None)
        if (joint, key) == self._foreseen and self.forecast.shown:
            return
        self._foreseen = joint, key
        self.forecast.want(self.harness.snapshot(), self.computed.network, self.chosen)

    def _key(self) -> Key:
        return Key(self.project.circuit_revision, self.mode, self.overrides)

    def _refresh(self, *, at_once: bool = False) -> None:
        self.computed.want(
            self._key(), lambda: Job(self.harness.snapshot(), self._key(), self.chosen), at_once=at_once
        )
