"""All readings that could be taken in a mode, and what each leading hypothesis makes of them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from harness_studio.model.harness import Harness

from .changes import GRID_OHM, sites_of
from .lumped import Lumped, lumped
from .observed import METER_PART, METER_V
from .posterior import FINE
from .predict import Predicted, Wanted, first_order, refine, turned
from .state import State
from .suspects import Suspects

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]
    Ints = NDArray[np.int64]

LEADING = 64
"""Groups that a proposed reading is to tell apart."""
MOST_CELLS = 300
"""Pairs of group and added resistance that stand for the posterior."""
SHOWN = 5
OFTEN = 16
"""Pairs of one point from which its products with all others are taken at once."""
ROUGH_PART = 0.2
"""Spread of a change as a part of it, before it is worked out."""


@dataclass(frozen=True, slots=True)
class Cells:
    """The posterior in few: leading groups (indices), and by cell its group, its step of the grid, and its weight.

    The last cell is 'none fits'; `place` is the group's place among the leading, or their number for the last.
    """

    groups: tuple[int, ...]
    place: Ints
    step: Ints
    weight: Floats


def cells_of(found: Suspects) -> Cells:
    """Return the most probable cells."""
    import numpy as np

    groups = tuple(g for g in found.ranked()[:LEADING] if found.probability[g] > 1e-4)
    table = coarse(found.weight[list(groups)]) if groups else np.zeros((0, len(GRID_OHM)))
    order = np.argsort(-table.ravel(), kind="stable")[:MOST_CELLS]
    order = order[table.ravel()[order] > 1e-5]
    place, step = np.unravel_index(order, table.shape)
    weight = np.append(table.ravel()[order], max(found.none_fits, 1e-6))
    place = np.append(place, len(groups)).astype(np.int64)
    return Cells(groups, place, np.append(step, 0).astype(np.int64), weight / weight.sum())


def coarse(weight: Floats) -> Floats:
    """Return a posterior over the fine grid gathered at the nearest points of the grid, (groups, grid)."""
    import numpy as np

    steps = weight.shape[1] - 1
    nearest = np.append(np.rint(np.arange(steps) / FINE).astype(np.int64), len(GRID_OHM) - 1)
    found = np.zeros((len(weight), len(GRID_OHM)))
    for column, place in enumerate(nearest.tolist()):
        found[:, place] += weight[:, column]
    return found


@dataclass(slots=True)
class Table:
    """Candidate readings of a mode.

    Parameters
    ----------
    names
        Points that may be touched; `plus` and `minus` (pairs,) count in them.
    volts
        What each cell predicts, given the readings so far, (pairs, cells).
    sigma
        Standard deviation of that, (pairs, cells).
    clean
        What the clean harness predicts, given nothing, (pairs,).
    """

    mode: str | None
    state: State
    posts: frozenset[str]
    names: tuple[str, ...]
    plus: Ints
    minus: Ints
    volts: Floats
    sigma: Floats
    clean: Floats
    plain: Floats
    cells: Cells
    at: Predicted

    def pair_names(self, n: int) -> tuple[str, str]:
        """Return the tips of a pair."""
        return self.names[int(self.plus[n])], self.names[int(self.minus[n])]

    def expected(self, n: int) -> Iterator[tuple[int, float]]:
        """Yield the leading groups with the volts that each expects."""
        import numpy as np

        for place, group in enumerate(self.cells.groups[:SHOWN]):
            mine = self.cells.place == place
            if mine.any():
                yield group, float(np.average(self.volts[n, mine], weights=self.cells.weight[mine]))


def table_of(harness: Harness, found: Suspects, cells: Cells, mode: str | None) -> Table:
    """Return the readings that could be taken in a mode.

    Raises
    ------
    SolveError
        If the mode has no solution.
    """
    import numpy as np

    known = found.known
    state = known.state(mode)
    points = known.tips_of(mode)
    at = _predicted(found, cells, state)
    plain = np.concatenate(
        [_at_cells(found, cells, state, at, points), state.point_volts(points)[:, None]], 1
    )
    names = tuple(state.network.points[p] for p in points.tolist())
    posts = frozenset(
        f"{e.address}.{t}" for e in state.network.elements if e.kind == "battery" for t in ("30", "31")
    )
    plus, minus = _pairs(found, cells, state, points, names)
    volts = plain[plus] - plain[minus]
    shared, variance = _shared(found, state, plus, minus)
    clean = volts[:, -1]
    given, left = _given(found, cells, volts, shared, variance)
    sigma = _sigma(given, left, volts - clean[:, None])
    return Table(mode, state, posts, names, plus, minus, given, sigma, clean, volts, cells, at)


def _predicted(found: Suspects, cells: Cells, state: State) -> Predicted:
    """Return volts of all rows under the leading groups, those of the cells solved fully."""
    import numpy as np

    groups = [found.groups[g] for g in cells.groups]
    sites, of_group = sites_of(state, groups)
    at, share = first_order(state, sites, np.arange(len(state.volts)))
    wanted = np.zeros(share.shape, dtype=bool)
    real = cells.place < len(groups)
    wanted[of_group[cells.place[real]], cells.step[real]] = True
    turning, _ = turned(state, sites, share)
    matters = np.ones(len(turning), dtype=bool)
    refine(at, Wanted(wanted, turning, matters), found.known.solved[state.mode])
    return replace_place(at, of_group)


def replace_place(at: Predicted, of_group: Ints) -> Predicted:
    """Return predictions with a site for each group."""
    sites = replace(
        at.sites,
        keys=tuple(at.sites.keys[n] for n in of_group.tolist()),
        rows=at.sites.rows[of_group],
        weights=at.sites.weights[of_group],
        edge=at.sites.edge[of_group],
        behind_ohm=at.sites.behind_ohm[of_group],
        chafed=at.sites.chafed[of_group],
        dead=at.sites.dead[of_group],
        memo={},
    )
    return Predicted(at.state, sites, at.rows, at.place, at.volts[:, of_group])


def _at_cells(found: Suspects, cells: Cells, state: State, at: Predicted, points: Ints) -> Floats:
    """Return volts at points under each cell but the last, (points, cells - 1)."""
    import numpy as np

    real = cells.place < len(cells.groups)
    place, step = cells.place[real], cells.step[real]
    rows = at.volts[:, place, step]
    volts = state.at_points(rows, points)
    joints = state.network.joints
    for n, group in enumerate(cells.groups):
        edge = int(at.sites.edge[n])
        mine = np.flatnonzero(state.edge_at[points] == edge) if edge >= 0 else ()
        branch = joints.get(found.groups[group].joint, -1)
        if not len(mine) or branch < 0:
            continue
        of_cell = np.flatnonzero(place == n)
        added = np.array(GRID_OHM)[step[of_cell]][None]
        part = state.part[points[mine]][:, None]
        first, second = rows[state.a[edge], of_cell][None], rows[state.b[edge], of_cell][None]
        before = float(state.before[branch]) > part
        passed = state.ohm[edge] * (1.0 - part) + before * added
        volts[np.ix_(mine, of_cell)] = first - (first - second) * passed / (state.ohm[edge] + added)
    return volts


def _pairs(
    found: Suspects, cells: Cells, state: State, points: Ints, names: Sequence[str]
) -> tuple[Ints, Ints]:
    """Return the posts with every point, and the touchable points at both ends of each leading group."""
    import numpy as np

    place = {int(p): n for n, p in enumerate(points.tolist())}
    same = {(int(state.first[p]), int(state.edge_at[p]), round(float(state.part[p]), 9)): n
            for n, p in enumerate(points.tolist())}  # fmt: skip
    posts = []
    for element in state.network.elements:
        if element.kind == "battery":
            posts += [int(state.network.index[f"{element.address}.{t}"]) for t in ("31", "30")]
    grounded = state.network.index.get(state.network.grounded or "", -1)
    posts.sort(key=lambda p: p != grounded)
    found_pairs: dict[tuple[int, int], None] = {}
    volts = np.abs(state.point_volts(points))
    middle = 0.5 * float(volts.max(initial=0.0))
    for post in dict.fromkeys(p for p in posts if p in place):
        at = place[post]
        for n in range(len(names)):
            if n != at and (post == grounded or volts[n] > middle):
                found_pairs[(n, at) if post == grounded else (at, n)] = None
    branches = state.network.branches
    number_of = {address: n for n, address in enumerate(branches.address)}
    for group in cells.groups:
        ends: list[int] = []
        for member in found.groups[group].members:
            n = number_of.get(member, -1)
            for p in (int(branches.a[n]), int(branches.b[n])) if n >= 0 else ():
                key = (int(state.first[p]), int(state.edge_at[p]), round(float(state.part[p]), 9))
                if key in same:
                    ends.append(same[key])
        ends = list(dict.fromkeys(ends))
        if len(ends) == 2 and (ends[1], ends[0]) not in found_pairs:
            found_pairs[(ends[0], ends[1])] = None
    pairs = np.array(list(found_pairs), dtype=np.int64).reshape(-1, 2)
    return pairs[:, 0], pairs[:, 1]


def _shared(found: Suspects, state: State, plus: Ints, minus: Ints) -> tuple[Floats, Floats]:
    """Return covariances of pairs with the readings so far, (pairs, readings), and variances, (pairs,); by edges."""
    import numpy as np

    known, measured = found.known, found.observed.measured
    mine = lumped(known, state.mode)
    variance = mine.squares[plus] + mine.squares[minus] - 2.0 * _products(mine, plus, minus)
    shared = np.zeros((len(plus), len(measured)))
    for n, one in enumerate(measured):
        if one.kind != "volts":
            continue
        other = lumped(known, one.mode)
        index = other.state.network.index
        by_point = mine.with_reading(other, index[one.plus], index[one.minus])
        if by_point is not None:
            shared[:, n] = by_point[plus] - by_point[minus]
    return shared, np.maximum(variance, 0.0)


def _products(mine: Lumped, plus: Ints, minus: Ints) -> Floats:
    """Return the covariances of the two points of each pair, (pairs,); most pairs share one of a few posts."""
    import numpy as np

    found = np.full(len(plus), np.nan)
    for ends, others in ((minus, plus), (plus, minus)):
        often = np.flatnonzero(np.bincount(ends, minlength=len(mine.points)) >= OFTEN)
        for post in often.tolist():
            some = ends == post
            found[some] = mine.with_point(post)[others[some]]
    rest = np.flatnonzero(np.isnan(found))
    found[rest] = mine.of_pairs(plus[rest], minus[rest])
    return found


def _given(
    found: Suspects, cells: Cells, volts: Floats, shared: Floats, variance: Floats
) -> tuple[Floats, Floats]:
    """Return predictions given the readings so far, (pairs, cells), and the variance left, (pairs,)."""
    import numpy as np

    weighed = found.weighed
    if not len(weighed.seen) or not shared.any():
        return volts.copy(), variance
    gain = shared @ (weighed.model.inverse.T @ weighed.model.inverse)
    rest = rest_of(found, cells, volts.shape[1])
    left = np.maximum(variance - np.einsum("pn,pn->p", gain, shared), 1e-8)
    bound = np.sqrt(variance)[:, None]
    return volts + np.clip(gain @ rest.T, -2.0 * bound, 2.0 * bound), left


def _sigma(volts: Floats, variance: Floats, change: Floats) -> Floats:
    import numpy as np

    meter = METER_PART * np.abs(volts) + METER_V
    found: Floats = np.sqrt(meter**2 + variance[:, None] + (ROUGH_PART * change) ** 2)
    return found


def rest_of(found: Suspects, cells: Cells, count: int) -> Floats:
    """Return the readings less what each cell predicts for them, (cells, readings)."""
    import numpy as np

    weighed = found.weighed
    rest = np.zeros((count, len(weighed.seen)))
    for n in range(count - 1):
        group = cells.groups[int(cells.place[n])]
        rest[n] = weighed.seen - weighed.predicted[weighed.variant[group], int(cells.step[n])]
    rest[-1] = weighed.seen - weighed.clean
    return rest
