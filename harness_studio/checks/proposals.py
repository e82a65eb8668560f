"""Proposals looked at again: the harness as proposed is solved and checked; what brings a new finding is taken back."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace

from harness_studio.base.errors import EditError
from harness_studio.model.harness import Harness

from .adviser import Behind, Proposal, advise, edit_of
from .finding import Finding
from .fuse_advice import FuseAdvice
from .gone import ACCEPTED_GONE
from .how import How
from .rules import ELECTRICAL, RULES
from .runner import check, standing
from .scope import Scope, scope_of
from .sizing import Trial

_MOST_ROUNDS = 6
_VOLTS = ("V", "%")
_ON_RECORD = {n: r for n, r in RULES.items() if r.of_harness is not None and r.sections is not ELECTRICAL}
"""Rules that need no solution."""
RESERVES = (0.0, 0.05, 0.1)
"""Parts of the drop budgets kept back, tried in turn while a proposal brings new findings."""


@dataclass(frozen=True, slots=True)
class Checked:
    """A proposal that was tried.

    `before` and `after` are the findings that stand without and with it; `withdrawn` says what was taken back and why.
    """

    proposal: Proposal
    before: tuple[Finding, ...]
    after: tuple[Finding, ...]
    withdrawn: tuple[str, ...] = ()

    @property
    def gone(self) -> tuple[Finding, ...]:
        """The findings that the edit takes away."""
        left = {key for f in self.after for key in f.keys}
        return tuple(f for f in self.before if left.isdisjoint(f.keys))


def size(scope: Scope, wires: Sequence[str], stopped: Callable[[], bool] = lambda: False) -> Checked:
    """Return advice on wires whose edit has been tried on a copy of the harness and brings no new finding.

    Thicker wires let loads draw more, so a way that is just within its budget may come out of it: then a part of each
    budget is kept in reserve. It tries no further once `stopped` says so.
    """
    clean, before = _clean(scope), standing(check(scope, fold=False))
    best: Checked | None = None
    known: dict[Behind, Trial] = {}
    for reserve in RESERVES:
        done, of_volts = _tried(scope, before, advise(clean, wires, reserve, known))
        if best is None or len(done.gone) > len(best.gone):
            best = done
        if not of_volts or stopped():
            break
    assert best is not None
    return best


def _tried(scope: Scope, before: tuple[Finding, ...], proposal: Proposal) -> tuple[Checked, bool]:
    """Return a proposal without what brings new findings, and whether one of those was a matter of volts.

    What needs no currents is looked at first: a wire that no contact takes is not worth solving all modes for.
    """
    withdrawn: list[str] = []
    of_volts = False
    for _ in range(_MOST_ROUNDS):
        if proposal.edit is None:
            break
        tried = _with_edit(scope, proposal)
        if isinstance(tried, str):
            withdrawn.append(tried)
            break
        new = new_findings(before, standing(check(Scope(tried, ()), _ON_RECORD, fold=False)))
        if not new:
            after = standing(check(_scope_like(scope, tried), fold=False))
            new = new_findings(before, after)
        if not new:
            return Checked(proposal, before, after, tuple(withdrawn)), of_volts
        withdrawn += [f"would bring '{f.text}'" for f in new]
        of_volts = of_volts or any(f.unit in _VOLTS for f in new)
        proposal = _taken_back(scope, proposal, new)
    return Checked(_without_edit(proposal), before, before, tuple(withdrawn)), of_volts


def _clean(scope: Scope) -> Scope:
    """Return the scope without the joints that were found worse than clean ones.

    A wire is not made thicker to make up for a joint that is to be mended. A joint that was measured better stays.
    """
    clean = scope.clean
    ohm = clean.branches.resistance_ohm
    worse = [
        joint.id
        for joint in scope.harness.joints.values()
        if joint.mohm is not None
        and ((number := clean.joints.get(joint.id)) is None or joint.mohm > float(ohm[number]) * 1e3)
    ]
    if not worse:
        return scope
    harness = scope.harness.snapshot()
    for joint in worse:
        del harness.tables["joints"][joint]
    return _scope_like(scope, harness)


def _scope_like(scope: Scope, harness: Harness) -> Scope:
    modes = [state.mode for state in scope.states]
    return scope_of(harness, modes, How(scope.how.method, scope.how.table))


def new_findings(before: Iterable[Finding], after: Iterable[Finding]) -> list[Finding]:
    """Return the findings that were not there, or were less grave.

    A mended fault that the file accepted leaves its acceptance behind: that is no fault of the mending.
    """
    grades = {"stop": 0, "mend": 1, "note": 2}
    known: dict[str, int] = {}
    for found in before:
        for key in found.keys if found.ids else (found.text,):
            known[key] = min(grades[found.grade], known.get(key, 9))
    return [
        found
        for found in after
        if found.rule != ACCEPTED_GONE
        and any(
            grades[found.grade] < known.get(key, 9) for key in (found.keys if found.ids else (found.text,))
        )
    ]


def _with_edit(scope: Scope, proposal: Proposal) -> Harness | str:
    """Return the harness as proposed, or why the edit is not allowed."""
    assert proposal.edit is not None
    tried = scope.harness.snapshot()
    try:
        proposal.edit.apply(tried)
    except EditError as error:
        return f"not allowed: {error}"
    return tried


def _taken_back(scope: Scope, proposal: Proposal, new: Sequence[Finding]) -> Proposal:
    """Return the proposal without the wires and fuses that new findings name; without all of them if none is named.

    A fuse is not raised where a wire behind it stays as it is, and wires are not made thicker for a fuse that is not
    raised.
    """
    named = {name for found in new for one in found.ids for name in (one, one.partition(".")[0])}
    wires = scope.harness.wires

    def concerned(wire: str) -> bool:
        ends = {end.text for end in wires[wire].ends}
        return wire in named or bool((ends | {e.partition(".")[0] for e in ends}) & named)

    dropped = {row.wire for row in proposal.wires if row.proposed and concerned(row.wire)}
    lost = {f.fuse for f in proposal.fuses if f.proposed_a is not None and _lost(scope, f, named, dropped)}
    if not dropped and not lost:
        return _without_edit(proposal)
    for fuse in lost:
        behind = scope.protection.relying_on(fuse)
        dropped |= {r.wire for r in proposal.wires if r.wire in behind and r.decided_by.startswith("fuse_")}
    rows = tuple(replace(row, proposed=None) if row.wire in dropped else row for row in proposal.wires)
    fuses = tuple(replace(f, proposed_a=None) if f.fuse in lost else f for f in proposal.fuses)
    return Proposal(rows, fuses, edit_of(scope.harness, rows, fuses), proposal.beyond)


def _lost(scope: Scope, fuse: FuseAdvice, named: set[str], dropped: set[str]) -> bool:
    raises = fuse.proposed_a is not None and fuse.proposed_a > (fuse.present_a or 0.0)
    return fuse.fuse in named or (raises and not dropped.isdisjoint(scope.protection.relying_on(fuse.fuse)))


def _without_edit(proposal: Proposal) -> Proposal:
    rows = tuple(replace(row, proposed=None) for row in proposal.wires)
    fuses = tuple(replace(fuse, proposed_a=None) for fuse in proposal.fuses)
    return Proposal(rows, fuses, None, proposal.beyond)
