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
from .again_ports import Change, bent_volts
from .laws.catalogue import pieces_of
from .laws.discrete import Bounds, bounds_of, judged
from .laws.pieces import Pieces
from .laws.poles import group_poles
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

_Part = tuple[Sequence[int], Sequence[float], Sequence[float]]
"""Rows, conductances row by row, and amperes."""


@dataclass(slots=True)
class Nearby:
    """What solutions near a clean one share.

    `inverse` is J⁻¹ with a last row and column of zeros, `by_column` its transpose; `ohm` (branches,) and `siemens`
    (edges,), of the shared edges, are those of the clean states; `plus`, `minus` (ports,) unknowns at the ports;
    `from_ports` (ports, unknowns + 1) what an ampere at each unknown does to them; `ports_of` tells those of an
    element; `row_of` (points,) is the row of each point, `named` are points that have a live one.
    """

    base: Base
    again: Again
    inverse: Floats
    by_column: Floats
    ohm: Floats
    siemens: Floats
    volts: Floats
    plus: Ints
    minus: Ints
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
        solved = bent_volts(self, change, np.zeros(len(self.volts)) if start is None else start - self.volts)
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

    def _change(self, states: Mapping[str, str], ohm: Floats) -> Change | None:
        import numpy as np

        clean = self.base.done.states
        turned = [e for e, s in states.items() if clean[e] != s]
        reduced = self.again.reduced
        edges = np.unique(reduced.edge_of[np.flatnonzero(ohm != self.ohm)])
        edges = edges[edges >= 0]
        siemens = self.again.siemens(ohm) if len(edges) else self.siemens
        parts: list[_Part] = []
        for edge in edges.tolist():
            g = float(siemens[edge] - self.siemens[edge])
            parts.append(((int(reduced.a[edge]), int(reduced.b[edge])), (g, -g, -g, g), (0.0, 0.0)))
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
        where = [[place[r] for r in some] for some, _, _ in parts]
        at_rows = [r for mine in where for r in mine for _ in mine]
        at_columns = [c for mine in where for _ in mine for c in mine]
        np.add.at(matrix, (at_rows, at_columns), [g for _, stamp, _ in parts for g in stamp])
        np.add.at(source, [r for mine in where for r in mine], [i for _, _, some in parts for i in some])
        at = np.array(rows, dtype=np.int64)
        return Change(at, matrix, source, np.array(removed, dtype=np.int64), more, ends)

    def _part(self, stamp: Stamp, way: float) -> _Part:
        rows = [int(self.row_of[t]) for t in stamp.terms]
        return rows, [way * g for some in stamp.siemens for g in some], [way * i for i in stamp.amperes]

    def _pieces(self, element: str, states: Mapping[str, str]) -> Pieces:
        key = (element, states[element])
        if key not in self.pieces:
            alone = replace(self.again.network, elements=(self.elements[element],))
            self.pieces[key] = pieces_of(alone, states)
        return self.pieces[key]


def nearby(base: Base, inverse: Floats, by_column: Floats, again: Again, closed_ohm: Floats) -> Nearby:
    """Return what solutions near a clean one share, from its inverted Jacobian and the transpose of that."""
    import numpy as np

    system, network = base.system, again.network
    volts = np.where(system.alive, base.done.settled.high + base.done.settled.low, 0.0)
    ends = [np.concatenate([p[k] for p in base.ports]) if base.ports else np.zeros(0, int) for k in (0, 1)]
    ports_of: dict[str, list[int]] = {}
    for number, address in enumerate(a for p in system.poles for a in p.addresses):
        ports_of.setdefault(address, []).append(number)
    clean_ohm = branch_ohm(network, base.done.states, closed_ohm)
    row_of = system.reduced.row[system.reduced.node]
    named = np.flatnonzero(row_of >= 0)
    plus, minus = system.unknown[ends[0]], system.unknown[ends[1]]
    return Nearby(
        base,
        again,
        inverse,
        by_column,
        clean_ohm,
        again.siemens(clean_ohm),
        volts,
        plus,
        minus,
        {a: tuple(n) for a, n in ports_of.items()},
        row_of,
        named[system.alive[row_of[named]]],
        inverse[plus] - inverse[minus],
        {e.address: e for e in network.elements},
    )
