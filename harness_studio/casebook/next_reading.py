"""Where to measure next: the fall of entropy that a reading is expected to bring, per effort.

The expected fall is the mutual information of group and reading, with the outcome drawn at each hypothesis' own
prediction (Lindley, 1956). What is already read tells of the uncertain things as well: predictions are those given the
readings so far, and so is their spread.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from harness_studio.model.harness import Harness

from .access import EFFORT, reach
from .candidates import Cells, Table, cells_of, sharpen, table_of
from .cautions import caution
from .provoke import Provoke, provocations
from .suspects import Suspects

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]

SHORTLIST = 12
"""Pairs whose spread is worked out in full."""
BEST = 3
SAME_POST = 0.7
"""Effort left where one tip stays on a battery post."""
WORTH_BITS = 1e-3
"""A reading that tells less is not proposed."""
ALIKE = 0.5
"""Standard deviations within which two readings tell the same."""
BINS = 40
"""Outcomes of a reading that are told apart."""
PART = 64
"""Pairs weighed at a time."""
CLEAR = 0.9


@dataclass(frozen=True, slots=True)
class Proposal:
    """A reading to take: tips, mode, the reach of its harder tip, bits per effort, volts under each leading group.

    `caution` is what to mind while taking it.
    """

    plus: str
    minus: str
    mode: str | None
    reach: str
    bits: float
    effort: float
    expected: Mapping[str, float]
    if_none_fits: float
    caution: str = ""
    kind: str = "reading"
    what: str = "volts"


@dataclass(frozen=True, slots=True)
class Verdict:
    """Whether to stop: 'one group is clear', 'nothing fits', 'nothing more can be told apart', or 'measure on'.

    `decides` is the reading that tells most; None where nothing is left to tell.
    """

    word: str
    group: int | None
    decides: Proposal | None
    words: str

    @property
    def stop(self) -> bool:
        """Whether to stop measuring."""
        return self.word != "measure on"


def next_readings(harness: Harness, found: Suspects, modes: Sequence[str | None] = ()) -> list[Proposal]:
    """Return the three best readings; fewer where nothing more can be told apart.

    Only permitted points are proposed: no splice, no wire core, nothing behind a plugged connector, nothing pierced.

    Parameters
    ----------
    modes
        Modes to consider beside those of the case.
    """
    cells = cells_of(found)
    if len(cells.groups) < 2 and not found.none_fits > WORTH_BITS:
        return []
    done = {(m.mode, m.plus, m.minus) for m in found.observed.measured}
    tables = [table_of(harness, found, cells, m) for m in dict.fromkeys([*found.modes, *modes])]
    scored: list[tuple[float, int, Table]] = []
    for table in tables:
        worth = _all_bits(table, cells) / efforts(harness, table)
        for n in sorted(range(len(worth)), key=lambda n: -worth[n])[: 4 * SHORTLIST]:
            plus, minus = table.pair_names(n)
            if (table.mode, plus, minus) not in done and (table.mode, minus, plus) not in done:
                scored.append((float(worth[n]), n, table))
    scored.sort(key=lambda item: -item[0])
    picks = _different([(table, n) for _, n, table in scored])
    sharpen(found, cells, tables, picks)
    exact = []
    for table, n in picks:
        bits = float(_all_bits(table.only(n), cells)[0])
        exact.append(_proposal(harness, found, table, n, bits))
    exact.sort(key=lambda p: -p.bits / p.effort)
    return [p for p in exact if p.bits > WORTH_BITS][:BEST]


def _different(scored: Sequence[tuple[Table, int]]) -> list[tuple[Table, int]]:
    """Return the first of those that every hypothesis predicts alike, up to the shortlist's length."""
    import numpy as np

    found: list[tuple[Table, int]] = []
    for table, n in scored:
        volts = table.plain[n]
        alike = any(
            float(np.max(np.abs(volts - other.plain[m]) / table.sigma[n])) < ALIKE for other, m in found
        )
        if not alike:
            found.append((table, n))
        if len(found) == SHORTLIST:
            break
    return found


def next_steps(
    harness: Harness, found: Suspects, modes: Sequence[str | None] = ()
) -> list[Proposal | Provoke]:
    """Return the best readings, and a provocation where the fault comes and goes or readings tell nothing more."""
    steps: list[Proposal | Provoke] = []
    steps += next_readings(harness, found, modes)
    return [*steps, *provocations(harness, found, bool(steps))]


def verdict(found: Suspects, proposals: Sequence[Proposal]) -> Verdict:
    """Say whether to stop, and which reading decides."""
    ranked = found.ranked()
    first = ranked[0] if ranked else None
    decides = proposals[0] if proposals else None
    if first is not None and found.probability[first] >= CLEAR:
        name = found.groups[first].joint
        return Verdict("one group is clear", first, None, f"one group is clear: {name}")
    if found.none_fits >= CLEAR:
        return Verdict(
            "nothing fits", None, None, "nothing fits: no single joint or wire explains what was read"
        )
    if decides is None:
        words = "nothing more can be told apart by readings between points that can be touched"
        return Verdict("nothing more can be told apart", first, None, words)
    most = sorted(decides.expected.items(), key=lambda item: -abs(item[1] - decides.if_none_fits))[:2]
    listed = "; ".join(f"{volts:.3f} V if it is {joint}" for joint, volts in most)
    words = f"measure {decides.plus} to {decides.minus}: {listed}; {decides.if_none_fits:.3f} V if none fits"
    return Verdict("measure on", first, decides, words)


def _proposal(harness: Harness, found: Suspects, table: Table, n: int, bits: float) -> Proposal:
    plus, minus = table.pair_names(n)
    classes = [reach(harness, p) for p in (plus, minus)]
    harder = max(classes, key=lambda c: EFFORT[c])
    effort = EFFORT[harder] * (SAME_POST if table.posts & {plus, minus} else 1.0)
    expected = {found.groups[g].joint: volts for g, volts in table.expected(n)}
    none = float(table.clean[n])
    words = caution(harness, table.state.network, plus, minus, table.mode)
    return Proposal(plus, minus, table.mode, harder, bits, effort, expected, none, words)


def efforts(harness: Harness, table: Table) -> Floats:
    """Return the effort of each pair of a table, (pairs,)."""
    import numpy as np

    by_point = {p: EFFORT[reach(harness, p)] for p in {*table.names}}
    found = []
    for n in range(len(table.plus)):
        plus, minus = table.pair_names(n)
        found.append(
            max(by_point[plus], by_point[minus]) * (SAME_POST if table.posts & {plus, minus} else 1.0)
        )
    return np.array(found)


def _all_bits(table: Table, cells: Cells) -> Floats:
    """Return the expected fall of the entropy of the groups by each pair, in bits, (pairs,).

    Outcomes are gathered in bins of about equal chance; each cell spreads over them by its normal distribution.
    """
    import numpy as np
    from scipy.special import ndtr

    found = np.zeros(len(table.plus))
    member = (cells.place[:, None] == np.arange(cells.place.max(initial=0) + 1)[None]).astype(np.float64)
    group = cells.weight @ member
    for begin in range(0, len(found), PART):
        volts, sigma = table.volts[begin : begin + PART], table.sigma[begin : begin + PART]
        edges = _bins(volts, sigma, cells.weight)
        below = ndtr((edges[:, None, :] - volts[:, :, None]) / sigma[:, :, None])
        ends = np.concatenate(
            [np.zeros((*below.shape[:2], 1)), below, np.ones((*below.shape[:2], 1))], axis=2
        )
        joint = (member * cells.weight[:, None]).T @ np.diff(ends, axis=2)
        outcome = joint.sum(axis=1)
        with np.errstate(divide="ignore", invalid="ignore"):
            ratio = joint / (group[None, :, None] * outcome[:, None, :])
            found[begin : begin + PART] = np.nansum(
                joint * np.log2(np.where(joint > 0.0, ratio, 1.0)), axis=(1, 2)
            )
    return np.maximum(found, 0.0)


def _bins(volts: Floats, sigma: Floats, weight: Floats) -> Floats:
    """Return edges between outcomes, (pairs, BINS - 1): quantiles of what all cells together predict."""
    import numpy as np

    spots = np.concatenate([volts + k * sigma for k in (-1.5, -0.5, 0.5, 1.5)], axis=1)
    shares = np.tile(weight / 4.0, (len(volts), 4))
    order = np.argsort(spots, axis=1)
    spots = np.take_along_axis(spots, order, axis=1)
    total = np.cumsum(np.take_along_axis(shares, order, axis=1), axis=1)
    wanted = np.arange(1, BINS) / BINS
    at = np.stack([np.searchsorted(row, wanted) for row in total])
    found: Floats = np.take_along_axis(spots, np.minimum(at, spots.shape[1] - 1), axis=1)
    return found
