"""What the chosen joint would do if it were better or worse: a few resistances, computed beside the results shown."""

from __future__ import annotations

import logging
import math
from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING, Protocol

from harness_studio.base.errors import HarnessError
from harness_studio.model.harness import Harness

from .scheduler import Scheduler

if TYPE_CHECKING:
    from harness_studio.electrics.readings import Change
    from harness_studio.electrics.sweep import Base
    from harness_studio.network.network import Network

SEVERITIES_OHM = (0.005, 0.02, 0.05, 0.2, math.inf)
"""Total resistances that are tried: 5, 20, 50, 200 mΩ and open."""

_log = logging.getLogger(__name__)


@dataclass(frozen=True, slots=True)
class Outlook:
    """A joint at one total resistance: what changes against the results shown, the most noticeable first.

    `failed` says that there is no solution then.
    """

    joint: str
    ohm: float
    changes: tuple[Change, ...]
    failed: bool = False


def outlook(harness: Harness, network: Network, joint: str, base: Base | None = None) -> tuple[Outlook, ...]:
    """Return what a joint would do at each of `SEVERITIES_OHM`; empty for what is no joint or carries nothing.

    A splice or bus bar is told of as it comes apart altogether.

    Parameters
    ----------
    harness, network
        What is shown; its own resistances are where the changes start.
    joint
        Address of a joint.
    base
        The prepared state of the same network, to use it again.
    """
    from harness_studio.electrics.pulled import changes_apart
    from harness_studio.electrics.sweep import prepare
    from harness_studio.electrics.sweep_rows import sweep_rows

    number = network.joints.get(joint)
    if network.grounded is None:
        return ()
    if number is None:
        changes = changes_apart(harness, network, joint)
        return () if changes is None else (Outlook(joint, math.inf, tuple(changes)),)
    base = base or prepare(network)
    present = float(base.done.ohm[number])
    if math.isinf(present):
        return ()
    address = network.branches.address[number]
    found = []
    for total in SEVERITIES_OHM:
        rows = sweep_rows(harness, base, [total - present], [address])
        row = next((r for r in rows if r.joint == address), None)
        if row is not None:
            found.append(Outlook(joint, total, row.changes, row.failed))
    return tuple(found)


class Foresees(Protocol):
    """What computes an outlook; called on any thread."""

    def outlook(self, harness: Harness, network: Network, joint: str) -> tuple[Outlook, ...]:
        """Return what a joint would do; empty for what is no joint."""
        ...


def foresee(engine: Foresees, harness: Harness, network: Network, joint: str) -> tuple[Outlook, ...]:
    """Return the outlook of a joint. Nothing escapes: without a solution there is none, a defect goes to the log."""
    try:
        return engine.outlook(harness, network, joint)
    except HarnessError:
        return ()
    except Exception:
        _log.exception("the outlook of %s could not be computed", joint)
        return ()


class Forecast:
    """Computes the outlook of one joint at a time, off the thread that draws; what is overtaken is dropped.

    Parameters
    ----------
    scheduler, engine
        Threads, and what computes.
    tell
        Called when `shown` has changed.
    """

    def __init__(self, scheduler: Scheduler, engine: Foresees, tell: Callable[[], None]) -> None:
        self._scheduler = scheduler
        self._engine = engine
        self._tell = tell
        self._generation = 0
        self.shown: tuple[Outlook, ...] = ()
        self.joint: str | None = None

    def want(self, harness: Harness, network: Network | None, joint: str | None) -> None:
        """Show the outlook of a joint of a network; None shows nothing."""
        self._generation += 1
        self.joint = joint
        if self.shown:
            self.shown = ()
            self._tell()
        if joint is None or network is None:
            return
        generation = self._generation
        self._scheduler.run(
            lambda: foresee(self._engine, harness, network, joint),
            lambda found: self._arrived(generation, found),
        )

    def _arrived(self, generation: int, found: tuple[Outlook, ...]) -> None:
        if generation == self._generation and found:
            self.shown = found
            self._tell()
