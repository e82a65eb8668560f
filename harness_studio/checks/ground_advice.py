"""Moves of returns so that what is sensitive no longer rises: fewest moves first, each tried on a copy and checked.

A stud that was found poor is cleaned first: moves are tried with it clean, and what cleaning alone takes away is told.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass

from harness_studio.base.errors import EditError, HarnessError, nearest
from harness_studio.electrics.heat.ampacity import Ampacity
from harness_studio.model.edits import Together
from harness_studio.model.harness import Harness

from . import words
from .finding import Finding
from .how import How
from .moves import Move, candidates, edit_of, keeps_off, rings_on
from .proposals import new_findings
from .rules import RULES
from .rules.grounds import SENSORS, first_grounds, reader_of
from .runner import check, standing
from .scope import Scope, State, scope_of

TARGETS = frozenset({"sensor_rise", "unit_rise", "unit_grounds", "mixed_returns"})
"""Rules about what is sensitive on a ground."""
_RULES = {name: RULES[name] for name in ("sensor_rise", "unit_rise", "mixed_returns")}
MOST_MOVES = 4
_MOST_TRIED = 8
"""Moves per step that are looked at with all rules before a step is given up."""
_BETTER = 0.02
"""Part by which a move must lower what stands to be worth making."""
_STRAP_A = 0.05


@dataclass(frozen=True, slots=True)
class Rise:
    """A ground in its worst mode, before and after."""

    ground: str
    before_v: float
    after_v: float
    before_a: float
    after_a: float


@dataclass(frozen=True, slots=True)
class Strap:
    """A wire between metal and metal that takes more current after the moves, in its worst mode.

    `may_a` is what it may carry for good, None where that is not judged; `shortly` that the mode is one of cranking, in
    which it bears more for a time.
    """

    wire: str
    before_a: float
    after_a: float
    may_a: float | None
    shortly: bool = False

    @property
    def may(self) -> str:
        """What it may carry, in words."""
        if self.may_a is None:
            return "not judged"
        return words.amps(self.may_a) + (" for good, more while cranking" if self.shortly else "")


@dataclass(frozen=True, slots=True)
class GroundAdvice:
    """What to move, tried and checked.

    `targets` are the findings about sensitive things that the moves are for, `left` those that no moves take away,
    `gone` all that goes. `clean` says which joints were found poor: they are cleaned first, which takes away
    `by_cleaning`. `withdrawn` says which moves would have brought something new. Without moves `edit` is None.
    """

    grounds: tuple[str, ...]
    targets: tuple[Finding, ...]
    moves: tuple[Move, ...]
    edit: Together | None
    left: tuple[Finding, ...]
    gone: tuple[Finding, ...]
    rises: tuple[Rise, ...]
    straps: tuple[Strap, ...]
    clean: tuple[str, ...]
    by_cleaning: tuple[Finding, ...]
    kept_off: tuple[str, ...]
    withdrawn: tuple[str, ...] = ()


def chosen(harness: Harness, ground: str | None) -> tuple[str, ...]:
    """Return the grounds that advice is wanted on: one, or all.

    Raises
    ------
    HarnessError
        If there is no such ground; the nearest is named.
    """
    if ground is None:
        return tuple(harness.grounds)
    if ground not in harness.grounds:
        near = nearest(ground, harness.grounds)
        hint = f"; nearest is '{near}'" if near else f"; there are {', '.join(harness.grounds) or 'none'}"
        raise HarnessError(f"there is no ground '{ground}'{hint}")
    return (ground,)


def advise(scope: Scope, grounds: Sequence[str], stopped: Callable[[], bool] = lambda: False) -> GroundAdvice:
    """Return the moves that bring what is sensitive on some grounds within its limits, and what they do.

    It looks no further once `stopped` says so.
    """
    search = _Search(scope, grounds, stopped)
    while search.targets_left and len(search.moves) < MOST_MOVES and search.step():
        pass
    return search.done()


class _Search:
    def __init__(self, scope: Scope, grounds: Sequence[str], stopped: Callable[[], bool]) -> None:
        self.stopped = stopped
        self.found, self.grounds = scope, tuple(grounds)
        self.as_found = standing(check(scope, fold=False))
        self.scope = self._cleaned(scope)
        self.before = self.as_found if self.scope is scope else standing(check(self.scope, fold=False))
        self.on = _grounds_of(scope)
        self.targets = tuple(f for f in self.before if self._concerned(f))
        self.modes = tuple(dict.fromkeys(f.mode for f in self.targets))
        self.moves: list[Move] = []
        self.harness, self.now, self.after = self.scope.harness, self.scope, self.before
        self.withdrawn: list[str] = []
        self._known = {key for f in self.before for key in f.keys}

    def _cleaned(self, scope: Scope) -> Scope:
        """Return the harness with the studs that were found poor made clean, the rings on them too."""
        poor = {f.ids[0] for f in self.as_found if f.rule == "joint_poor"}
        dirty = [j for j in poor if _stud_of(j) in self.grounds]
        if not dirty:
            return scope
        harness = scope.harness.snapshot()
        for joint in dirty:
            harness.tables["joints"].pop(joint, None)
        return self._solved(harness, [state.mode for state in scope.states])

    def _concerned(self, found: Finding) -> bool:
        return found.rule in TARGETS and not set(self.grounds).isdisjoint(self.on.get(found.key, ()))

    @property
    def targets_left(self) -> list[Finding]:
        """The findings that the moves are for and that stand after those made so far."""
        keys = {key for f in self.targets for key in f.keys}
        return [f for f in self.after if not keys.isdisjoint(f.keys)]

    def step(self) -> bool:
        """Make the move that helps most and brings nothing new; False where there is none."""
        quick = self._amount(self._solved(self.harness, self.modes))
        victims = {one for f in self.targets_left for one in (f.key, *(f"sensor_rise/{i}" for i in f.ids))}
        at_home = {g for key in victims for g in self.on.get(key, ())}
        rated: list[tuple[float, bool, bool, bool, int, Move]] = []
        for order, move in enumerate(self._candidates()):
            if self.stopped():
                return False
            amount = self._try(move)
            if amount is not None and amount < quick * (1.0 - _BETTER):
                # A stud that is there, best the one of what reads the sensor, before one that is to be drilled.
                fresh, away = move.beside is not None, move.to not in at_home
                rated.append((amount, fresh, away, move.length != "by its runs", order, move))
        rated.sort(key=lambda row: row[:5])
        return any(self._make(move) for *_, move in rated[:_MOST_TRIED])

    def _candidates(self) -> Iterator[Move]:
        """Yield moves of rings on the grounds of what stands; of the victims' own wires first."""
        concerned = {g for f in self.targets_left for g in self.on.get(f.key, ())} & set(self.grounds)
        beside = {g for f in self.targets_left for g in self.on.get(f.key, ())}
        for ground in self.grounds:
            if ground in concerned:
                rings = rings_on(self.harness, ground)
                yield from candidates(self.harness, rings, ground, tuple(beside), off=self._tied(ground))

    def _tied(self, ground: str) -> bool:
        """Tell whether a control unit is tied to a ground beside another one, so that taking a wire off may do."""
        return any(f.rule == "unit_grounds" and ground in f.ids for f in self.targets_left)

    def _moved(self, move: Move) -> Harness | None:
        tried = self.scope.harness.snapshot()
        try:
            edit = edit_of(tried, [*self.moves, move])
            assert edit is not None
            edit.apply(tried)
        except EditError:
            return None
        return tried

    def _solved(self, harness: Harness, modes: Iterable[str | None]) -> Scope:
        return scope_of(harness, list(modes), How(self.found.how.method, self.found.how.table))

    def _try(self, move: Move) -> float | None:
        """Return how much of the targets a move leaves, in the modes where they are worst."""
        harness = self._moved(move)
        if harness is None:
            return None
        tried = self._solved(harness, self.modes)
        if tried.unsolved:
            return None
        return self._amount(tried)

    def _amount(self, tried: Scope) -> float:
        """Return how much of the targets stands, and what is new of their kind, each by how far it is beyond."""
        found = standing(check(tried, _RULES, fold=False))
        wanted = {key for f in self.targets for key in f.keys}
        return sum(
            1.0 + min(f.excess, 100.0) / 100.0
            for f in found
            if not wanted.isdisjoint(f.keys) or self._known.isdisjoint(f.keys)
        )

    def _make(self, move: Move) -> bool:
        """Take a move if all rules in all modes find nothing new with it."""
        harness = self._moved(move)
        if harness is None:
            return False
        now = self._solved(harness, [state.mode for state in self.scope.states])
        after = standing(check(now, fold=False))
        new = new_findings(self.before, after) or self._new_as_found(move)
        if new:
            told = f"{move.words(self.harness)}: would bring '{new[0].text}'"
            self.withdrawn.append(told + (f" and {len(new) - 1} more" if len(new) > 1 else ""))
            return False
        self.moves.append(move)
        self.harness, self.now, self.after = harness, now, after
        return True

    def _new_as_found(self, move: Move) -> list[Finding]:
        """Return what a move would bring while the studs are not yet cleaned, beside what the poor studs explain."""
        if self.scope is self.found:
            return []
        tried = self.found.harness.snapshot()
        edit = edit_of(tried, [*self.moves, move])
        assert edit is not None
        edit.apply(tried)
        now = self._solved(tried, [state.mode for state in self.found.states])
        return new_findings(standing(check(self.found)), standing(check(now)))

    def done(self) -> GroundAdvice:
        """Return the moves with what they do."""
        harness, keys = self.found.harness, {key for f in self.after for key in f.keys}
        cleaned = {key for f in self.before for key in f.keys}
        by_cleaning = tuple(f for f in self.as_found if cleaned.isdisjoint(f.keys))
        return GroundAdvice(
            self.grounds,
            self.targets,
            tuple(self.moves),
            edit_of(harness, self.moves),
            tuple(self.targets_left),
            tuple(f for f in self.before if keys.isdisjoint(f.keys)),
            tuple(_rises(self.scope, self.now)),
            tuple(_straps(self.scope, self.now, [m.wire for m in self.moves])),
            tuple(f.text for f in by_cleaning if f.rule == "joint_poor"),
            tuple(f for f in by_cleaning if f.rule != "joint_poor"),
            tuple(
                f"{harness.title_of(g.id)}: '{word}'"
                for g in harness.grounds.values()
                if (word := keeps_off(harness, g)) is not None
            ),
            tuple(dict.fromkeys(self.withdrawn)),
        )


def _grounds_of(scope: Scope) -> dict[str, tuple[str, ...]]:
    """Return by key of a finding about something sensitive the grounds that it stands on."""
    found: dict[str, dict[str, None]] = {}
    for state in scope.states:
        for key, grounds in _in_state(scope, state):
            found.setdefault(key, {}).update(dict.fromkeys(g for g in grounds if g in scope.harness.grounds))
    return {key: tuple(grounds) for key, grounds in found.items()}


def _in_state(scope: Scope, state: State) -> Iterator[tuple[str, list[str]]]:
    for element in state.network.elements:
        if element.kind in SENSORS:
            reader = reader_of(state, element)
            mine = first_grounds(state, list(element.terminals.values())[-1])
            theirs = first_grounds(state, list(reader.terminals.values())[-1]) if reader else []
            yield f"sensor_rise/{element.part}", mine + theirs
            for ground in mine:
                yield f"mixed_returns/{ground}", [ground]
    for part in scope.harness.parts.values():
        if part.kind == "control_unit":
            names = [n for n, t in part.ratings.terminals.items() if t.does in ("ground", "sensor_ground")]
            points = [state.network.index[p] for n in names if (p := f"{part.id}.{n}") in state.network.index]
            grounds = [g for point in points for g in first_grounds(state, point)]
            yield f"unit_rise/{part.id}", grounds
            yield f"unit_grounds/{part.id}", grounds


def _rises(before: Scope, after: Scope) -> Iterator[Rise]:
    """Yield the grounds whose rise or current changed, each in the mode in which it was worst."""
    for ground in after.harness.grounds:
        rows = []
        for old, new in zip(before.states, after.states, strict=True):
            was, now = _stud(old, ground), _stud(new, ground)
            rows.append((max(abs(was[0]), abs(now[0])), was, now))
        if not rows:
            continue
        _, was, now = max(rows, key=lambda row: row[0])
        if abs(was[1] - now[1]) > _STRAP_A or abs(was[0] - now[0]) > 1e-3:
            yield Rise(ground, was[0], now[0], was[1], now[1])


def _stud_of(joint: str) -> str:
    """Return the ground that a joint is on: GP2, GP2/W40 and W40@GP2."""
    return joint.partition("@")[2] or joint.partition("/")[0]


def _stud(state: State, ground: str) -> tuple[float, float]:
    """Return (rise in V, amperes) of a ground; nothing where it is not there."""
    return next(((s.rise_v, s.amperes) for s in state.studs.studs if s.joint == ground), (0.0, 0.0))


def _straps(before: Scope, after: Scope, moved: Sequence[str]) -> Iterator[Strap]:
    """Yield the wires between metal and metal that take more current than before: they were checked with the rest."""
    for wire in after.harness.wires.values():
        if (
            wire.id in moved
            or wire.id not in before.harness.wires
            or not all(_is_metal(after.harness, end.text) for end in wire.ends)
        ):
            continue
        rows = [
            (abs(new.wires[wire.id].amperes), abs(old.wires[wire.id].amperes), new.wires[wire.id].may, new)
            for old, new in zip(before.states, after.states, strict=True)
        ]
        if not rows:
            continue
        now_a, was_a, may, state = max(rows, key=lambda row: row[0] - row[1])
        if now_a - was_a > _STRAP_A:
            may_a = may.figure.value if isinstance(may, Ampacity) else None
            yield Strap(wire.id, was_a, now_a, may_a, state.cranking)


def _is_metal(harness: Harness, point: str) -> bool:
    owner = point.partition(".")[0]
    part = harness.parts.get(owner)
    return (
        point in harness.grounds or owner in harness.bodies or (part is not None and part.kind == "battery")
    )
