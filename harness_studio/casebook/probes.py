"""What a reading is of a solved state: volts between two points, amperes in a wire, ohms with the power off."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

from .changes import GRID_OHM
from .state import State

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]
    Ints = NDArray[np.int64]

Kind = Literal["volts", "amperes", "ohms"]


@dataclass(frozen=True, slots=True)
class Probe:
    """Volts or ohms from point `plus` to point `minus` (indices), or amperes in the branch `branch`."""

    kind: Kind
    plus: int = -1
    minus: int = -1
    branch: int = -1


def reach(state: State, probe: Probe) -> Floats:
    """Return what one ampere at each unknown does to the probe, (unknowns + 1,).

    For ohms that is volts between the tips.
    """
    if probe.kind == "amperes":
        edge = int(state.edge_of[probe.branch])
        if edge < 0:
            nothing: Floats = 0.0 * state.inverse[0]
            return nothing
        a, b = state.unknown[state.a[edge]], state.unknown[state.b[edge]]
        found: Floats = (state.inverse[a] - state.inverse[b]) / state.ohm[edge] * sign(state, probe.branch)
        return found
    at = state.reach_of(_points(probe))
    apart: Floats = at[0] - at[1]
    return apart


def _points(probe: Probe) -> Ints:
    import numpy as np

    return np.array([probe.plus, probe.minus], dtype=np.int64)


def sign(state: State, branch: int) -> float:
    """Return 1 if a branch points along its edge, else -1."""
    network, reduced = state.network, state.base.system.reduced
    ends = [int(network.branches.a[branch]), int(network.branches.b[branch])]
    edge = int(state.edge_of[branch])
    if edge < 0:
        return 1.0

    def along(point: int) -> float:
        if state.edge_at[point] == edge:
            return float(state.part[point])
        return 1.0 if reduced.row[reduced.node[point]] == state.a[edge] else 0.0

    return 1.0 if along(ends[0]) >= along(ends[1]) else -1.0


def rows_of(state: State, probes: Sequence[Probe]) -> Ints:
    """Return the rows that the values of volts and amperes follow from."""
    import numpy as np

    found: set[int] = set()
    for probe in probes:
        if probe.kind == "volts":
            for point in (probe.plus, probe.minus):
                found.update((int(state.first[point]), int(state.second[point])))
                if state.edge_at[point] >= 0:
                    found.update((int(state.a[state.edge_at[point]]), int(state.b[state.edge_at[point]])))
        elif probe.kind == "amperes" and state.edge_of[probe.branch] >= 0:
            edge = state.edge_of[probe.branch]
            found.update((int(state.a[edge]), int(state.b[edge])))
    found.discard(-1)
    return np.array(sorted(found), dtype=np.int64)


def clean_value(state: State, probe: Probe) -> float:
    """Return what the probe reads in the clean harness, in volts, amperes or ohms."""
    if probe.kind == "amperes":
        edge = int(state.edge_of[probe.branch])
        return float(state.amperes[edge]) * sign(state, probe.branch) if edge >= 0 else 0.0
    if probe.kind == "ohms":
        return _clean_ohm(state, probe)
    volts = state.point_volts(_points(probe))
    return float(volts[0] - volts[1])


def _clean_ohm(state: State, probe: Probe) -> float:
    """Return wᵀJ⁻¹w between the tips, and what chains in which they lie put in series."""
    at = reach(state, probe)
    points = (probe.plus, probe.minus)
    total = 0.0
    for point, side in zip(points, (1.0, -1.0), strict=True):
        first, second = state.unknown[state.first[point]], state.unknown[state.second[point]]
        if state.first[point] < 0:
            return float("inf")
        total += side * float(state.part[point] * at[first] + (1.0 - state.part[point]) * at[second])
    for one, one_side in zip(points, (1.0, -1.0), strict=True):
        for other, other_side in zip(points, (1.0, -1.0), strict=True):
            total += one_side * other_side * _within(state, one, other)
    return total


def _within(state: State, one: int, other: int) -> float:
    """Return the resistance that two points share within their chain, its ends held."""
    edge = int(state.edge_at[one])
    if edge < 0 or edge != state.edge_at[other]:
        return 0.0
    nearer, farther = sorted((float(state.part[one]), float(state.part[other])), reverse=True)
    return float(state.ohm[edge]) * (1.0 - nearer) * farther


def own_side(state: State, probe: Probe, edge: Ints, before: Floats) -> Ints:
    """Return on which side of the probe's tips a series change lies, by change: 0 for another edge.

    Within the same chain it is 1 + (lies before plus) + 2·(lies before minus); for amperes of the same edge 1.
    """
    import numpy as np

    found = np.zeros(len(edge), dtype=np.int64)
    if probe.kind == "amperes":
        mine = edge == state.edge_of[probe.branch]
        return np.where(mine & (edge >= 0), 1, found)
    for bit, point in ((1, probe.plus), (2, probe.minus)):
        at = state.edge_at[point]
        if at >= 0:
            same = edge == at
            found = np.where(same, np.maximum(found, 1) + bit * (before > state.part[point]), found)
    return found


def values(state: State, probe: Probe, place: Ints, rows: Floats, edge: Ints, side: Ints) -> Floats:
    """Return what the probe reads under changes, (changes, grid).

    Parameters
    ----------
    place
        Where each row stands in `rows`, (rows of the state,).
    rows
        Volts of rows, (rows asked for, changes, grid).
    edge, side
        Edge of each change and what `own_side` gives for it, (changes,).
    """
    import numpy as np

    if probe.kind == "amperes":
        at = int(state.edge_of[probe.branch])
        if at < 0:
            return np.zeros(rows.shape[1:])
        ohm = state.ohm[at] + np.where(side > 0, 1.0, 0.0)[:, None] * np.array(GRID_OHM)[None]
        over = rows[place[state.a[at]]] - rows[place[state.b[at]]]
        found: Floats = over / ohm * sign(state, probe.branch)
        return found
    total = np.zeros(rows.shape[1:])
    for bit, point, way in ((1, probe.plus, 1.0), (2, probe.minus, -1.0)):
        if state.first[point] < 0:
            continue
        part = float(state.part[point])
        volts = part * rows[place[state.first[point]]] + (1.0 - part) * rows[place[state.second[point]]]
        at = int(state.edge_at[point])
        mine = np.flatnonzero((side > 0) & (edge == at)) if at >= 0 else ()
        if len(mine):
            lies_before = ((side[mine] - 1) & bit) > 0
            volts = volts.copy()
            first, second = rows[place[state.a[at]]][mine], rows[place[state.b[at]]][mine]
            added = np.array(GRID_OHM)[None]
            passed = state.ohm[at] * (1.0 - part) + lies_before[:, None] * added
            volts[mine] = first - (first - second) * passed / (state.ohm[at] + added)
        total = total + way * volts
    return total
