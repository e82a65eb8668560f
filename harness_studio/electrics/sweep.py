"""Every joint made bad, one at a time: what each reading becomes.

Making one joint worse changes one edge of the reduced network: a rank-one update. With J the Jacobian at the clean
solution, u the joint's edge and C the ports of the nonlinear elements, the exact deviation δ of all volts obeys

    δ = −J⁻¹·(u·s + C·n(δ)),    s = Δg·uᵀ(v + δ),    n(δ) = f(v + δ) − f(v) − f′(v)·δ  at the ports.

Columns J⁻¹u come from one factorisation, in chunks; the ports are iterated for all joints of a chunk at once. Joints
whose iteration does not settle, or at which a discrete state no longer fits, are solved fully. Temperatures are frozen.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any

from harness_studio.base.errors import SolveError
from harness_studio.network.network import Network

from .again import STAND_IN_OHM
from .laws.discrete import Judged, judged
from .lawset import FULL
from .newton import Settled, factored
from .passes import Pass
from .ports import at_ports, between_rows, deviations
from .solve import settle, settle_from
from .states import closed_ohm
from .system import System

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]
    Ints = NDArray[np.int64]
    Bools = NDArray[np.bool_]

CHUNK = 512
"""Right-hand sides at a time: bounds memory, and lets a long sweep be cancelled."""
OPEN_OHM = 1e15
"""What stands for an open joint: microvolts away from none at all."""


@dataclass(frozen=True, slots=True)
class Swept:
    """A chunk of joints, each at its added resistance.

    Parameters
    ----------
    joints
        Addresses of the joints, column by column.
    volts
        Volts of each point that an element touches, shape (points, columns); other points are NaN.
    solved_fully
        Which columns were re-solved instead of updated.
    failed
        Which columns have no solution.
    """

    joints: tuple[tuple[str, ...], ...]
    volts: Floats
    solved_fully: Bools
    failed: Bools


@dataclass(slots=True)
class Base:
    """The clean state that a sweep starts from: the pass, its factors, and what nonlinear ports need.

    `over`, `amperes`, `slope` (ports,) are the clean volts across the ports, their currents and slopes.
    """

    network: Network
    done: Pass
    lu: Any
    ports: tuple[tuple[Ints, Ints], ...]
    port_columns: Floats
    port_port: Floats
    over: Floats
    amperes: Floats
    slope: Floats
    judged: Judged
    rows: Ints

    @property
    def system(self) -> System:
        """The equations of the clean state."""
        return self.done.system


Cancelled = Callable[[], bool]


def prepare(network: Network, *, warm: bool = True) -> Base:
    """Solve the state that a sweep starts from and factor its Jacobian.

    Raises
    ------
    SolveError
        If that state has no solution.
    """
    import numpy as np

    done, _ = settle(network, warm=warm)
    ohm = done.ohm.copy()
    joints = [n for n in network.joints.values() if ohm[n] == 0.0]
    if joints:
        ohm[joints] = STAND_IN_OHM
        done = settle_from(network, FULL, ohm, done)
    system = done.system
    lu = factored(system.jacobian(done.settled.high))
    ports = system.pole_rows
    total = sum(len(plus) for plus, _ in ports)
    columns = np.zeros((len(system.kept), total))
    at = 0
    for plus, minus in ports:
        for k in range(len(plus)):
            for row, sign in ((plus[k], 1.0), (minus[k], -1.0)):
                if system.unknown[row] >= 0:
                    columns[system.unknown[row], at + k] += sign
        at += len(plus)
    solved = np.concatenate([lu.solve(part) for part in _parts(columns)], axis=1) if total else columns
    rows = system.reduced.row[system.reduced.node]
    clean = _at_ports(system, np.where(system.alive, done.settled.high + done.settled.low, 0.0))
    base = Base(network, done, lu, ports, solved, solved[:0], *clean, judged(network, done.states), rows)
    base.port_port = at_ports(base, solved)
    return base


def _at_ports(system: System, volts: Floats) -> tuple[Floats, Floats, Floats]:
    """Return the volts across all ports, their currents and their slopes, each (ports,)."""
    import numpy as np

    none = np.zeros(0)
    over = [volts[plus] - volts[minus] for plus, minus in system.pole_rows]
    curves = [p.curve(v, p.parameters) for p, v in zip(system.poles, over, strict=True)]
    amperes, slope = ([c[k] for c in curves] for k in (0, 1))
    return np.concatenate([none, *over]), np.concatenate([none, *amperes]), np.concatenate([none, *slope])


def _parts(columns: Floats) -> Iterator[Floats]:
    import numpy as np

    for start in range(0, columns.shape[1], CHUNK):
        yield np.ascontiguousarray(columns[:, start : start + CHUNK])


def sweep(
    base: Base, added_ohm: float, only: Sequence[str] | None = None, cancelled: Cancelled = lambda: False
) -> Iterator[Swept]:
    """Yield every joint with `added_ohm` on top of what it has (inf: open), in chunks.

    Joints in series in one chain have the same effect and share a column. Joints that carry nothing (open, dangling,
    in a contact that is not made) are left out.

    Parameters
    ----------
    base
        The state to start from.
    added_ohm
        Added resistance in ohms.
    only
        Addresses of joints; all by default.
    cancelled
        Asked before each chunk; ends the sweep.
    """
    import numpy as np

    edge_of = base.system.reduced.edge_of
    by_edge: dict[int, list[str]] = {}
    wanted = base.network.joints if only is None else only
    for address in wanted:
        number = base.network.joints.get(address)
        if number is None or edge_of[number] < 0 or base.network.branches.address[number] != address:
            continue
        by_edge.setdefault(int(edge_of[number]), []).append(address)
    edges = list(by_edge)
    for start in range(0, len(edges), CHUNK):
        if cancelled():
            return
        some = edges[start : start + CHUNK]
        yield _chunk(base, np.array(some, dtype=np.int64), [tuple(by_edge[e]) for e in some], added_ohm)


def _chunk(base: Base, edges: Ints, joints: list[tuple[str, ...]], added_ohm: float) -> Swept:
    import numpy as np

    system, high = base.system, base.done.settled.high + base.done.settled.low
    a, b = system.reduced.a[edges], system.reduced.b[edges]
    g = system.edge_siemens[edges]
    added = OPEN_OHM if math.isinf(added_ohm) else added_ohm
    change = 1.0 / (1.0 / g + added) - g
    right = np.zeros((len(system.kept), len(edges)))
    for row, sign in ((a, 1.0), (b, -1.0)):
        at = system.unknown[row]
        inside = np.flatnonzero(at >= 0)
        right[at[inside], inside] += sign
    columns = base.lu.solve(right)
    across = np.where(system.alive[a], high[a] - high[b], 0.0)
    left = 1.0 + change * _between(system, columns, a, b)
    back = between_rows(system, base.port_columns, a, b)
    delta, near, settled = deviations(base, columns, back, change, left, across)
    rows = np.repeat(np.where(system.alive, high, np.nan)[:, None], len(edges), axis=1)
    rows[system.kept] += delta
    volts = np.full((base.network.size, len(edges)), np.nan)
    on = base.rows >= 0
    volts[on] = rows[base.rows[on]]
    under, over = base.judged.outside(volts)
    fully = ~settled | (under | over).any(axis=0) | ~np.isfinite(delta).all(axis=0)
    failed = np.zeros(len(edges), dtype=bool)
    for column in np.flatnonzero(fully).tolist():
        start = np.nan_to_num(rows[:, column]) if near[column] else None
        solved = _full(base, joints[column][0], added_ohm, start)
        failed[column] = solved is None
        volts[:, column] = np.nan if solved is None else solved
    return Swept(tuple(joints), volts, fully, failed)


def _between(system: System, columns: Floats, a: Ints, b: Ints) -> Floats:
    """Return column k's value at a[k] minus that at b[k]."""
    import numpy as np

    index = np.arange(len(a))
    at_a, at_b = system.unknown[a], system.unknown[b]
    first = np.where(at_a >= 0, columns[at_a, index], 0.0)
    second = np.where(at_b >= 0, columns[at_b, index], 0.0)
    found: Floats = first - second
    return found


def _full(base: Base, joint: str, added_ohm: float, start: Floats | None = None) -> Floats | None:
    """Return the volts of all points that elements touch, with the joint made worse, by a full solution.

    `start` holds volts near it, (rows,), where they are known better than those of the base.
    """
    import numpy as np

    number = base.network.joints[joint]
    ohm = closed_ohm(base.network, base.done.ohm)
    ohm[number] += added_ohm
    last = base.done
    if start is not None:
        last = replace(last, settled=Settled(start, np.zeros_like(start), base.lu, 0, exact=False))
    try:
        return settle_from(base.network, FULL, ohm, last).point_volts
    except SolveError:
        return None
