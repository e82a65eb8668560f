"""Which loads return through which ground studs and mounts, and how much of each: one solve for all studs together."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

from harness_studio.electrics.returns import Metal
from harness_studio.electrics.sinks import sink_of
from harness_studio.electrics.solution import Solution
from harness_studio.network.network import Network

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]

SOME = 0.05
"""Share from which a load is said to return through a stud."""


@dataclass(frozen=True, slots=True)
class Stud:
    """A stud on metal, or a case's mount: its joint, the point the returns are joined to, what passes it."""

    joint: str
    point: int
    amperes: float
    ohm: float
    rise_v: float


@dataclass(frozen=True, slots=True)
class Studs:
    """All studs, and the share of a unit current from each node that passes each: `share[stud, node]`, unsigned."""

    studs: tuple[Stud, ...]
    share: Floats
    metal: Metal

    def through(self, point: int) -> Iterator[tuple[Stud, float]]:
        """Yield (stud, share) of the studs that a current put in at a point passes to a good part, most first."""
        column = self.share[:, self.metal.node[point]].tolist()
        for number in sorted(range(len(column)), key=lambda n: -column[n]):
            if column[number] >= SOME:
                yield self.studs[number], column[number]


def studs_of(network: Network, solution: Solution, metal: Metal) -> Studs:
    """Return the studs of a solved network.

    One adjoint solve with a right-hand side per stud, as for the shares of a joint (reciprocity of resistive networks).
    """
    import numpy as np

    branches, volts = network.branches, solution.volts
    number = [n for n, kind in enumerate(branches.kind) if kind in ("stud", "mount")]
    studs = tuple(
        Stud(
            branches.address[n],
            int(branches.a[n]),
            float(solution.amperes[n]),
            float(solution.ohm[n]),
            float(volts[branches.a[n]]),
        )
        for n in number
    )
    share = np.zeros((len(studs), metal.count))
    for label in dict.fromkeys(metal.label[metal.node[branches.a[number]]].tolist()):
        for node, weight in sink_of(network, solution, metal, int(label)).nodes:
            share += weight * metal.unit_drop(node, number)
    return Studs(studs, np.abs(share), metal)


def path_ohm(metal: Metal, sink: int, points: Mapping[str, int]) -> dict[str, float]:
    """Return the resistance of all metal between a node and each point, by name; points elsewhere are left out.

    R = eᵀ G⁻¹ e with the sink's row taken out of G (driving-point resistance).
    """
    import numpy as np

    factored = metal.factor_for(sink)
    here = {name: int(factored.row[metal.node[point]]) for name, point in points.items()}
    rows = {name: row for name, row in here.items() if row >= 0}
    if not rows:
        return {}
    right = np.zeros((len(factored.kept), len(rows)))
    for column, row in enumerate(rows.values()):
        right[row, column] = 1.0
    volts = factored.solve(right)
    return {name: float(volts[row, column]) for column, (name, row) in enumerate(rows.items())}
