"""How far readings of a clean harness spread, because nothing in it is known exactly.

With λ the volts that one ampere at the reading's tips would make in the linearised network (the adjoint), a branch
that carries I changes the reading by I·(λ_a − λ_b) per unit of ln R, and an element by Σ λ·I per unit of its current
(Tellegen's theorem; Director and Rohrer, 1969).
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from harness_studio.model.harness import Harness

from .predict import Predicted

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]

WIRE, UNKNOWN_LENGTH, CONTACT, LOAD = 0.10, 0.35, 0.69, 0.05
"""Standard deviations of ln R of wires, of wires of unknown length, of joints, and of the current of loads."""
SOURCE_V, SOURCE_OHM = 0.2, 0.01
"""Standard deviation of a source, and the resistance taken where its own is not known."""
SOURCES = frozenset({"battery", "alternator", "dynamo"})


def sensitivity(harness: Harness, at: Predicted, plus: str, minus: str) -> dict[str, float]:
    """Return what one standard deviation of each uncertain thing does to volts from plus to minus, by address."""
    import numpy as np

    network, base = at.network, at.base
    volts = _everywhere(at, np.nan_to_num(base.done.point_volts), np.zeros(network.size))
    adjoint = _adjoint(at, network.index[plus]) - _adjoint(at, network.index[minus])
    branches, edge = network.branches, at.metal.edge
    on = np.flatnonzero(edge >= 0)
    siemens = np.zeros(len(branches))
    siemens[on] = at.metal.siemens[edge[on]]
    amperes = siemens * (volts[branches.a] - volts[branches.b])
    per_log = amperes * (adjoint[branches.a] - adjoint[branches.b])
    found = {
        branches.address[n]: float(per_log[n]) * _spread(harness, branches.kind[n], branches.address[n])
        for n in on.tolist()
        if abs(per_log[n]) > 1e-9
    }
    put_in = np.zeros(network.size)
    np.add.at(put_in, branches.a, amperes)
    np.add.at(put_in, branches.b, -amperes)
    for element in network.elements:
        names = list(element.terminals.values())
        if element.kind in SOURCES and len(names) >= 2:
            ohm = (getattr(element.ratings, "internal_mohm", None) or SOURCE_OHM * 1e3) / 1e3
            change = SOURCE_V / ohm * float(adjoint[names[0]] - adjoint[names[1]])
        else:
            change = LOAD * float(sum(adjoint[t] * put_in[t] for t in names))
        if abs(change) > 1e-9:
            found[f"element {element.address}"] = change
    return found


def _spread(harness: Harness, kind: str, address: str) -> float:
    if kind == "wire":
        wire = harness.wires.get(address)
        return WIRE if wire is not None and (wire.length_mm is not None or wire.runs) else UNKNOWN_LENGTH
    return WIRE if kind in ("body", "fuse", "through") else CONTACT


def _everywhere(at: Predicted, known: Floats, put_in: Floats) -> Floats:
    """Return volts of all points from those at elements and what is put in between, (points,)."""
    import numpy as np

    volts = np.where(at.metal.inner < 0, known, 0.0)
    if at.metal.lu is not None:
        free = np.flatnonzero(at.metal.inner >= 0)
        volts[free] = at.metal.lu.solve(put_in[free] - at.metal.to_edge @ volts)
    return volts


def _adjoint(at: Predicted, point: int) -> Floats:
    import numpy as np

    base, metal = at.base, at.metal
    put_in = np.zeros(at.network.size)
    put_in[point] = 1.0
    weight = put_in.copy()
    if metal.lu is not None and metal.inner[point] >= 0:
        free = np.flatnonzero(metal.inner >= 0)
        weight = -(metal.to_edge.T @ metal.lu.solve(put_in[free]))
        weight[free] = 0.0
    row = np.where(base.rows >= 0, base.system.unknown[np.maximum(base.rows, 0)], -1)
    right = np.zeros((len(base.system.kept), 1))
    np.add.at(right[:, 0], row[row >= 0], weight[row >= 0])
    solved = base.lu.solve(right)[:, 0]
    known = np.zeros(at.network.size)
    known[row >= 0] = solved[row[row >= 0]]
    if metal.inner[point] < 0:
        put_in[point] = 0.0
    return _everywhere(at, known, put_in)
