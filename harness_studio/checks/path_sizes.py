"""Sizes along the ways of loads: together the wires of a way must not lose more than the way may."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace

from . import words
from .limits import Limit
from .rules.drop import CRITICAL, SENSORS, return_limit
from .scope import Scope, State
from .sizing import Size, Trial, Verdict, sizes_for
from .ways import Way, ways

_MOST_STEPS = 10_000


@dataclass(frozen=True, slots=True)
class Budget:
    """One limit of one load's way in one mode: the wires that count, what is lost now, what may be lost and by what."""

    rule: str
    state: State
    way: Way
    wires: tuple[str, ...]
    lost_v: float
    allowed_v: float
    source: str

    @property
    def load(self) -> str:
        """The load's element."""
        return self.way.load.element


class PathSizes:
    """Budgets of all ways, and what sizes do to them.

    Parameters
    ----------
    scope
        The solved harness.
    trials
        Trials of the wires whose size may change; every other wire keeps what it loses.
    reserve
        Part of each budget that is not given out, 0 to 1.
    """

    def __init__(self, scope: Scope, trials: Mapping[str, Trial], reserve: float = 0.0) -> None:
        self.scope = scope
        self.trials = trials
        found = [b for state in scope.states for way in ways(state) for b in _budgets(scope, state, way)]
        self.budgets = [replace(b, allowed_v=b.allowed_v * (1.0 - reserve)) for b in found]
        self._on: dict[str, list[Budget]] = {}
        for budget in self.budgets:
            for wire in budget.wires:
                self._on.setdefault(wire, []).append(budget)
        self.beyond: dict[tuple[str, str], str] = {}
        self._left: dict[str, Size] = {}
        self._lost: dict[int, float] = {}

    def unmeasured(self, wires: tuple[str, ...]) -> dict[str, str]:
        """Return, by wire, that a way through it holds a wire of which length or size are only assumed."""
        found = {}
        for wire in wires:
            for budget in self._on.get(wire, ()):
                rows = budget.state.wires
                assumed = [
                    w
                    for w in budget.wires
                    if w != wire and not (rows[w].measured and (rows[w].sized or w in self.trials))
                ]
                if assumed:
                    load = words.load_name(self.scope.harness, budget.load)
                    found[wire] = (
                        f"the way to {load} passes {words.listed(assumed)}, of which length or size is not known"
                    )
                    break
        return found

    def lost_v(self, budget: Budget, sizes: Mapping[str, Size]) -> float:
        """Return what a way would lose with wires of other sizes, at the currents of now."""
        total = budget.lost_v
        for wire in budget.wires:
            if wire in sizes and wire in self.trials:
                row = budget.state.wires[wire]
                total += self.trials[wire].drop_v(sizes[wire], budget.state, row) - abs(row.drop_v)
        return total

    def verdicts(self, wire: str, size: Size) -> Iterator[Verdict]:
        """Yield the worst verdict of each rule on the ways through a wire in a size, the others as `enlarge` left them.

        A way that a thicker wire of this one cannot bring within its limit is not counted against its size.
        """
        trial = self.trials[wire]
        thickest = sizes_for(trial.wire)[-1]
        worst: dict[str, tuple[float, float, Budget]] = {}
        for budget in self._on.get(wire, ()):
            row = budget.state.wires[wire]
            others = self._lost[id(budget)] - self._drop_v(wire, budget)
            if others + trial.drop_v(thickest, budget.state, row) > budget.allowed_v:
                continue
            lost = others + trial.drop_v(size, budget.state, row)
            used = lost / budget.allowed_v
            if budget.rule not in worst or used > worst[budget.rule][0]:
                worst[budget.rule] = used, lost, budget
        for rule, (used, lost, budget) in worst.items():
            load = words.load_name(self.scope.harness, budget.load)
            allowed = f"{words.volts(budget.allowed_v)} allowed ({_SIDE[rule]})"
            text = f"lets {load} lose {words.volts(lost)} of {allowed}"
            yield Verdict(rule, used <= 1.0, text, budget.source)

    def _drop_v(self, wire: str, budget: Budget) -> float:
        """Return what a wire loses as it was left."""
        row = budget.state.wires[wire]
        if wire in self._left and wire in self.trials:
            return self.trials[wire].drop_v(self._left[wire], budget.state, row)
        return abs(row.drop_v)

    def enlarge(self, sizes: dict[str, Size]) -> None:
        """Make wires thicker, step by step, until each way is within its budget or no step is left.

        Each step takes the wire that saves most volts per copper added. A way that no size brings within its budget
        is left alone and kept in `beyond`.
        """
        thickest = {w: sizes_for(self.trials[w].wire)[-1] for w in sizes if w in self.trials}
        for budget in self.budgets:
            best_v = self.lost_v(budget, {**sizes, **thickest})
            if best_v > budget.allowed_v:
                if not thickest.keys().isdisjoint(budget.wires):
                    self.beyond[budget.rule, budget.load] = self._beyond_words(budget, best_v)
                continue
            for _ in range(_MOST_STEPS):
                if self.lost_v(budget, sizes) <= budget.allowed_v:
                    break
                best = self._best_step(budget, sizes)
                if best is None:
                    break
                sizes[best[0]] = best[1]
        self._left = dict(sizes)
        self._lost = {id(budget): self.lost_v(budget, sizes) for budget in self.budgets}

    def _beyond_words(self, budget: Budget, best_v: float) -> str:
        load = words.load_name(self.scope.harness, budget.load)
        return (
            f"{load} loses {words.volts(budget.lost_v)} ({_SIDE[budget.rule]}) and would still lose "
            f"{words.volts(best_v)} with the thickest of these wires; {words.volts(budget.allowed_v)} at most"
        )

    def _best_step(self, budget: Budget, sizes: Mapping[str, Size]) -> tuple[str, Size] | None:
        best: tuple[float, str, Size] | None = None
        for wire in budget.wires:
            if wire not in sizes or wire not in self.trials:
                continue
            trial, row = self.trials[wire], budget.state.wires[wire]
            thicker = next(
                (s for s in sizes_for(trial.wire) if s.area_mm2 > sizes[wire].area_mm2 * 1.001), None
            )
            if thicker is None or abs(row.amperes) <= 0.0:
                continue
            saved = trial.drop_v(sizes[wire], budget.state, row) - trial.drop_v(thicker, budget.state, row)
            copper = (thicker.area_mm2 - sizes[wire].area_mm2) * max(trial.length_m, 1e-3)
            if saved > 0.0 and (best is None or saved / copper > best[0]):
                best = saved / copper, wire, thicker
        return None if best is None else (best[1], best[2])


_SIDE = {
    "feed_drop": "feed",
    "return_drop": "return",
    "path_drop": "there and back",
    "path_percent": "there and back",
}


def _budgets(scope: Scope, state: State, way: Way) -> Iterator[Budget]:
    """Yield the limits on a load's way: feed, return, both, both in per cent."""
    load = way.load
    starting = load.kind == "starter"
    if (starting and not state.cranking) or load.kind in SENSORS or state.posts is None:
        return
    pre = "starter_" if starting else ""
    sides = (
        ("feed_drop", way.feed, load.feed_drop_v),
        ("return_drop", way.back, load.back_drop_v),
        ("path_drop", way.wires, load.path_drop_v),
    )
    for rule, wires, lost_v in sides:
        limit = return_limit(scope, state, load) if rule == "return_drop" else scope.limits[f"{pre}{rule}_v"]
        if lost_v is not None and limit.value is not None:
            yield Budget(rule, state, way, wires, lost_v, limit.value, limit.backing)
    percent = _percent(scope, load.kind)
    if load.path_drop_v is not None and percent.value is not None and not starting:
        allowed = percent.value / 100.0 * state.posts.volts(state.solution)
        yield Budget("path_percent", state, way, way.wires, load.path_drop_v, allowed, percent.backing)


def _percent(scope: Scope, kind: str) -> Limit:
    critical = scope.limits["path_critical_percent"]
    return critical if kind in CRITICAL and critical.value is not None else scope.limits["path_drop_percent"]
