"""What is worked out of a case: the argument from sightings, the suspects, the next readings, and whether to stop."""

from __future__ import annotations

import logging
import time
from collections.abc import Callable
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

from harness_studio.base.errors import HarnessError
from harness_studio.model.cases import Case
from harness_studio.model.harness import Harness

if TYPE_CHECKING:
    from harness_studio.casebook.argument import Argument
    from harness_studio.casebook.before_after import BeforeAfter
    from harness_studio.casebook.known import Known
    from harness_studio.casebook.next_reading import Proposal
    from harness_studio.casebook.provoke import Provoke
    from harness_studio.casebook.summary import Suspect
    from harness_studio.casebook.suspects import Suspects

MOST, TOLD = 10, 0.002
"""Suspect groups that are told, and how probable a fourth one must be."""
SUM_PART = 0.8
"""Part of the work that the sum is; the rest is the next reading."""
GOES = 0.5
"""Part of a group's posterior from which its fault is told to come and go."""

SURE_ALONE = ("one group is clear", "nothing fits")
"""Verdicts that need no next reading."""

SUM = "Every joint and wire, at every added resistance"

Tell = Callable[[str, float], None]
Cancelled = Callable[[], bool]

_log = logging.getLogger(__name__)


@dataclass(frozen=True, slots=True)
class Answer:
    """What a case says; `problem` says in one line why it says nothing.

    Parameters
    ----------
    stop, verdict
        Why to stop measuring, empty while readings tell more; the same in the casebook's own word.
    comes_and_goes
        Joints of groups whose fault was rather absent while readings were taken that nobody watched it at.
    notes
        What was left out of the sum, and why.
    more
        Works out what is still missing, the next reading, and returns the whole answer, or None if it was cancelled;
        nothing escapes.
    """

    case_id: str
    argument: Argument | None = None
    suspects: tuple[Suspect, ...] = ()
    proposals: tuple[Proposal, ...] = ()
    none_fits: float = 0.0
    notes: tuple[str, ...] = ()
    provocations: tuple[Provoke, ...] = ()
    stop: str = ""
    verdict: str = ""
    comes_and_goes: frozenset[str] = frozenset()
    problem: str = ""
    seconds: float = 0.0
    more: Callable[[], Answer | None] | None = field(default=None, compare=False)

    @property
    def pending(self) -> bool:
        """Whether the next reading is still being worked out."""
        return self.more is not None


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


class Memory:
    """What was solved for a harness as it stands; it makes the answer after another entry quick.

    One answer is computed at a time, so that one thread has it.
    """

    def __init__(self) -> None:
        self._key: object = None
        self._kept: tuple[Harness, Known | None] | None = None

    def harness(self, harness: Harness, key: object) -> tuple[Harness, Known | None]:
        """Return the harness to compute with, and what is known of it: the kept one while the key is the same."""
        if self._kept is None or key != self._key:
            self._key, self._kept = key, (harness, None)
        return self._kept

    def keep(self, harness: Harness, known: Known) -> None:
        """Keep what was solved."""
        self._kept = (harness, known)


def study(
    harness: Harness, case: Case, revision: int, memory: Memory, tell: Tell, cancelled: Cancelled
) -> Answer | None:
    """Return the suspects and the next steps of a case; None if it was cancelled. Nothing escapes."""
    found = weigh(harness, case, revision, memory, tell, cancelled)
    return found.more() if found is not None and found.more is not None else found


def weigh(
    harness: Harness, case: Case, revision: int, memory: Memory, tell: Tell, cancelled: Cancelled
) -> Answer | None:
    """Return the suspects of a case, and in `more` what works out the next steps; None if cancelled. Nothing escapes.

    Parameters
    ----------
    revision
        Number of the harness's state as far as currents depend on it.
    """
    return _safely(case.id, cancelled, lambda: _weigh(harness, case, revision, memory, tell, cancelled))


def _safely(case_id: str, cancelled: Cancelled, work: Callable[[], Answer | None]) -> Answer | None:
    try:
        return work()
    except HarnessError as error:
        return None if cancelled() else Answer(case_id, problem=" ".join(str(error).split()))
    except Exception as error:
        if cancelled():
            return None  # what is cut short may not add up
        _log.exception("the suspects of %s could not be computed", case_id)
        return Answer(case_id, problem=f"a defect of the program, see the log: {type(error).__name__}")


def _weigh(
    harness: Harness, case: Case, revision: int, memory: Memory, tell: Tell, cancelled: Cancelled
) -> Answer | None:
    from harness_studio.casebook.before import as_known_before
    from harness_studio.casebook.next_reading import verdict
    from harness_studio.casebook.summary import summary
    from harness_studio.casebook.suspects import suspects

    start = time.perf_counter()
    before, since = as_known_before(harness, case)
    harness, known = memory.harness(before, (revision, since))
    tell(SUM, 0.0)
    found = suspects(harness, case, cancelled, lambda part: tell(SUM, SUM_PART * part), known)
    memory.keep(harness, found.known)
    if cancelled():
        return None
    tell("What each group explains", SUM_PART)
    groups = tuple(g for n, g in enumerate(summary(harness, found, MOST)) if n < 3 or g.probability >= TOLD)
    goes = {
        found.groups[g].joint
        for g in found.ranked()[:MOST]
        if float(found.away[g]) > GOES * float(found.probability[g])
    }
    said = verdict(found, ())
    sure = said.word in SURE_ALONE
    answer = Answer(
        case.id,
        suspects=groups,
        none_fits=float(found.none_fits),
        notes=(*found.observed.notes, *since),
        stop=said.words if sure else "",
        verdict=said.word if sure else "",
        comes_and_goes=frozenset(goes),
    )

    def more() -> Answer | None:
        return _safely(
            case.id, cancelled, lambda: _with_steps(harness, found, answer, start, tell, cancelled)
        )

    return replace(answer, more=more)


def _with_steps(
    harness: Harness, found: Suspects, answer: Answer, start: float, tell: Tell, cancelled: Cancelled
) -> Answer | None:
    from harness_studio.casebook.next_reading import Proposal, next_steps, verdict

    tell("Which reading tells most", SUM_PART + 0.05)
    steps = tuple(next_steps(harness, found))
    if cancelled():
        return None
    proposals = tuple(s for s in steps if isinstance(s, Proposal))
    said = verdict(found, proposals)
    return replace(
        answer,
        proposals=proposals,
        provocations=tuple(s for s in steps if not isinstance(s, Proposal)),
        stop=said.words if said.stop else "",
        verdict=said.word,
        seconds=time.perf_counter() - start,
    )
