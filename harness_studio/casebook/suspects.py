"""The suspects of a case: the posterior over groups and added resistances, by summation on a grid."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING

from harness_studio.base.errors import HarnessError
from harness_studio.model.cases import Case
from harness_studio.model.harness import Harness

from .groups import Group
from .known import Known
from .observed import Observed, observed
from .pairs import Pair, Paired, paired
from .posterior import Weighed, fine_grid, finely, weigh
from .prior import chafe_share, priors
from .turning import beside_turns

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]


@dataclass(slots=True)
class Suspects:
    """What a case says.

    `weight` is the posterior of each group and added resistance, (groups, fine grid). Both members of a pair have its
    part in it, so that with `none_fits` it sums to one and `two_at_once` more. For chafed groups `chafe_ohm` is the
    grid. `away` is the part of each group's posterior in which the fault was absent while readings were taken that
    nobody watched it at: it comes and goes.
    """

    case: Case
    groups: tuple[Group, ...]
    fine_ohm: Floats
    chafe_ohm: Floats
    weight: Floats
    away: Floats
    none_fits: float
    observed: Observed
    known: Known
    weighed: Weighed
    pairs: tuple[Pair, ...] = ()
    two_at_once: float = 0.0

    @property
    def probability(self) -> Floats:
        """Posterior of each group, (groups,)."""
        found: Floats = self.weight.sum(axis=1)
        return found

    @property
    def modes(self) -> tuple[str | None, ...]:
        """Modes that the case speaks of."""
        return self.weighed.modes

    def predicted(self, group: int, fine: int) -> Floats:
        """Return what a group predicts for the readings at a point of the fine grid, (readings,)."""
        weighed, steps = self.weighed, fine_grid()[2]
        variant = int(weighed.variant[group])
        table = weighed.predicted[variant]
        found: Floats = finely(table, steps, axis=0)[fine] if table.size else table[0]
        sides = beside_turns(table[None], weighed.clean, weighed.turns[[variant]], steps)
        for _, places, *both in sides if table.size else ():
            if fine in places:  # something turns near there: the side that is nearer to what was read
                here = int(fine - places[0])
                found = min((s[here] for s in both), key=lambda v: float(((v - weighed.seen) ** 2).sum()))
        return found

    def ranked(self) -> list[int]:
        """Return the groups, the most probable first; of those without any probability what fits least badly."""
        import numpy as np

        fit = self.weighed.logs.max(axis=1, initial=-np.inf)
        return [int(n) for n in np.lexsort((-fit, -self.probability))]


class Cancelled(HarnessError):
    """The person did not want to wait."""


def suspects(
    harness: Harness,
    case: Case,
    cancelled: Callable[[], bool] = lambda: False,
    progress: Callable[[float], None] = lambda part: None,
    known: Known | None = None,
) -> Suspects:
    """Return the suspects of a case.

    Parameters
    ----------
    cancelled
        Asked between pieces of work.
    progress
        Told which part is done, 0 to 1.
    known
        What an earlier call with the same harness object solved (`Suspects.known`): makes the next one quick.

    Raises
    ------
    SolveError
        If the clean harness has no solution in a mode of the case.
    Cancelled
        If `cancelled` said so.
    """
    import numpy as np

    known = known if known is not None and known.harness is harness else Known(harness)
    found = observed(harness, case, known.without_mode())
    weighed, entered = weigh(known, case, found, cancelled, progress)
    result = together(known, case, weighed, entered, cancelled)
    chafed = [
        n for n in np.flatnonzero(result.probability > LEADING).tolist() if result.groups[n].fault == "chafed"
    ]
    if chafed and not cancelled():
        weighed, entered = weigh(known, case, found, cancelled, progress, tuple(chafed))
        result = together(known, case, weighed, entered, cancelled)
    return result


LEADING = 0.005
"""Probability from which chafed wires are solved fully."""


def together(
    known: Known,
    case: Case,
    weighed: Weighed,
    found: Observed,
    cancelled: Callable[[], bool] = lambda: False,
) -> Suspects:
    """Return the posterior: prior and evidence, which with 'none fits' sum to one."""
    import numpy as np

    if cancelled():
        raise Cancelled("stopped before the suspects were all weighed")
    first = priors(known.harness, case, weighed.network, weighed.groups)
    chafed = np.array([g.fault == "chafed" for g in weighed.groups], dtype=bool)
    ohm = np.where(chafed[:, None], chafe_share(len(weighed.fine_ohm))[None], weighed.of_resistance[None])
    with np.errstate(divide="ignore"):
        total = np.log(first)[:, None] + np.log(ohm) + weighed.logs
        away = np.log(first) + weighed.away_logs
    peak = max(
        float(total.max(initial=-np.inf)), float(away.max(initial=-np.inf)), float(weighed.none_logs.max())
    )
    single = np.exp(total - peak).sum(axis=1) + np.exp(away - peak)
    single /= float(single.sum()) + float(np.exp(weighed.none_logs - peak).sum())
    two = paired(weighed, single, first, fine_grid()[2])
    peak = max(peak, float(two.logs.max(initial=-np.inf)))
    there, gone, both = np.exp(total - peak), np.exp(away - peak), np.exp(two.logs - peak)
    rest = float(np.exp(weighed.none_logs - peak).sum())
    whole = float(there.sum()) + float(gone.sum()) + float(both.sum()) + rest
    weight = (there + gone[:, None] * ohm) / whole
    return Suspects(
        case,
        weighed.groups,
        weighed.fine_ohm,
        weighed.chafe_ohm,
        weight,
        gone / whole,
        rest / whole,
        found,
        known,
        weighed,
        _share_out(two, both / whole, weight, weighed.fine_ohm),
        float(both.sum()) / whole,
    )


def _share_out(two: Paired, both: Floats, weight: Floats, ohm: Floats) -> tuple[Pair, ...]:
    """Give each member of a pair the pair's part of the posterior, and return the pairs that count."""
    import numpy as np

    found = []
    for groups, part in zip(two.groups, both, strict=True):
        probability = float(part.sum())
        for axis, group in enumerate(groups):
            weight[group, two.places] += part.sum(axis=1 - axis)
        if probability >= LEADING:
            first, second = np.unravel_index(int(part.argmax()), part.shape)
            best = float(ohm[two.places[first]]), float(ohm[two.places[second]])
            found.append(Pair(groups, probability, best))
    return tuple(sorted(found, key=lambda p: -p.probability))
