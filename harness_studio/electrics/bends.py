"""Many small changes of a solved network at once, on the few ports that bend under each.

Most changes move few loads by much. With the others taken as straight each change is a small system of its own, and
those of many changes are solved together by Newton's method.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    from .ports import Ports
    from .sweep import Base

    Floats = NDArray[np.float64]
    Ints = NDArray[np.int64]

SIZES = (6, 16, 40, 64)
"""Ports that a change may bend to be solved here, rounded up to one of these."""
LEAST_V = 1e-6
"""Volts that what a port bends by does to it at least, or it is taken as straight."""
ROUNDS, ENOUGH_V, STEP_LIMIT_V = 25, 1e-6, 6.0
HELD_V = 0.05
"""Step from which one that leads back is gone only to where a line from both ends ends."""


def by_few(
    base: Base, at: Ports, columns: Ints, d: Floats, before: Floats, n: Floats
) -> tuple[Floats, Floats]:
    """Return volts across the ports and n, (ports, columns), with the few ports that bend most at rest.

    Parameters
    ----------
    d
        Volts across the ports that `before` leads to, (ports, columns).
    before, n
        What bends as known before, and what bends at `d`, (ports, columns).
    """
    import numpy as np

    found, bent = d.copy(), n.copy()
    to, back, gain = at.to[:, columns], at.back[columns].T, at.gain[columns]
    own = np.maximum(np.abs(np.diagonal(at.mutual))[:, None], np.abs(to * gain * back))
    score = np.maximum(np.abs(n), np.abs(before)) * own
    bends = (score > LEAST_V).sum(axis=0)
    least = 0
    for size in SIZES:
        some = np.flatnonzero((bends > least) & (bends <= size))
        least = size
        if len(some) and size <= len(d):
            ports = np.argpartition(-score[:, some], size - 1, axis=0)[:size].T
            where = ports, some[:, None]
            found[where], bent[where] = _newton(base, at, columns[some], ports, d[where], before[where])
    return found, bent


def _newton(
    base: Base, at: Ports, columns: Ints, ports: Ints, led: Floats, before: Floats
) -> tuple[Floats, Floats]:
    """Return volts and n at the ports of each column, both (columns, its ports), with those led to by the others."""
    import numpy as np

    every = np.arange(ports.shape[1])
    to, back, gain = at.to[ports, columns[:, None]], at.back[columns[:, None], ports], at.gain[columns]
    seen = at.mutual[ports[:, :, None], ports[:, None]] - (to * gain[:, None])[:, :, None] * back[:, None]
    first = led + (seen @ before[:, :, None])[:, :, 0]
    curves = _Curves(base, ports)
    d, last, going = led.copy(), np.zeros_like(led), np.arange(len(columns))
    for _ in range(ROUNDS):
        n, slope = curves.bent(going, d[going])
        rest = d[going] - first[going] + (seen[going] @ n[:, :, None])[:, :, 0]
        inner = seen[going] * slope[:, None]
        inner[:, every, every] += 1.0
        try:
            step = -np.linalg.solve(inner, rest[:, :, None])[:, :, 0]
        except np.linalg.LinAlgError:
            break
        most = np.abs(step).argmax(axis=1)
        now = step[np.arange(len(step)), most]
        longest, before = np.abs(now), last[going, most]
        sound = np.isfinite(longest)
        limit = np.minimum(1.0, STEP_LIMIT_V / np.maximum(longest, STEP_LIMIT_V))
        step *= (limit * held(limit * now, before))[:, None]
        last[going] = step
        d[going[sound]] += step[sound]
        going = going[sound & (longest >= ENOUGH_V)]
        if not len(going):
            break
    return d, curves.bent(np.arange(len(columns)), d)[0]


def held(now: Floats, before: Floats) -> Floats:
    """Return the part of steps that is gone where they lead back: to where a line from both ends ends.

    Over a kink, or where a cold filament's slope is little like that on the other side of 0 V, whole steps would swing
    without end. `now` and `before` are the steps of what moves farthest, in volts, both (n,).
    """
    import numpy as np

    back = (now * before < 0.0) & (np.abs(now) > HELD_V)
    with np.errstate(divide="ignore", invalid="ignore"):
        return np.where(back, before / (before - now), 1.0)


class _Curves:
    """The curves of some ports of each column, (columns, ports)."""

    def __init__(self, base: Base, ports: Ints) -> None:
        import numpy as np

        poles = base.system.poles
        counts = [len(p.plus) for p in poles]
        kind = np.repeat(np.arange(len(poles)), counts)
        place = np.concatenate([np.arange(c) for c in counts])
        self._poles, self._kind, self._place = poles, kind[ports], place[ports]
        self._over, self._amperes, self._slope = base.over[ports], base.amperes[ports], base.slope[ports]

    def bent(self, which: Ints, d: Floats) -> tuple[Floats, Floats]:
        """Return f(v + d) − f(v) − f′(v)·d and its slope for some columns, both (columns, ports)."""
        import numpy as np

        now = (self._over[which] + d).ravel()
        kind, place = self._kind[which].ravel(), self._place[which].ravel()
        found, steep = np.empty_like(now), np.empty_like(now)
        for k, poles in enumerate(self._poles):
            some = np.flatnonzero(kind == k)
            if len(some):
                found[some], steep[some] = poles.curve(now[some], poles.parameters[place[some]])
        slope = self._slope[which]
        return found.reshape(d.shape) - self._amperes[which] - slope * d, steep.reshape(d.shape) - slope
