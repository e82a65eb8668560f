"""Which other grounds the loads at a joint have, found by the metal alone."""

from __future__ import annotations

from collections.abc import Mapping

from harness_studio.model.harness import Harness
from harness_studio.network.network import Network
from harness_studio.tracing.graph import point_graph
from harness_studio.tracing.ways import other_grounds

from .shares import Shares
from .solution import Solution


def also_by(
    harness: Harness, network: Network, solution: Solution, found: Shares
) -> Mapping[str, tuple[str, ...]]:
    """Return for the return point of each load at a joint the other grounds by which it gets back.

    A point whose only way the joint is has none, and neither has one that is fed through it.
    """
    joint = branches_of(network, found.joint)
    if not joint or network.grounded is None:
        return {}
    graph, home = point_graph(network, solution.ohm), network.index[network.grounded]
    by_point: dict[str, tuple[str, ...]] = {}
    for row in found.rows:
        if row.side == "return" and row.way not in ("only", "none") and row.point not in by_point:
            start = network.index[row.point]
            by_point[row.point] = tuple(other_grounds(graph, network, joint, start, home, harness.grounds))
    return by_point


def branches_of(network: Network, joint: str) -> list[int]:
    """Return the branches of a joint, of a splice or bus bar those of its legs; empty for what is none."""
    number = network.joints.get(joint)
    if number is not None:
        return [number]
    return sorted({n for name, n in network.joints.items() if name.startswith(f"{joint}/")})
