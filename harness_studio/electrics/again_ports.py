"""Newton's method on the ports that bend, for a network near one that is solved and inverted (see `again_near`)."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from .bends import held
from .laws.poles import PoleGroup

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    from .again_near import Nearby

    Floats = NDArray[np.float64]
    Ints = NDArray[np.int64]

ROUNDS, ENOUGH_V, STEP_LIMIT_V = 24, 1e-4, 20.0
"""Iterations, the step below which they end (what stands without current is found slowly), and the longest step."""
BENDS = 1e-2
"""Change of a port's slope against what it sees, below which it counts as straight for a step."""
DIGITS = 1e7
"""Times that what is cut off magnifies the error of an inverse, beyond which it is solved anew."""


@dataclass(frozen=True, slots=True)
class Change:
    """What differs from the clean network: ΔJ and Δc on rows, clean ports taken out, and ports put in."""

    rows: Ints
    matrix: Floats
    source: Floats
    removed: Ints
    more: tuple[PoleGroup, ...]
    ends: list[tuple[Ints, Ints]]


def slices(poles: Sequence[PoleGroup]) -> list[tuple[PoleGroup, slice]]:
    """Return each group of poles with where its ports lie among all."""
    found, at = [], 0
    for some in poles:
        found.append((some, slice(at, at + len(some.addresses))))
        at += len(some.addresses)
    return found


@dataclass(frozen=True, slots=True)
class _Straight:
    """What is straight of a change: `rows` (unknowns), `first` d₀ by port, and what gives q and Z from n.

    q = `pushed` − `gained`·(`own`·`pushed` + `back`·n) and Z = `ports` − `to`·`back`, with `own` G_RR, `back` G_RP,
    `ports` G_PP and `to` G_PR·`gained`. `plus` and `minus` (ports,) are unknowns, those of ports put in at the end;
    `size` (ports,) is what each port sees of itself.
    """

    rows: Ints
    plus: Ints
    minus: Ints
    pushed: Floats
    gained: Floats
    own: Floats
    back: Floats
    ports: Floats
    to: Floats
    first: Floats
    size: Floats

    def seen(self, amperes: Floats) -> Floats:
        """Return Z times currents, (ports,)."""
        found: Floats = self.ports @ amperes - self.to @ (self.back @ amperes)
        return found

    def among(self, some: Ints) -> Floats:
        """Return Z between some ports."""
        found: Floats = self.ports[some[:, None], some] - self.to[some] @ self.back[:, some]
        return found


def _straight(near: Nearby, change: Change) -> _Straight | None:
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
    to = to @ gained
    clean = np.diagonal(ports)
    size = np.maximum(np.abs(clean), np.abs(clean - np.einsum("pr,rp->p", to, back)))
    return _Straight(rows, plus, minus, pushed, gained, own, back, ports, to, first, size)


def bent_volts(near: Nearby, change: Change, start: Floats) -> Floats | None:
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
    last = np.zeros(len(d))
    for _ in range(ROUNDS):
        step = _step(straight, d, *curves.bent(d))
        longest = float(np.abs(step).max(initial=0.0)) if step is not None else np.inf
        if step is None or not np.isfinite(longest):
            return None
        step *= min(1.0, STEP_LIMIT_V / max(longest, STEP_LIMIT_V))
        if len(step):
            most = [int(np.abs(step).argmax())]
            step *= held(step[most], last[most])
        d, last = d + step, step
        if longest < ENOUGH_V:
            break
    else:
        return None
    n, _ = curves.bent(d)
    through = straight.pushed - straight.gained @ (straight.own @ straight.pushed + straight.back @ n)
    found = -(through @ near.by_column[straight.rows])
    count = len(near.plus)
    found[:-1] -= near.base.port_columns @ n[:count]
    if len(n) > count:
        plus, minus = straight.plus[count:], straight.minus[count:]
        found -= n[count:] @ (near.by_column[plus] - near.by_column[minus])
    return np.asarray(found)


def _step(straight: _Straight, d: Floats, n: Floats, slope: Floats) -> Floats | None:
    """Return a Newton step across the ports; None where its matrix is singular."""
    import numpy as np

    rest = d - straight.first + straight.seen(n)
    bends = np.flatnonzero(np.abs(slope) * straight.size > BENDS)
    inner = straight.among(bends) * slope[bends]
    inner[np.arange(len(bends)), np.arange(len(bends))] += 1.0
    try:
        there = np.linalg.solve(inner, -rest[bends])
    except np.linalg.LinAlgError:
        return None
    driven = np.zeros(len(d))
    driven[bends] = slope[bends] * there
    return np.asarray(-rest - straight.seen(driven))


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
    columns = near.by_column[plus[count:]] - near.by_column[minus[count:]]
    found[:count, count:] = (columns[:, plus[:count]] - columns[:, minus[:count]]).T
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
    def of(near: Nearby, change: Change) -> _Curves:
        import numpy as np

        more = [near.volts[plus] - near.volts[minus] for plus, minus in change.ends]
        none = np.zeros(sum(len(m) for m in more))
        return _Curves(
            slices((*near.base.system.poles, *change.more)),
            np.concatenate([near.base.over, *more]),
            np.concatenate([near.base.amperes, none]),
            np.concatenate([near.base.slope, none]),
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
