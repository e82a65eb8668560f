"""Hypotheses as changes of one conductance between rows: a joint made worse, a wire chafed through to metal.

A change Δg along w (volts across it: wᵀv) moves every row by −J⁻¹w·Δg·wᵀv/(1 + Δg·wᵀJ⁻¹w) (Sherman and Morrison, 1950)
where elements are straight, and by the iteration of the sweep where they bend.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from .groups import Group
from .state import State

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]
    Ints = NDArray[np.int64]
    Bools = NDArray[np.bool_]

OPEN_OHM = 1e6
"""What stands for an open joint: far above every load."""
GRID_OHM = (*tuple(0.0005 * 10.0 ** (k / 3.0) for k in range(15)), OPEN_OHM)
"""Added series resistance of the hypotheses: 0.5 mΩ to 23 Ω in thirds of a decade, and open."""
CHAFE_OHM = tuple(300.0 * 10.0 ** (-k / 6.0) for k in range(len(GRID_OHM)))
"""Resistance of a chafed place to its metal, 300 Ω to 1 Ω; less, and the fuse is blown. As many as of the grid."""


@dataclass(frozen=True, slots=True)
class Sites:
    """Where hypotheses change a state, a row each; several groups may share one.

    `keys` name them, the same for the same state.

    `rows` and `weights` are w, (sites, 4); `edge` is the edge of a series change, -1 for a chafe and for a site that
    carries nothing (`dead`); `behind_ohm` what a chafe has in series by lying within a chain. `memo` keeps what was
    worked out of them.
    """

    keys: tuple[tuple[int, int], ...]
    rows: Ints
    weights: Floats
    edge: Ints
    behind_ohm: Floats
    chafed: Bools
    dead: Bools
    memo: dict[str, Floats] = field(default_factory=dict)

    def __len__(self) -> int:
        return len(self.edge)


def sites_of(state: State, groups: Sequence[Group]) -> tuple[Sites, Ints]:
    """Return the distinct sites of groups in a state, and the site of each group, (groups,)."""
    rows: list[tuple[int, ...]] = []
    weights: list[tuple[float, ...]] = []
    edges: list[int] = []
    behind: list[float] = []
    chafed: list[bool] = []
    place: dict[tuple[int, int], int] = {}
    of_group: list[int] = []
    branches = state.network.branches
    number_of = {address: n for n, address in enumerate(branches.address)}
    edge_of = state.edge_of
    for group in groups:
        number = state.network.joints.get(group.joint, number_of.get(group.joint, -1))
        edge = int(edge_of[number]) if number >= 0 else -1
        metal = _metal(state, group) if group.fault == "chafed" and edge >= 0 else -1
        is_chafe = group.fault == "chafed" and edge >= 0 and metal >= 0
        if group.fault == "chafed" and not is_chafe:
            edge = -1
        key = (edge, metal)
        if key not in place:
            place[key] = len(edges)
            row, weight, ohm = _chafe(state, number, edge, metal) if is_chafe else _series(state, edge)
            rows.append(row)
            weights.append(weight)
            behind.append(ohm)
            edges.append(-1 if is_chafe else edge)
            chafed.append(is_chafe)
        of_group.append(place[key])
    return _sites(tuple(place), rows, weights, edges, behind, chafed), _ints(of_group)


def _ints(values: Sequence[int]) -> Ints:
    import numpy as np

    return np.array(values, dtype=np.int64)


def _sites(
    keys: tuple[tuple[int, int], ...],
    rows: list[tuple[int, ...]],
    weights: list[tuple[float, ...]],
    edges: list[int],
    behind: list[float],
    chafed: list[bool],
) -> Sites:
    import numpy as np

    edge, is_chafe = _ints(edges), np.array(chafed, dtype=bool)
    return Sites(
        keys,
        np.array(rows, dtype=np.int64).reshape(-1, 4),
        np.array(weights, dtype=np.float64).reshape(-1, 4),
        edge,
        np.array(behind, dtype=np.float64),
        is_chafe,
        (edge < 0) & ~is_chafe,
    )


def _series(state: State, edge: int) -> tuple[tuple[int, ...], tuple[float, ...], float]:
    if edge < 0:
        return (0, 0, 0, 0), (0.0, 0.0, 0.0, 0.0), 0.0
    return (int(state.a[edge]), int(state.b[edge]), 0, 0), (1.0, -1.0, 0.0, 0.0), 0.0


def _chafe(
    state: State, branch: int, edge: int, metal: int
) -> tuple[tuple[int, ...], tuple[float, ...], float]:
    part = float(state.before[branch])
    first, second = int(state.first[metal]), int(state.second[metal])
    share = float(state.part[metal])
    rows = (int(state.a[edge]), int(state.b[edge]), first, second)
    return rows, (part, 1.0 - part, -share, share - 1.0), part * (1.0 - part) * float(state.ohm[edge])


def _metal(state: State, group: Group) -> int:
    return int(state.network.index.get(group.metal, -1)) if group.metal else -1


def conductances(state: State, sites: Sites) -> Floats:
    """Return Δg of every site at every step of its grid, (sites, grid)."""
    if "conductances" not in sites.memo:
        sites.memo["conductances"] = _conductances(state, sites)
    return sites.memo["conductances"]


def _conductances(state: State, sites: Sites) -> Floats:
    import numpy as np

    series = np.where(sites.edge >= 0, state.ohm[sites.edge], 1.0)[:, None]
    added = np.array(GRID_OHM)[None]
    worse = 1.0 / (series + added) - 1.0 / series
    leak = 1.0 / (np.array(CHAFE_OHM)[None] + sites.behind_ohm[:, None])
    found: Floats = np.where(sites.chafed[:, None], leak, np.where(sites.dead[:, None], 0.0, worse))
    return found


def across(state: State, sites: Sites, rows: Floats) -> Floats:
    """Return wᵀ of values by row: (rows, ...) → (sites, ...)."""
    import numpy as np

    found: Floats = np.einsum("sk,sk...->s...", sites.weights, rows[sites.rows])
    return found


def columns(state: State, sites: Sites, which: Ints) -> Floats:
    """Return J⁻¹w of some sites, (unknowns + 1, which)."""
    import numpy as np

    found: Floats = np.ascontiguousarray(along(state, sites, which, state.by_column).T)
    return found


def along(state: State, sites: Sites, which: Ints, matrix: Floats) -> Floats:
    """Return wᵀ of a matrix with a row for each unknown and one for the grounded post, (which, columns)."""
    import numpy as np

    at, weights = state.unknown[sites.rows[which]], sites.weights[which]
    found: Floats = matrix[at[:, 0]] * weights[:, :1]
    for k in range(1, 4):
        some = np.flatnonzero(weights[:, k])
        if len(some) == len(which):
            found += matrix[at[:, k]] * weights[:, k, None]
        elif len(some):
            found[some] += matrix[at[some, k]] * weights[some, k, None]
    return found


def seen_from(state: State, sites: Sites, reach: Floats) -> Floats:
    """Return what one ampere along each site does to what has the rows of J⁻¹ `reach`: (reach, sites)."""
    import numpy as np

    found: Floats = np.einsum("psk,sk->ps", reach[:, state.unknown[sites.rows]], sites.weights)
    return found


def own_ohm(state: State, sites: Sites) -> Floats:
    """Return wᵀJ⁻¹w, what each site sees of the network, (sites,)."""
    if "own_ohm" not in sites.memo:
        import numpy as np

        every = np.arange(len(sites))
        sites.memo["own_ohm"] = mutual_ohm(state, sites, every, every)
    return sites.memo["own_ohm"]


def mutual_ohm(state: State, sites: Sites, first: Ints, second: Ints) -> Floats:
    """Return w₁ᵀJ⁻¹w₂ of pairs of sites, what an ampere along the second does to the first, (pairs,)."""
    import numpy as np

    found = np.zeros(len(first))
    at, to = state.unknown[sites.rows[first]], state.unknown[sites.rows[second]]
    for n in range(4):
        for m in range(4):
            weight = sites.weights[first, n] * sites.weights[second, m]
            found += weight * state.inverse[at[:, n], to[:, m]]
    return found
