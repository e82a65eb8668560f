"""The ports of nonlinear elements under many small changes of a solved network at once.

With J the Jacobian at the clean solution, u an edge whose conductance changes by Δg and C the ports, the exact
deviation δ of all volts obeys

    δ = −J⁻¹·(u·s + C·n(δ)),    s = Δg·uᵀ(v + δ),    n(δ) = f(v + δ) − f(v) − f′(v)·δ  at the ports.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from .bends import by_few
from .system import System

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    from .sweep import Base

    Floats = NDArray[np.float64]
    Ints = NDArray[np.int64]
    Bools = NDArray[np.bool_]

ROUNDS, OWN_ROUNDS, FAR_ROUNDS = 40, 30, 8
"""Iterations for a chunk together, for a column by itself, and for one that is still volts away."""
PLAIN_ROUNDS = 2
"""Rounds after which the few ports that bend most are brought to rest by themselves before all go on."""
KEPT = 1e-4
"""Part of a port's conductance that must be left when it blocks, or what remains of the digits is not enough."""
CUT_OFF = 1e-7
"""Where less than this of an edge's conductance is left to what lies behind it, the update loses its digits."""
SETTLED_V = 1e-7
BENDS = 1e-3
"""Change of a port's slope against what it sees, below which it counts as straight."""
STEP_LIMIT_V = 6.0
"""Longest step of a column that is solved by itself."""


@dataclass(slots=True)
class Ports:
    """A chunk's joints as the ports see them: δ = start − (Z − to·gain·from)·n, column by column.

    `to` is CᵀJ⁻¹u (ports, columns), `back` uᵀJ⁻¹C (columns, ports), `gain` Δg/(1 + Δg·uᵀJ⁻¹u) (columns,).
    """

    to: Floats
    back: Floats
    gain: Floats
    across: Floats
    mutual: Floats

    def current(self, n: Floats, columns: Ints) -> Floats:
        """Return s, what flows through the joint beside what its clean resistance would carry; (columns,)."""
        import numpy as np

        found: Floats = self.gain[columns] * (
            self.across[columns] - np.einsum("ep,pe->e", self.back[columns], n)
        )
        return found


def deviations(
    base: Base, columns: Floats, back: Floats, change: Floats, left: Floats, across: Floats, few: bool = False
) -> tuple[Floats, Bools, Bools]:
    """Find the deviation of the unknowns, (unknowns, columns), which columns came near, and which settled.

    Column by column one edge u is changed by `change` in conductance: `columns` is J⁻¹u (unknowns, columns), `back`
    uᵀJ⁻¹C (columns, ports), `across` uᵀv, and `left` 1 + Δg·uᵀJ⁻¹u, what is left of each edge's conductance to what
    lies behind it. A column that came near has lost digits.

    First all columns at once with the clean factors; those that bend too far for that one by one with Newton's method
    on the ports that bend. With `few` the ports that bend most are brought to rest for each column before all go on:
    quicker, but a column is then said to have settled that may have lost digits.
    """
    import numpy as np

    cut_off = np.abs(left) < CUT_OFF
    left = np.where(cut_off, 1.0, left)
    at = Ports(
        at_ports(base, columns),
        back,
        change / left,
        across,
        base.port_port,
    )
    bent, settled = _all_at_once(base, at, np.flatnonzero(~cut_off) if few else np.arange(len(change)), few)
    near = settled.copy()
    some = np.flatnonzero(~settled & ~cut_off)
    bent[:, some], near[some], settled[some] = _each_by_itself(base, at, some)
    share = at.current(bent, np.arange(len(change)))
    return -columns * share - base.port_columns @ bent, near & ~cut_off, settled & ~cut_off


def _all_at_once(base: Base, at: Ports, active: Ints, few: bool) -> tuple[Floats, Bools]:
    """Iterate some columns until they settle; return n (ports, columns) of all, and which settled.

    With `few` the ports that bend most are brought to rest for each column before all go on, after a few rounds.
    """
    import numpy as np

    count = len(at.gain)
    bent = np.zeros((len(at.mutual), count))
    ports = np.zeros_like(bent)
    settled = np.zeros(count, dtype=bool)
    last = np.full(count, np.inf)
    for number in range(ROUNDS):
        n = bent[:, active]
        now = -at.to[:, active] * at.current(n, active)
        if number:
            now -= at.mutual @ n
        moved = np.abs(now - ports[:, active]).max(axis=0, initial=0.0)
        ports[:, active] = now
        done = moved < SETTLED_V
        settled[active[done]] = True
        going = ~done & ((moved < 0.7 * last[active]) | (few and number <= PLAIN_ROUNDS + 2))
        last[active] = moved
        active = active[going]
        if not len(active):
            break
        d = now[:, going]
        bends = _bend(base, d)[0]
        if few and number >= PLAIN_ROUNDS:
            ports[:, active], bends = by_few(base, at, active, d, bent[:, active], bends)
        bent[:, active] = bends
    return bent, settled


def _each_by_itself(base: Base, at: Ports, columns: Ints) -> tuple[Floats, Bools, Bools]:
    """Solve columns' ports by Newton's method, each for itself.

    Returns
    -------
    n, near, settled
        n (ports, columns), which came near, and which settled to the last digit asked.
    """
    import numpy as np

    to, back, gain = at.to[:, columns], at.back[columns].T, at.gain[columns]
    own = np.maximum(np.diagonal(at.mutual)[:, None], np.abs(to * gain * back))
    start = -to * gain * at.across[columns]
    delta, bent = start.copy(), np.zeros_like(start)
    near, settled = np.zeros(len(columns), dtype=bool), np.zeros(len(columns), dtype=bool)
    going = np.arange(len(columns))
    for round_number in range(OWN_ROUNDS):
        if not len(going):
            break
        n, slope = _bend(base, delta[:, going])
        through = gain[going] * np.einsum("pe,pe->e", back[:, going], n)
        rest = delta[:, going] - start[:, going] + at.mutual @ n - to[:, going] * through
        going_on = np.isfinite(rest).all(axis=0)
        for k in np.flatnonzero(going_on).tolist():
            column = going[k]
            found = _step(at, column, columns, slope[:, k], rest[:, k], own[:, column])
            if found is None:
                going_on[k] = False
                continue
            step, inner = found
            longest = float(np.abs(step).max(initial=0.0))
            delta[:, column] += step * min(1.0, STEP_LIMIT_V / max(longest, STEP_LIMIT_V))
            if (
                longest < SETTLED_V
            ):  # not the mismatch: behind a port that blocks, a little of it is many volts
                near[column], going_on[k] = True, False
                settled[column] = not len(inner) or bool(np.linalg.svd(inner, compute_uv=False)[-1] > KEPT)
            elif round_number >= FAR_ROUNDS and longest > STEP_LIMIT_V:
                going_on[k] = False
        going = going[going_on]
    done = np.flatnonzero(near)
    if len(done):
        bent[:, done] = _bend(base, delta[:, done])[0]
    return bent, near, settled


def _step(
    at: Ports, column: int, columns: Ints, slope: Floats, rest: Floats, own: Floats
) -> tuple[Floats, Floats] | None:
    """Return a column's Newton step and the matrix of its bending ports; None where that is singular."""
    import numpy as np

    number = columns[column]
    gained = at.to[:, number] * at.gain[number]
    bends = np.flatnonzero(np.abs(slope) * own > BENDS)
    effective = at.mutual[:, bends] - np.outer(gained, at.back[number, bends])
    inner = np.eye(len(bends)) + effective[bends] * slope[bends]
    try:
        step_there = np.linalg.solve(inner, -rest[bends])
    except np.linalg.LinAlgError:
        return None
    return -rest - effective @ (slope[bends] * step_there), inner


def between_rows(system: System, columns: Floats, a: Ints, b: Ints) -> Floats:
    """Return the values of all columns at rows a minus those at rows b: (edges, columns)."""
    import numpy as np

    at_a, at_b = system.unknown[a], system.unknown[b]
    first = np.where((at_a >= 0)[:, None], columns[at_a], 0.0)
    second = np.where((at_b >= 0)[:, None], columns[at_b], 0.0)
    found: Floats = first - second
    return found


def at_ports(base: Base, columns: Floats) -> Floats:
    """Return the volts of `columns` across each port: (ports, columns)."""
    import numpy as np

    if not base.ports:
        return np.zeros((0, columns.shape[1]))
    parts = [between_rows(base.system, columns, plus, minus) for plus, minus in base.ports]
    return np.concatenate(parts)


def _bend(base: Base, ports: Floats) -> tuple[Floats, Floats]:
    """Return f(v + δ) − f(v) − f′(v)·δ and f′(v + δ) − f′(v) at the ports, both (ports, columns)."""
    import numpy as np

    found, slopes = np.empty_like(ports), np.empty_like(ports)
    at, columns = 0, ports.shape[1]
    for poles in base.system.poles:
        some = slice(at, at + len(poles.plus))
        shifted = (base.over[some, None] + ports[some]).ravel()
        now, steep = poles.curve(shifted, np.repeat(poles.parameters, columns, axis=0))
        found[some], slopes[some] = now.reshape(-1, columns), steep.reshape(-1, columns)
        at = some.stop
    slope = base.slope[:, None]
    return found - base.amperes[:, None] - slope * ports, slopes - slope
