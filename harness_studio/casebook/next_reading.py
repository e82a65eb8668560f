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
from .candidates import Cells, Table, cells_of, table_of
from .cautions import caution
from .provoke import Provoke, provocations
from .sharpen import sharpen
from .suspects import Suspects

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]

SHORTLIST = 12
"""Pairs whose spread is worked out in full."""
BESIDE = 4 * SHORTLIST
"""Pairs of a mode from which those are picked."""
FAR = 4.0
"""Standard deviations from the most probable outcome beyond which others are taken apart."""
BEST = 3
SAME_POST = 0.9
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
    """Return the three best readings, each with other tips; fewer where nothing more can be told apart.

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
        worth, order = _best(table, cells, efforts(found, table))
        for n in order:
            plus, minus = table.pair_names(n)
            if (table.mode, plus, minus) not in done and (table.mode, minus, plus) not in done:
                scored.append((float(worth[n]), n, table))
    scored.sort(key=lambda item: -item[0])
    picks = _different([(table, n) for _, n, table in scored])
    sharpen(found, cells, tables, picks)
    exact = []
    for table, n in picks:
        bits = float(_all_bits(table.volts[n : n + 1], table.sigma[n : n + 1], cells)[0])
        exact.append((bits / effort(found, table, n), bits, n, table))
    exact.sort(key=lambda item: -item[0])
    best: dict[frozenset[str], tuple[Table, int, float]] = {}
    for _, bits, n, table in exact:
        if bits > WORTH_BITS:
            best.setdefault(frozenset(table.pair_names(n)), (table, n, bits))
    return [_proposal(harness, found, table, n, bits) for table, n, bits in [*best.values()][:BEST]]


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
        both = next((p for p in found.pairs if first in p.groups and p.probability >= CLEAR), None)
        if both is not None:
            names = " and ".join(found.groups[g].joint for g in both.groups)
            return Verdict("one group is clear", first, None, f"two groups together are clear: {names}")
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
    expected = {found.groups[g].joint: volts for g, volts in table.expected(n)}
    none = float(table.clean[n])
    words = caution(harness, table.state.network, plus, minus, table.mode)
    return Proposal(plus, minus, table.mode, harder, bits, effort(found, table, n), expected, none, words)


def efforts(found: Suspects, table: Table) -> Floats:
    """Return the effort of each pair of a table, (pairs,)."""
    import numpy as np

    return np.array([effort(found, table, n) for n in range(len(table.plus))])


def effort(found: Suspects, table: Table, n: int) -> float:
    """Return the effort of one pair of a table: that of the tip that is harder to reach."""
    tips = table.pair_names(n)
    return max(map(found.known.effort, tips)) * (SAME_POST if not table.posts.isdisjoint(tips) else 1.0)


def _best(table: Table, cells: Cells, by_pair: Floats) -> tuple[Floats, list[int]]:
    """Return what pairs are worth in bits per effort, (pairs,), and those worth most; the others' worth is 0.

    Pairs are weighed in the order of the most that they can be worth, until no other can be among the best.
    """
    import numpy as np

    most = most_bits(table.volts, table.sigma, cells.weight, len(cells.groups) + 1) / by_pair
    order = np.argsort(-most, kind="stable")
    worth = np.zeros(len(most))
    for begin in range(0, len(order), PART):
        least = np.sort(worth)[-BESIDE] if len(worth) > BESIDE else 0.0
        some = order[begin : begin + PART]
        some = some[most[some] > least]
        if not len(some):
            break
        worth[some] = _all_bits(table.volts[some], table.sigma[some], cells) / by_pair[some]
    return worth, sorted(range(len(worth)), key=lambda n: -worth[n])[:BESIDE]


def most_bits(volts: Floats, sigma: Floats, weight: Floats, groups: int) -> Floats:
    """Return a bound on the bits that each pair tells of the groups, (pairs,).

    Of all outcomes with one variance those with a normal distribution tell most. Rare cells far off the most probable
    one are taken apart, or they alone would make up the variance.
    """
    import numpy as np

    first = int(weight.argmax())
    far = np.abs(volts - volts[:, first : first + 1]) > FAR * sigma[:, first : first + 1]
    found = np.zeros(len(volts))
    for part in (far, ~far):
        mine = np.where(part, weight, 0.0)
        total = mine.sum(axis=1)
        share = mine / np.maximum(total, 1e-300)[:, None]
        mean = (share * volts).sum(axis=1)
        spread = (share * ((volts - mean[:, None]) ** 2 + sigma**2)).sum(axis=1)
        noise = (share * np.log2(sigma)).sum(axis=1)
        inner = 0.5 * np.log2(np.maximum(spread, 1e-300)) - noise
        inner = np.clip(inner, 0.0, np.log2(groups))
        found += total * (inner - np.log2(np.maximum(total, 1e-300)))
    return found


def _all_bits(all_volts: Floats, all_sigma: Floats, cells: Cells) -> Floats:
    """Return the expected fall of the entropy of the groups by each pair, in bits, (pairs,).

    Outcomes are gathered in bins of about equal chance; each cell spreads over them by its normal distribution.
    """
    import numpy as np
    from scipy.special import ndtr

    found = np.zeros(len(all_volts))
    member = (cells.place[:, None] == np.arange(cells.place.max(initial=0) + 1)[None]).astype(np.float64)
    group = cells.weight @ member
    for begin in range(0, len(found), PART):
        volts, sigma = all_volts[begin : begin + PART], all_sigma[begin : begin + PART]
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
