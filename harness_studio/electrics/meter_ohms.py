"""The meter's other uses: ohms with the power off, millivolts across a fuse, and volts if one joint were worse."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from harness_studio.model.harness import Harness
from harness_studio.network.network import Network
from harness_studio.standards import fuses, provenance
from harness_studio.tracing.graph import point_graph, way

from .returns import Metal, metal_of
from .solution import Solution, branch_of
from .solve import solve

FUSE_WAY = frozenset({"fuse", "clip"})
SEEN_OHM = 0.1
"""What a hand-held ohmmeter shows at least, its leads taken off (common practice, no source)."""


def ohms_between(
    network: Network, solution: Solution, plus: str, minus: str, metal: Metal | None = None
) -> float:
    """Return the ohms of the metal between two points with the power off, infinite where no metal joins them.

    Switches and relays stand as they are solved; loads and sources are taken out, which a real meter sees beside the
    metal, and alone where there is none.

    Raises
    ------
    KeyError
        If a point is not in the network.
    """
    import numpy as np

    metal = metal or metal_of(network, solution.ohm)
    a, b = (int(metal.node[network.index[p]]) for p in (plus, minus))
    if a == b:
        return 0.0
    if metal.label[a] != metal.label[b]:
        return math.inf
    right = np.zeros((metal.count, 1))
    right[a, 0], right[b, 0] = 1.0, -1.0
    volts = metal.differences(right)[:, 0]
    return float(volts[a] - volts[b])


def fuse_between(harness: Harness, network: Network, solution: Solution, plus: str, minus: str) -> str | None:
    """Return the fuse that the tips stand on both sides of, with nothing but it and its clips between; None if none."""
    start, end = network.index.get(plus), network.index.get(minus)
    if start is None or end is None or start == end:
        return None
    route = way(point_graph(network, solution.ohm), start, end) or []
    kinds, branches = {network.branches.kind[n] for n in route}, network.branches
    names = [branches.address[n] for n in route if branches.kind[n] == "fuse"]
    if len(names) != 1 or not kinds <= FUSE_WAY or names[0] not in harness.parts:
        return None
    return names[0] if harness.parts[names[0]].kind == "fuse" else None


@dataclass(frozen=True, slots=True)
class FuseAmperes:
    """What millivolts across a fuse mean. `note` says what was assumed on the way."""

    amperes: float
    cold_ohm: float
    source: str
    sureness: str
    note: str = ""


def fuse_amperes(style: str | None, rated_a: float, volts: float) -> FuseAmperes:
    """Return the current of a fuse from the volts across it: R = R_cold (1 + (h − 1)(I / I_rated)²), h hot over cold.

    The tips stand on the fuse itself; at its clips the contacts add their share. Solved by halving, for the drop rises
    with the current.

    Raises
    ------
    ValueError
        If the style is unknown or the rating is not above 0.
    """
    figure, hot = fuses.cold_resistance_ohm(style, rated_a), fuses.hot_ratio(style)
    size, cold = abs(volts), figure.value_ohm
    low, high = 0.0, size / cold
    for _ in range(80):
        middle = (low + high) / 2.0
        drop = middle * cold * (1.0 + (hot.value - 1.0) * (middle / rated_a) ** 2)
        low, high = (middle, high) if drop < size else (low, middle)
    sureness = provenance.lower(figure.sureness, hot.sureness) if high > 0.2 * rated_a else figure.sureness
    return FuseAmperes(math.copysign((low + high) / 2.0, volts), cold, figure.source, sureness, figure.note)


def if_worse(network: Network, solution: Solution, joint: str, added_ohm: float) -> Solution:
    """Return the solution with one joint or wire worse by so many ohms (infinite: open).

    Raises
    ------
    AddressError
        If there is no such joint.
    SolveError
        If there is no solution then.
    """
    number = branch_of(network, joint)
    ohm = network.branches.resistance_ohm.copy()
    ohm[number] += added_ohm
    changed = replace(network, branches=replace(network.branches, resistance_ohm=ohm))
    return solve(changed, before=solution.states)
