"""How far readings of a clean harness spread, because nothing in it is known exactly.

With z what one ampere at each unknown does to a reading (the adjoint), a branch of resistance R that carries I changes
the reading by I·R·(z_a − z_b)/R_edge per unit of ln R, and an element by Σ z·I per unit of its current (Tellegen's
theorem; Director and Rohrer, 1969).
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any

from harness_studio.electrics.laws.pieces import Pieces
from harness_studio.electrics.laws.poles import group_poles
from harness_studio.electrics.laws.sources import REST_V, SET_V
from harness_studio.electrics.lawset import FULL
from harness_studio.electrics.stamps import group
from harness_studio.model.harness import Harness
from harness_studio.network.network import Element, Network

from .probes import Probe, reach
from .state import SOURCE, State

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]
    Ints = NDArray[np.int64]

WIRE, UNKNOWN_LENGTH, LOAD = 0.10, 0.35, 0.05
"""Standard deviations of wires, of wires of unknown length, and of the current of loads, as a part of them."""
TIMES = 2.0
"""One standard deviation of a contact: so many times more or less (lognormal about what is usual)."""
MEAN = math.exp(0.5 * math.log(TIMES) ** 2)
CONTACT = math.sqrt(math.exp(math.log(TIMES) ** 2) - 1.0)
"""Mean of a contact against what is usual, and its standard deviation as a part of that mean."""
SURE_KINDS = ("wire", "body", "fuse", "through", SOURCE)
SOURCE_V = 0.2
"""Standard deviation of a source."""
SOURCES = {"battery": ("rest_v", REST_V), "alternator": ("set_v", SET_V), "dynamo": ("set_v", SET_V)}


@dataclass(slots=True)
class Uncertain:
    """What is uncertain in a state: standard deviations by branch as a part of it, and what each element puts in.

    `ohm` (branches,) are resistances as solved; `put_in` (elements, unknowns + 1) is by how much one standard deviation
    of an element changes the current into each unknown, `names` their addresses; `ends` (elements, 2) are the points
    across which a load has its volts, -1 of what is no load.
    """

    deviation: Floats
    ohm: Floats
    put_in: Any
    names: tuple[str, ...]
    ends: Ints


def uncertain(harness: Harness, state: State) -> Uncertain:
    """Return what is uncertain in a state."""
    import numpy as np
    from scipy.sparse import csr_matrix

    branches = state.network.branches
    deviation = np.array(
        [_deviation(harness, k, a) for k, a in zip(branches.kind, branches.address, strict=True)]
    )
    kinds = {e.address: e.kind for e in state.network.elements}
    names: dict[str, int] = {}
    rows: list[Ints] = []
    columns: list[Ints] = []
    values: list[Floats] = []

    def put(addresses: list[str], points: Ints, amperes: Floats) -> None:
        """Take changes of currents into elements, by address and point."""
        rows.append(np.array([names.setdefault(a, len(names)) for a in addresses], dtype=np.int64))
        columns.append(np.where(state.first[points] >= 0, state.unknown[state.first[points]], -1))
        values.append(-amperes)

    for addresses, points, amperes in _into(state, state.base.done.pieces):
        load = np.array([kinds.get(a) not in SOURCES for a in addresses], dtype=bool)
        put(addresses, points, np.where(load, LOAD, 0.0) * amperes)
    for element in state.network.elements:
        if element.kind in SOURCES:
            for way, some in zip((-1.0, 1.0), _sources(state, element), strict=True):
                for addresses, points, amperes in _into(state, some):
                    put(addresses, points, way * amperes)
    size = (max(len(names), 1), len(state.inverse))
    where = np.concatenate(columns) if columns else np.zeros(0, dtype=np.int64)
    on = np.flatnonzero(where >= 0)
    both = [np.concatenate(some)[on] if some else np.zeros(0) for some in (values, rows)]
    put_in = csr_matrix((both[0], (both[1].astype(np.int64), where[on])), size)
    return Uncertain(deviation, state.base.done.ohm, put_in, tuple(names), _ends(state, tuple(names)))


def _ends(state: State, names: Sequence[str]) -> Ints:
    import numpy as np

    found = np.full((max(len(names), 1), 2), -1, dtype=np.int64)
    elements = {e.address: e for e in state.network.elements}
    for n, name in enumerate(names):
        points = list(elements[name].terminals.values()) if name in elements else []
        if len(points) == 2 and elements[name].kind not in SOURCES:
            found[n] = points
    return found


def _into(state: State, pieces: Pieces) -> Iterator[tuple[list[str], Ints, Floats]]:
    """Yield the currents into elements at the clean volts: addresses, points and amperes, all of one length."""
    import numpy as np

    for stamps in group(pieces.stamps):
        at = state.point_volts(stamps.terms.ravel()).reshape(stamps.terms.shape)
        amperes = np.einsum("eij,ej->ei", stamps.siemens, at - at[:, :1]) + stamps.amperes
        addresses = [a for a in stamps.addresses for _ in range(stamps.terms.shape[1])]
        yield addresses, stamps.terms.ravel(), amperes.ravel()
    for poles in group_poles(pieces.poles):
        over = state.point_volts(poles.plus) - state.point_volts(poles.minus)
        flow, _ = poles.curve(over, poles.parameters)
        yield list(poles.addresses), poles.plus, flow
        yield list(poles.addresses), poles.minus, -flow


def _sources(state: State, element: Element) -> tuple[Pieces, Pieces]:
    """Return a source by its law as it is, and as it is with its volts higher by a standard deviation."""
    name, usual = SOURCES[element.kind]
    value = getattr(element.ratings, name) or usual
    higher = replace(element, ratings=replace(element.ratings, **{name: value + SOURCE_V}))
    before, after = (
        FULL.pieces(replace(state.network, elements=(e,)), state.base.done.states) for e in (element, higher)
    )
    return before, after


def _deviation(harness: Harness, kind: str, address: str) -> float:
    if kind == "wire":
        wire = harness.wires.get(address)
        return WIRE if wire is not None and (wire.length_mm is not None or wire.runs) else UNKNOWN_LENGTH
    if kind == SOURCE:
        return 0.0
    if kind in ("body", "fuse", "through"):
        return WIRE
    return CONTACT


def at_their_mean(harness: Harness, network: Network) -> Network:
    """Return the network with contacts at the mean of what they may be, which is above what is usual."""
    import numpy as np

    known = {j.id for j in harness.joints.values() if j.mohm is not None}
    branches = network.branches
    times = np.array(
        [
            1.0 if k in SURE_KINDS or a in known else MEAN
            for k, a in zip(branches.kind, branches.address, strict=True)
        ]
    )
    return replace(network, branches=replace(branches, resistance_ohm=branches.resistance_ohm * times))


def spread_of_ohms(state: State, what: Uncertain, probe: Probe) -> float:
    """Return the standard deviation of a reading in ohms with the power off."""
    import numpy as np

    at = reach(state, probe)
    on = state.edge_of >= 0
    over = (at[state.unknown[state.a]] - at[state.unknown[state.b]]) / state.ohm
    return float(np.linalg.norm((over**2)[state.edge_of[on]] * what.ohm[on] * what.deviation[on]))
