"""A solution in other discrete states, near one that is solved and inverted: on what bends and what turned, no more.

With G = J⁻¹ at the clean solution v, what changes straight (edges, contacts, linear pieces of elements that turned) is
a small matrix ΔJ and a vector Δc on a few rows R, and what bends is n(δ) at the ports P: those of the clean network and
those of elements that turned, whose former curve is taken out. The deviation δ of all volts obeys

    δ = −G_R·q − G_P·n(δ),    q = ΔJ·(v + δ)_R + Δc,

so that across the ports d = d₀ − Z·n(d) with Z = G_PP − G_PR·ΔJ·(1 + G_RR·ΔJ)⁻¹·G_RP (Woodbury, 1950). Newton's method
on the ports that bend solves it.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING, Any

from harness_studio.network.network import Element

from .again import Again
from .laws.catalogue import pieces_of
from .laws.discrete import Bounds, bounds_of, judged
from .laws.pieces import Pieces
from .laws.poles import PoleGroup, group_poles
from .newton import Settled
from .passes import Pass
from .stamps import Stamp
from .states import branch_ohm
from .sweep import Base

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]
    Ints = NDArray[np.int64]

ROUNDS, ENOUGH_V, STEP_LIMIT_V = 24, 1e-4, 20.0
"""Iterations, the step below which they end (what stands without current is found slowly), and the longest step."""
BENDS = 1e-2
"""Change of a port's slope against what it sees, below which it counts as straight for a step."""
DIGITS = 1e7
"""Times that what is cut off magnifies the error of an inverse, beyond which it is solved anew."""


@dataclass(slots=True)
class Nearby:
    """What solutions near a clean one share.

    `inverse` is J⁻¹ with a last row and column of zeros; `ohm` (branches,) and `siemens` (edges,), of the shared edges,
    are those of the clean states; `plus`, `minus` (ports,) unknowns at the ports; `over`, `amperes`, `slope` (ports,)
    their clean volts, currents and slopes; `from_ports` (ports, unknowns + 1) what an ampere at each unknown does to
    them; `ports_of` tells those of an element; `row_of` (points,) is the row of each point, `named` are points that
    have a live one.
    """

    base: Base
    again: Again
    inverse: Floats
    ohm: Floats
    siemens: Floats
    volts: Floats
    plus: Ints
    minus: Ints
    over: Floats
    amperes: Floats
    slope: Floats
    ports_of: Mapping[str, tuple[int, ...]]
    row_of: Ints
    named: Ints
    from_ports: Floats
    elements: Mapping[str, Element]
    pieces: dict[tuple[str, str], Pieces] = field(default_factory=dict)
    bounds: dict[tuple[str, str], tuple[Bounds, ...]] = field(default_factory=dict)
    memos: dict[tuple[tuple[str, str], ...], dict[str, Any]] = field(default_factory=dict)
    latest: dict[tuple[tuple[str, str], ...], Floats] = field(default_factory=dict)

    def solve(self, states: Mapping[str, str], ohm: Floats, start: Floats | None) -> Pass | None:
        """Return the pass in given states at given resistances (all contacts closed); None where it is not near.

        Parameters
        ----------
        start
            Volts of the rows to start from, those found last in these states, or the clean ones.
        """
        import numpy as np

        at = branch_ohm(self.again.network, states, ohm)
        change = self._change(states, at)
        if change is None:
            return None
        key = tuple(states.items())
        start = self.latest.get(key, start)
        solved = _newton(self, change, np.zeros(len(self.volts)) if start is None else start - self.volts)
        if solved is None:
            return None
        system = self.base.system
        high = self.volts.copy()
        high[system.kept] += solved[:-1]
        self.latest[key] = high
        point_volts = np.full(len(self.row_of), np.nan)
        point_volts[self.named] = high[self.row_of[self.named]]
        settled = Settled(high, np.zeros(len(high)), None, 0)
        memo = self.memos.setdefault(key, {})
        if "judged" not in memo:
            memo["judged"] = judged(self.again.network, states, self._bounds)
        return Pass(dict(states), at, Pieces(), system, settled, point_volts, memo, self.again)

    def _bounds(self, element: Element, state: str) -> tuple[Bounds, ...]:
        key = (element.address, state)
        if key not in self.bounds:
            self.bounds[key] = bounds_of(element, state)
        return self.bounds[key]

    def _change(self, states: Mapping[str, str], ohm: Floats) -> _Change | None:
        import numpy as np

        clean = self.base.done.states
        turned = [e for e, s in states.items() if clean[e] != s]
        reduced = self.again.reduced
        edges = np.unique(reduced.edge_of[np.flatnonzero(ohm != self.ohm)])
        edges = edges[edges >= 0]
        siemens = self.again.siemens(ohm) if len(edges) else self.siemens
        parts: list[tuple[Sequence[int], Floats, Floats]] = []
        for edge in edges.tolist():
            g = float(siemens[edge] - self.siemens[edge])
            parts.append(
                ((int(reduced.a[edge]), int(reduced.b[edge])), np.array([[g, -g], [-g, g]]), np.zeros(2))
            )
        removed: list[int] = []
        poles = []
        for element in turned:
            removed += self.ports_of.get(element, ())
            before, after = self._pieces(element, clean), self._pieces(element, states)
            parts += [self._part(s, -1.0) for s in before.stamps] + [self._part(s, 1.0) for s in after.stamps]
            poles += after.poles
        rows = list(dict.fromkeys(r for some, _, _ in parts for r in some))
        more = group_poles(poles)
        ends = [(self.row_of[g.plus], self.row_of[g.minus]) for g in more]
        touched = np.array([*rows, *(int(r) for pair in ends for end in pair for r in end)], dtype=np.int64)
        if (touched < 0).any() or not self.base.system.alive[touched].all():
            return None
        place = {r: n for n, r in enumerate(rows)}
        matrix, source = np.zeros((len(rows), len(rows))), np.zeros(len(rows))
        for some, stamp, amperes in parts:
            where = [place[r] for r in some]
            np.add.at(matrix, np.ix_(where, where), stamp)
            np.add.at(source, where, amperes)
        at = np.array(rows, dtype=np.int64)
        return _Change(at, matrix, source, np.array(removed, dtype=np.int64), more, ends)

    def _part(self, stamp: Stamp, way: float) -> tuple[Sequence[int], Floats, Floats]:
        import numpy as np

        rows = self.row_of[list(stamp.terms)].tolist()
        return rows, way * np.array(stamp.siemens), way * np.array(stamp.amperes)

    def _pieces(self, element: str, states: Mapping[str, str]) -> Pieces:
        key = (element, states[element])
        if key not in self.pieces:
            alone = replace(self.again.network, elements=(self.elements[element],))
            self.pieces[key] = pieces_of(alone, states)
        return self.pieces[key]


@dataclass(frozen=True, slots=True)
class _Change:
    """What differs from the clean network: ΔJ and Δc on rows, clean ports taken out, and ports put in."""

    rows: Ints
    matrix: Floats
    source: Floats
    removed: Ints
    more: tuple[PoleGroup, ...]
    ends: list[tuple[Ints, Ints]]


def nearby(base: Base, inverse: Floats, again: Again, closed_ohm: Floats) -> Nearby:
    """Return what solutions near a clean one share, from its inverted Jacobian."""
    import numpy as np

    system, network = base.system, again.network
    volts = np.where(system.alive, base.done.settled.high + base.done.settled.low, 0.0)
    ends = [np.concatenate([p[k] for p in base.ports]) if base.ports else np.zeros(0, int) for k in (0, 1)]
    over = volts[ends[0]] - volts[ends[1]]
    curves = [p.curve(over[s], p.parameters) for p, s in _slices(system.poles)]
    ports_of: dict[str, list[int]] = {}
    for number, address in enumerate(a for p in system.poles for a in p.addresses):
        ports_of.setdefault(address, []).append(number)
    amperes, slope = (np.concatenate([c[k] for c in curves]) if curves else np.zeros(0) for k in (0, 1))
    clean_ohm = branch_ohm(network, base.done.states, closed_ohm)
    row_of = system.reduced.row[system.reduced.node]
    named = np.flatnonzero(row_of >= 0)
    plus, minus = system.unknown[ends[0]], system.unknown[ends[1]]
    return Nearby(
        base,
        again,
        inverse,
        clean_ohm,
        again.siemens(clean_ohm),
        volts,
        plus,
        minus,
        over,
        amperes,
        slope,
        {a: tuple(n) for a, n in ports_of.items()},
        row_of,
        named[system.alive[row_of[named]]],
        inverse[plus] - inverse[minus],
        {e.address: e for e in network.elements},
    )


def _slices(poles: Sequence[PoleGroup]) -> list[tuple[PoleGroup, slice]]:
    found, at = [], 0
    for some in poles:
        found.append((some, slice(at, at + len(some.addresses))))
        at += len(some.addresses)
    return found


@dataclass(frozen=True, slots=True)
class _Straight:
    """What is straight of a change: `rows` (unknowns), `seen` Z and `first` d₀ by port, and what gives q from n.

    q = `pushed` − `gained`·(`own`·`pushed` + `back`·n), with `own` G_RR and `back` G_RP. `plus` and `minus` (ports,)
    are unknowns, those of ports put in at the end; `size` (ports,) is what each port sees of itself.
    """

    rows: Ints
    plus: Ints
    minus: Ints
    pushed: Floats
    gained: Floats
    own: Floats
    back: Floats
    seen: Floats
    first: Floats
    size: Floats


def _straight(near: Nearby, change: _Change) -> _Straight | None:
    """Return what is straight of a change; None where it cuts something off, as far as digits go."""
    import numpy as np

    unknown, inverse = near.base.system.unknown, near.inverse
    plus, minus = (
        np.concatenate([ends, *(unknown[e[k]] for e in change.ends)])
        for k, ends in enumerate((near.plus, near.minus))
    )
    rows = unknown[change.rows]
    by_row = inverse[rows]
    own, back = by_row[:, rows], by_row[:, plus] - by_row[:, minus]
    count = len(near.plus)
    to = np.empty((len(plus), len(rows)))
    to[:count] = near.from_ports[:, rows]
    to[count:] = inverse[plus[count:, None], rows] - inverse[minus[count:, None], rows]
    pushed = change.matrix @ near.volts[change.rows] + change.source
    try:
        freed = np.linalg.inv(np.eye(len(rows)) + own @ change.matrix)
    except np.linalg.LinAlgError:
        return None
    if not np.abs(freed).max(initial=0.0) < DIGITS:
        return None
    gained = change.matrix @ freed
    first = -to @ (pushed - gained @ (own @ pushed))
    ports = _port_port(near, plus, minus)
    seen = ports - (to @ gained) @ back
    size = np.maximum(np.abs(np.diagonal(ports)), np.abs(np.diagonal(seen)))
    return _Straight(rows, plus, minus, pushed, gained, own, back, seen, first, size)


def _newton(near: Nearby, change: _Change, start: Floats) -> Floats | None:
    """Return the deviation of all unknowns and of the grounded post, (unknowns + 1,); None where none is found.

    `start` (rows,) is a deviation to start from.
    """
    import numpy as np

    straight = _straight(near, change)
    if straight is None:
        return None
    curves = _Curves.of(near, change)
    deviation = np.append(start, 0.0)[np.append(near.base.system.kept, -1)]
    d = deviation[straight.plus] - deviation[straight.minus]
    for _ in range(ROUNDS):
        step = _step(straight, d, *curves.bent(d))
        longest = float(np.abs(step).max(initial=0.0)) if step is not None else np.inf
        if step is None or not np.isfinite(longest):
            return None
        d = d + step * min(1.0, STEP_LIMIT_V / max(longest, STEP_LIMIT_V))
        if longest < ENOUGH_V:
            break
    else:
        return None
    n, _ = curves.bent(d)
    through = straight.pushed - straight.gained @ (straight.own @ straight.pushed + straight.back @ n)
    found = -near.inverse[:, straight.rows] @ through
    count = len(near.plus)
    found[:-1] -= near.base.port_columns @ n[:count]
    if len(n) > count:
        plus, minus = straight.plus[count:], straight.minus[count:]
        found -= (near.inverse[:, plus] - near.inverse[:, minus]) @ n[count:]
    return np.asarray(found)


def _step(straight: _Straight, d: Floats, n: Floats, slope: Floats) -> Floats | None:
    """Return a Newton step across the ports; None where its matrix is singular."""
    import numpy as np

    seen = straight.seen
    rest = d - straight.first + seen @ n
    bends = np.flatnonzero(np.abs(slope) * straight.size > BENDS)
    inner = seen[bends[:, None], bends] * slope[bends]
    inner[np.arange(len(bends)), np.arange(len(bends))] += 1.0
    try:
        there = np.linalg.solve(inner, -rest[bends])
    except np.linalg.LinAlgError:
        return None
    driven = np.zeros(len(d))
    driven[bends] = slope[bends] * there
    return np.asarray(-rest - seen @ driven)


def _port_port(near: Nearby, plus: Ints, minus: Ints) -> Floats:
    """Return G between all ports, those put in at the end: (ports, ports)."""
    import numpy as np

    count, inverse = len(near.plus), near.inverse
    if len(plus) == count:
        return near.base.port_port
    found = np.empty((len(plus), len(plus)))
    found[:count, :count] = near.base.port_port
    by_row = inverse[plus[count:]] - inverse[minus[count:]]
    found[count:] = by_row[:, plus] - by_row[:, minus]
    columns = inverse[:, plus[count:]] - inverse[:, minus[count:]]
    found[:count, count:] = columns[plus[:count]] - columns[minus[:count]]
    return found


@dataclass(slots=True)
class _Curves:
    """What bends: clean ports against their tangent, those taken out, and those put in as a whole."""

    groups: list[tuple[PoleGroup, slice]]
    over: Floats
    amperes: Floats
    slope: Floats
    removed: Ints

    @staticmethod
    def of(near: Nearby, change: _Change) -> _Curves:
        import numpy as np

        more = [near.volts[plus] - near.volts[minus] for plus, minus in change.ends]
        none = np.zeros(sum(len(m) for m in more))
        return _Curves(
            _slices((*near.base.system.poles, *change.more)),
            np.concatenate([near.over, *more]),
            np.concatenate([near.amperes, none]),
            np.concatenate([near.slope, none]),
            change.removed,
        )

    def bent(self, d: Floats) -> tuple[Floats, Floats]:
        """Return n(d) and its slope, both (ports,)."""
        import numpy as np

        found, steep = np.empty_like(d), np.empty_like(d)
        now = self.over + d
        for poles, some in self.groups:
            found[some], steep[some] = poles.curve(now[some], poles.parameters)
        found[self.removed] = steep[self.removed] = 0.0
        return found - self.amperes - self.slope * d, steep - self.slope
