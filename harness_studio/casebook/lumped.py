"""How far readings between all points that may be touched spread, with what is not known lumped by edges and elements.

With L what one standard deviation of each thing puts in at the unknowns, the covariance of all volts is J⁻¹·LᵀL·J⁻ᵀ.
Only its diagonal, what chains have across their ends, and what single points share with all others are worked out.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from .state import State

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    from .known import Known

    Floats = NDArray[np.float64]
    Ints = NDArray[np.int64]


@dataclass(slots=True)
class Lumped:
    """What is not known of a mode.

    `things` (things, unknowns + 1), sparse, is L; `together` LᵀL; `squares` the variances of the volts at `points`.
    """

    state: State
    points: Ints
    things: Any
    together: Any
    squares: Floats

    def with_point(self, point: int) -> Floats:
        """Return the covariances of all points with one of them, (points,)."""
        return self._at_points(self.together @ self.state.reach_of(self.points[[point]])[0])

    def of_pairs(self, first: Ints, second: Ints) -> Floats:
        """Return the covariances of pairs of points, (pairs,)."""
        import numpy as np

        reach = self.state.reach_of
        pushed = (self.together @ reach(self.points[first]).T).T
        found: Floats = np.einsum("pu,pu->p", pushed, reach(self.points[second]))
        return found

    def with_reading(self, other: Lumped, plus: int, minus: int) -> Floats | None:
        """Return the covariances of all points with a reading in another mode, (points,); None if modes differ."""
        import numpy as np

        if other.things.shape[0] != self.things.shape[0] or len(other.state.ohm) != len(self.state.ohm):
            return None
        reached = other.state.reach_of(np.array([plus, minus], dtype=np.int64))
        return self._at_points(self.things.T @ (other.things @ (reached[0] - reached[1])))

    def _at_points(self, put_in: Floats) -> Floats:
        rows = self.state.inverse @ put_in
        return self.state.at_points(rows[self.state.unknown], self.points)


def lumped(known: Known, mode: str | None) -> Lumped:
    """Return what is not known of a mode."""
    if mode not in known.lumped:
        state = known.state(mode)
        things = _things(known, state)
        together = (things.T @ things).tocsr()
        points = known.tips_of(mode)
        known.lumped[mode] = Lumped(state, points, things, together, _squares(state, together, points))
    return known.lumped[mode]


def _things(known: Known, state: State) -> Any:
    """Return what one standard deviation of each edge and each element puts in, (edges + elements, unknowns + 1)."""
    import numpy as np
    from scipy.sparse import csr_matrix, vstack

    what = known.spread(state.mode)
    edge = state.edge_of
    on = edge >= 0
    lump = np.sqrt(np.bincount(edge[on], (what.ohm[on] * what.deviation[on]) ** 2, len(state.ohm)))
    amperes = state.amperes * lump / state.ohm
    where = np.arange(len(amperes))
    ends = np.concatenate([state.unknown[state.a], state.unknown[state.b]])
    values = np.concatenate([amperes, -amperes])
    last = len(state.inverse) - 1
    rows, columns = np.concatenate([where, where]), np.where(ends < 0, last, ends)
    return vstack([csr_matrix((values, (rows, columns)), (len(amperes), last + 1)), what.put_in]).tocsr()


def _squares(state: State, together: Any, points: Ints) -> Floats:
    import numpy as np

    inverse, first, second = state.inverse, state.unknown[state.first], state.unknown[state.second]
    pushed = np.ascontiguousarray((together @ inverse.T).T)
    alone = np.einsum("ru,ru->r", pushed, inverse)
    part = state.part[points]
    a, b = first[points], second[points]
    found = part**2 * alone[a] + (1.0 - part) ** 2 * alone[b]
    inside = np.flatnonzero(part < 1.0)
    chains, place = np.unique(state.edge_at[points[inside]], return_inverse=True)
    one = np.zeros(len(chains), dtype=np.int64)
    other = one.copy()
    one[place], other[place] = a[inside], b[inside]
    both = np.einsum("cu,cu->c", pushed[one], inverse[other])[place]
    found[inside] += 2.0 * part[inside] * (1.0 - part[inside]) * both
    return np.asarray(found)
