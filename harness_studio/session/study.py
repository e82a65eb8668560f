"""What is worked out of a case: the argument from sightings, the suspects, the next readings, and whether to stop."""

from __future__ import annotations

import logging
import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from harness_studio.base.errors import HarnessError
from harness_studio.model.cases import Case
from harness_studio.model.harness import Harness

if TYPE_CHECKING:
    from harness_studio.casebook.argument import Argument
    from harness_studio.casebook.before_after import BeforeAfter
    from harness_studio.casebook.next_reading import Proposal
    from harness_studio.casebook.summary import Suspect

MOST, TOLD = 10, 0.002
"""Suspect groups that are told, and how probable a fourth one must be."""
STEPS = 16
"""How often a mode's prediction asks whether to go on, about: once for each resistance."""

SUM = "Every joint and wire, at every added resistance"

Tell = Callable[[str, float], None]
Cancelled = Callable[[], bool]

_log = logging.getLogger(__name__)


@dataclass(frozen=True, slots=True)
class Answer:
    """What a case says; `problem` says in one line why it says nothing.

    Parameters
    ----------
    stop
        Why no more readings are needed; empty while they are.
    notes
        What was left out of the sum, and why.
    """

    case_id: str
    argument: Argument | None = None
    suspects: tuple[Suspect, ...] = ()
    proposals: tuple[Proposal, ...] = ()
    none_fits: float = 0.0
    notes: tuple[str, ...] = ()
    stop: str = ""
    problem: str = ""
    seconds: float = 0.0


SURE, MORE_LIKELY = 0.9, 0.5


def verdict(suspects: Sequence[Suspect], none_fits: float, members: Callable[[Suspect], str]) -> str:
    """Return why to stop measuring: one group is clear, or nothing in the harness fits; empty to go on."""
    if none_fits >= MORE_LIKELY:
        return "Nothing recorded in this harness fits what was seen and measured. Look for what is not in it."
    if suspects and suspects[0].probability >= SURE:
        return f"Clear: {members(suspects[0])}. Mend it, then take the same readings again."
    return ""


def named(suspect: Suspect) -> str:
    """Return the members of a group in one line, the likeliest first; of many the first three."""
    names = [address for address, _ in suspect.members]
    return ", ".join(names[:3]) + (f" and {len(names) - 3} more" if len(names) > 3 else "")


def argue(harness: Harness, case: Case) -> Answer:
    """Return the argument alone, which needs no sum. Nothing escapes."""
    from harness_studio.casebook.argument import argument
    from harness_studio.casebook.before import as_known_before

    try:
        return Answer(case.id, argument=argument(as_known_before(harness, case)[0], case))
    except HarnessError as error:
        return Answer(case.id, problem=" ".join(str(error).split()))
    except Exception as error:
        _log.exception("the argument of %s could not be found", case.id)
        return Answer(case.id, problem=f"a defect of the program, see the log: {type(error).__name__}")


def look_after(harness: Harness, case: Case) -> BeforeAfter | None:
    """Return what the readings before and after the mend say; None where it cannot be told. Nothing escapes."""
    from harness_studio.casebook.before import as_known_before
    from harness_studio.casebook.before_after import before_after

    try:
        return before_after(as_known_before(harness, case)[0], case)
    except HarnessError:
        return None
    except Exception:
        _log.exception("before and after of %s could not be told", case.id)
        return None


def study(harness: Harness, case: Case, tell: Tell, cancelled: Cancelled) -> Answer | None:
    """Return the suspects and the next readings of a case; None if it was cancelled. Nothing escapes."""
    try:
        return _study(harness, case, tell, cancelled)
    except HarnessError as error:
        return Answer(case.id, problem=" ".join(str(error).split()))
    except Exception as error:
        if cancelled():
            return None  # what is cut short may not add up
        _log.exception("the suspects of %s could not be computed", case.id)
        return Answer(case.id, problem=f"a defect of the program, see the log: {type(error).__name__}")


def _study(harness: Harness, case: Case, tell: Tell, cancelled: Cancelled) -> Answer | None:
    from harness_studio.casebook.before import as_known_before
    from harness_studio.casebook.next_reading import next_readings
    from harness_studio.casebook.summary import summary
    from harness_studio.casebook.suspects import suspects

    start = time.perf_counter()
    harness, since = as_known_before(harness, case)
    tell(SUM, 0.0)
    steps = STEPS * max(1, len(_modes(case)))
    asked = 0

    def asking() -> bool:
        nonlocal asked
        asked += 1
        tell(SUM, min(0.7, 0.7 * asked / steps))
        return cancelled()

    found = suspects(harness, case, asking)
    if cancelled():
        return None
    tell("What each group explains", 0.75)
    groups = tuple(g for n, g in enumerate(summary(harness, found, MOST)) if n < 3 or g.probability >= TOLD)
    tell("Which reading tells most", 0.85)
    proposals = tuple(next_readings(harness, found))
    if cancelled():
        return None
    return Answer(
        case.id,
        suspects=groups,
        proposals=proposals,
        none_fits=float(found.none_fits),
        notes=(*since, *found.observed.notes),
        stop=verdict(groups, float(found.none_fits), named),
        seconds=time.perf_counter() - start,
    )


def _modes(case: Case) -> set[str | None]:
    return {r.mode for r in case.readings} | {m for s in case.sightings for m in (s.from_mode, s.to_mode)}
