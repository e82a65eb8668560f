"""Sizes: the smallest standard size of each wire that passes, which rule decided, and one edit that mends the harness.

Never raises a fuse without its wires, never passes a wire on an assumed length or size. The proposed harness is
solved and checked again; what brings a new finding is taken back.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace

from harness_studio.base.errors import HarnessError, nearest
from harness_studio.model.edits import Put, Together, together
from harness_studio.model.entities import Wire
from harness_studio.model.harness import Harness
from harness_studio.model.parts import Part
from harness_studio.network.wires import length_mm
from harness_studio.standards.figures import NotJudged

from . import words
from .fuse_advice import FuseAdvice, lower_ratings, targets
from .path_sizes import PathSizes
from .scope import Scope
from .sizing import Size, Trial, Verdict, size_of, sizes_for
from .warmth import Asked


@dataclass(frozen=True, slots=True)
class Advice:
    """One wire.

    Parameters
    ----------
    present, smallest
        The size recorded, and the smallest that passes every rule with all others as proposed; None where not known.
    proposed
        What the edit makes it; None where it stays as it is.
    decided_by, why
        The rule that the next smaller size fails, and what the smallest does.
    smaller
        What the next smaller size would do.
    problem
        Why there is no advice.
    source
        What the numbers of `why` rest on: method, table and source of each.
    """

    wire: str
    present: Size | None
    smallest: Size | None = None
    proposed: Size | None = None
    decided_by: str = ""
    why: str = ""
    smaller: str = ""
    problem: str | None = None
    source: str = ""


@dataclass(frozen=True, slots=True)
class Proposal:
    """Advice on wires and fuses, and the edit that carries it out (None where nothing is to be changed).

    `beyond` tells which loads lose too much whatever the size of these wires.
    """

    wires: tuple[Advice, ...]
    fuses: tuple[FuseAdvice, ...]
    edit: Together | None
    beyond: tuple[str, ...] = ()


Behind = tuple[str, str, float]
"""A wire, the fuse before it ('' for none) and the fuse's rating."""


@dataclass(slots=True)
class Work:
    """What the adviser works on: trials of the wires it may size, sizes so far, ratings so far."""

    scope: Scope
    wires: tuple[str, ...]
    trials: dict[str, Trial] = field(default_factory=dict)
    problems: dict[str, str] = field(default_factory=dict)
    sizes: dict[str, Size] = field(default_factory=dict)
    ratings: dict[str, float] = field(default_factory=dict)
    fuses: dict[str, FuseAdvice] = field(default_factory=dict)
    known: dict[Behind, Trial] = field(default_factory=dict)

    def trial(self, wire: Wire, fuse: tuple[Part, float] | None) -> Trial:
        """Return the trial of a wire behind a fuse with a rating."""
        behind = (wire.id, fuse[0].id, fuse[1]) if fuse else (wire.id, "", 0.0)
        if behind not in self.known:
            self.known[behind] = Trial(self.scope, wire, fuse)
        return self.known[behind]


def chosen(harness: Harness, wire: str | None = None, circuit: str | None = None) -> tuple[str, ...]:
    """Return the wires that advice is wanted on: one, those of a circuit, or all.

    Raises
    ------
    HarnessError
        If there is no such wire or circuit; the nearest is named.
    """
    if wire is not None:
        if wire not in harness.wires:
            raise HarnessError(_missing("wire", wire, harness.wires))
        return (wire,)
    if circuit is not None:
        found = tuple(w.id for w in harness.wires.values() if w.circuit == circuit)
        if not found:
            raise HarnessError(
                _missing("circuit", circuit, {w.circuit for w in harness.wires.values() if w.circuit})
            )
        return found
    return tuple(harness.wires)


def _missing(what: str, name: str, known: Iterable[str]) -> str:
    near = nearest(name, known)
    return f"there is no {what} '{name}'" + (f"; nearest is '{near}'" if near else "")


def advise(
    scope: Scope, wires: Sequence[str], reserve: float = 0.0, known: dict[Behind, Trial] | None = None
) -> Proposal:
    """Return advice on wires, a part of each drop budget kept in reserve; the edit is not yet tried (`proposals`).

    `known` keeps the trials of this scope from one reserve to the next.
    """
    work = Work(scope, tuple(wires))
    work.known = {} if known is None else known
    work.ratings, work.fuses = targets(scope, work.wires)
    _raise_no_fuse_alone(work)
    for wire_id in work.wires:
        _prepare(work, scope.harness.wires[wire_id])
    seen: set[Asked] = set()
    scope.warmth.prepare(asked for trial in work.trials.values() for asked in trial.asked(seen))
    _own_sizes(work)
    paths = PathSizes(scope, work.trials, reserve)
    work.problems.update(paths.unmeasured(work.wires))
    for wire_id in work.problems:
        work.sizes.pop(wire_id, None)
    paths.enlarge(work.sizes)
    rows = tuple(_advice(work, paths, wire_id) for wire_id in work.wires)
    edit = edit_of(scope.harness, rows, work.fuses.values())
    return Proposal(rows, tuple(work.fuses.values()), edit, tuple(paths.beyond.values()))


def _raise_no_fuse_alone(work: Work) -> None:
    """Take back a higher rating where not every wire behind the fuse is to be sized with it."""
    for fuse_id, advice in work.fuses.items():
        if advice.proposed_a is None or advice.proposed_a <= (advice.present_a or 0.0):
            continue
        others = [w for w in work.scope.protection.relying_on(fuse_id) if w not in work.wires]
        weak = [w for w in others if not _bears(work.scope, w, advice.proposed_a)]
        if weak:
            need = f"it needs {advice.proposed_a:g} A, but {words.listed(weak)} may not carry that: size them together"
            work.fuses[fuse_id] = FuseAdvice(fuse_id, advice.present_a, None, "", need)
            work.ratings.pop(fuse_id)
            if advice.present_a is not None:
                work.ratings[fuse_id] = advice.present_a


def _bears(scope: Scope, wire_id: str, rated_a: float) -> bool:
    row = scope.least.get(wire_id)
    return row is not None and not isinstance(row.may, NotJudged) and rated_a <= row.may.figure.value


def _prepare(work: Work, wire: Wire) -> None:
    """Set up a wire's trial, or say why it cannot be sized."""
    scope, fuse = work.scope, None
    before = [f for f in scope.protection.before(wire.id) if f in work.ratings]
    if before:
        largest = max(before, key=lambda f: work.ratings[f])
        fuse = scope.harness.parts[largest], work.ratings[largest]
    if length_mm(scope.harness, wire) is None:
        work.problems[wire.id] = "its length is not known"
    elif not scope.states:
        work.problems[wire.id] = "no mode has a solution"
    elif scope.least[wire.id].limit_c is None:
        known = (
            f"insulation '{wire.insulation}' is not known"
            if wire.insulation
            else "its insulation is not said"
        )
        work.problems[wire.id] = known
    else:
        work.trials[wire.id] = work.trial(wire, fuse)


def _own_sizes(work: Work) -> None:
    """Give each wire its present size if that passes by itself, else the smallest that does; lower fuses first."""
    for fuse_id in list(work.ratings):
        members = [w for w in work.scope.protection.relying_on(fuse_id) if w in work.trials]
        if all(_passes_now(work.trials[w]) for w in members):
            continue
        if work.fuses[fuse_id].proposed_a is None:
            _lower(work, fuse_id, members)
    for wire_id, trial in work.trials.items():
        found = size_of(trial.wire) if _passes_now(trial) else smallest(trial)
        if found is None:
            work.problems[wire_id] = f"no standard size passes: {_failing(trial, sizes_for(trial.wire)[-1])}"
        else:
            work.sizes[wire_id] = found
    for wire_id in work.problems:
        work.trials.pop(wire_id, None)


def _lower(work: Work, fuse_id: str, members: Sequence[str]) -> None:
    """Propose the largest rating below the present one behind which all wires pass as they are, if there is one."""
    present = work.scope.harness.parts[fuse_id].ratings.rated_a
    for rated_a in lower_ratings(work.scope, fuse_id):
        tried = {w: _with_rating(work, w, rated_a) for w in members}
        if all(_passes_now(trial) for trial in tried.values()):
            work.trials.update(tried)
            work.ratings[fuse_id] = rated_a
            why = f"{rated_a:g} A carries its load, and every wire behind it bears that as it is"
            work.fuses[fuse_id] = FuseAdvice(fuse_id, present, rated_a, why)
            return


def _with_rating(work: Work, wire: str, rated_a: float) -> Trial:
    trial = work.trials[wire]
    assert trial.fuse is not None
    return work.trial(trial.wire, (trial.fuse[0], rated_a))


def _passes_now(trial: Trial) -> bool:
    present = size_of(trial.wire)
    return present is not None and all(v.ok or v.rule == "least_area" for v in trial.verdicts(present))


def smallest(trial: Trial) -> Size | None:
    """Return the smallest standard size that passes every rule that looks at the wire alone."""
    return next((size for size in sizes_for(trial.wire) if trial.passes(size)), None)


def _failing(trial: Trial, size: Size) -> str:
    return "; ".join(v.text for v in trial.verdicts(size) if not v.ok)


def _advice(work: Work, paths: PathSizes, wire_id: str) -> Advice:
    wire = work.scope.harness.wires[wire_id]
    present = size_of(wire)
    if wire_id in work.problems:
        return Advice(wire_id, present, problem=work.problems[wire_id])
    trial, final = work.trials[wire_id], work.sizes[wire_id]

    def verdicts(size: Size) -> list[Verdict]:
        return [*trial.verdicts(size), *paths.verdicts(wire_id, size)]

    def passes(size: Size) -> bool:
        return trial.passes(size) and all(v.ok for v in paths.verdicts(wire_id, size))

    ladder = sizes_for(wire)
    at = next((n for n, size in enumerate(ladder) if passes(size)), None)
    if at is None:
        failing = "; ".join(v.text for v in verdicts(ladder[-1]) if not v.ok)
        return Advice(wire_id, present, problem=f"no standard size of it passes: {failing}")
    best = ladder[at]
    failed = [v for v in verdicts(ladder[at - 1]) if not v.ok] if at else []
    proposed = final if present is None or final.area_mm2 > present.area_mm2 * 1.001 else None
    said = [v for v in verdicts(best) if not failed or v.rule == failed[0].rule]
    return Advice(
        wire_id,
        present,
        best,
        proposed,
        failed[0].rule if failed else "",
        "; ".join(v.text for v in said),
        f"{ladder[at - 1]} {'; '.join(v.text for v in failed)}" if failed else "the thinnest that is made",
        source=" | ".join(dict.fromkeys(v.source for v in said if v.source)),
    )


def edit_of(harness: Harness, rows: Iterable[Advice], fuses: Iterable[FuseAdvice]) -> Together | None:
    """Return the one step that gives wires and fuses what is proposed, stacks put in order; None if nothing is."""
    wires: dict[str, Wire] = {}
    for row in rows:
        if row.proposed is not None:
            size = row.proposed
            area = None if size.awg is not None else size.area_mm2
            wires[row.wire] = replace(harness.wires[row.wire], area_mm2=area, awg=size.awg)
    edits = [Put("wires", wire) for wire in wires.values()]
    edits += [Put("grounds", ground) for ground in _restacked(harness, wires)]
    for fuse in fuses:
        if fuse.proposed_a is not None:
            part = harness.parts[fuse.fuse]
            edits.append(Put("parts", replace(part, ratings=replace(part.ratings, rated_a=fuse.proposed_a))))
    count = len(wires) + sum(f.proposed_a is not None for f in fuses)
    return (
        together(edits, f"size {count} {'wires and fuses' if count != 1 else 'wire or fuse'}")
        if edits
        else None
    )


def _restacked(harness: Harness, wires: Mapping[str, Wire]) -> list[object]:
    """Return the grounds whose recorded stack the new sizes would put out of order, the largest next to the metal."""

    def area(ring: tuple[str, ...]) -> float:
        known = [size_of(wires.get(w, harness.wires[w])) for w in ring]
        return max((s.area_mm2 for s in known if s is not None), default=0.0)

    found: list[object] = []
    for ground in harness.grounds.values():
        if any(w in wires for ring in ground.stack for w in ring):
            stack = tuple(sorted(ground.stack, key=area, reverse=True))
            if stack != ground.stack:
                found.append(replace(ground, stack=stack))
    return found
