"""Where to measure next: the fall of entropy that a reading is expected to bring, per effort.

The expected fall is the mutual information of group and reading, with the outcome drawn at each hypothesis' own
prediction (Lindley, 1956).
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from harness_studio.model.harness import Harness
from harness_studio.network.expand import expand
from harness_studio.network.network import Network

from .access import EFFORT, permitted, reach
from .likelihood import OWN_PART
from .observed import METER_PART, METER_V
from .predict import GRID_OHM, Predicted, predict
from .spread import sensitivity
from .suspects import FINE, Suspects

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]

LEADING = 16
"""Groups that a proposed reading is to tell apart."""
SHORTLIST = 10
"""Pairs whose spread is worked out in full."""
BEST = 3
FIRST_SPREAD_V = 0.02
"""Spread of a clean reading taken while pairs are shortlisted."""
SAME_POST = 0.7
"""Effort left where the minus tip stays on the post."""


@dataclass(frozen=True, slots=True)
class Proposal:
    """A reading to take: tips, mode, the reach of its harder tip, bits per effort, volts under each leading group."""

    plus: str
    minus: str
    mode: str | None
    reach: str
    bits: float
    effort: float
    expected: Mapping[str, float]
    if_none_fits: float


def next_readings(harness: Harness, found: Suspects, modes: Sequence[str | None] = ()) -> list[Proposal]:
    """Return the three best readings; fewer where nothing more can be told apart.

    Only permitted points are proposed: no splice, no wire core, nothing behind a plugged connector, nothing pierced.

    Parameters
    ----------
    modes
        Modes to consider beside those of the case.
    """
    leading = [g for g in found.ranked()[:LEADING] if found.probability[g] > 1e-4]
    done = {(m.mode, m.plus, m.minus) for m in found.observed.measured}
    scored: list[tuple[float, Proposal, Predicted]] = []
    for mode in dict.fromkeys([*found.by_mode, *modes]):
        network = expand(harness, mode)
        allowed = permitted(harness, network)
        points = [p for p, yes in zip(network.points, allowed, strict=True) if yes]
        at = predict(harness, mode, [found.groups[g] for g in leading], points, ())
        for plus, minus in _pairs(network, points, found, leading):
            if (mode, plus, minus) not in done and (mode, minus, plus) not in done:
                proposal = _proposal(harness, found, leading, at, mode, plus, minus, FIRST_SPREAD_V)
                scored.append((proposal.bits / proposal.effort, proposal, at))
    scored.sort(key=lambda item: -item[0])
    exact = []
    for _, first, at in scored[:SHORTLIST]:
        spread = sum(v * v for v in sensitivity(harness, at, first.plus, first.minus).values()) ** 0.5
        exact.append(_proposal(harness, found, leading, at, first.mode, first.plus, first.minus, spread))
    exact.sort(key=lambda p: -p.bits / p.effort)
    return [p for p in exact if p.bits > 1e-3][:BEST]


def _pairs(
    network: Network, points: Sequence[str], found: Suspects, leading: Sequence[int]
) -> Iterator[tuple[str, str]]:
    """Yield the post with every point, and the nearest permitted points at both ends of each leading group."""
    post = network.grounded
    if post in points:
        yield from ((p, post) for p in points if p != post and post is not None)
    allowed = set(points)
    branches = network.branches
    number_of = {address: n for n, address in enumerate(branches.address)}
    for group in leading:
        ends: list[str] = []
        for member in found.groups[group].members:
            if member in number_of:
                n = number_of[member]
                ends += [network.points[int(branches.a[n])], network.points[int(branches.b[n])]]
        touchable = [e for e in dict.fromkeys(ends) if e in allowed]
        if len(touchable) == 2 and post not in touchable:
            yield touchable[0], touchable[1]


def _proposal(
    harness: Harness,
    found: Suspects,
    leading: Sequence[int],
    at: Predicted,
    mode: str | None,
    plus: str,
    minus: str,
    spread_v: float,
) -> Proposal:
    import numpy as np

    first, second = at.points[plus], at.points[minus]
    clean = float(at.clean[first] - at.clean[second])
    volts = at.bad[:, :, first] - at.bad[:, :, second]
    weight = coarse(found.weight[list(leading)])
    place = np.append(np.repeat(np.arange(len(leading)), len(GRID_OHM)), len(leading))
    bits = _information(
        np.append(volts.ravel(), clean), np.append(weight.ravel(), found.none_fits), place, clean, spread_v
    )
    post = at.network.grounded
    classes = [reach(harness, p) for p in (plus, minus)]
    harder = max(classes, key=lambda c: EFFORT[c])
    effort = EFFORT[harder] * (SAME_POST if minus == post else 1.0)
    mass = np.maximum(weight.sum(axis=1), 1e-300)
    mean = (weight * volts).sum(axis=1) / mass
    expected = {found.groups[g].joint: float(mean[n]) for n, g in enumerate(leading[:5])}
    return Proposal(plus, minus, mode, harder, bits, effort, expected, clean)


def coarse(weight: Floats) -> Floats:
    """Return a posterior over the fine grid gathered at the nearest points of the grid, (groups, grid)."""
    import numpy as np

    steps = weight.shape[1] - 1
    nearest = np.append(np.rint(np.arange(steps) / FINE).astype(np.int64), len(GRID_OHM) - 1)
    found = np.zeros((len(weight), len(GRID_OHM)))
    for column, place in enumerate(nearest.tolist()):
        found[:, place] += weight[:, column]
    return found


def _information(
    volts: Floats, weight: Floats, place: NDArray[np.int64], clean: float, spread: float
) -> float:
    """Return the expected fall of the entropy of the groups in bits."""
    import numpy as np

    keep = weight > 1e-5 * weight.max()
    volts, weight, place = volts[keep], weight[keep] / weight[keep].sum(), place[keep]
    meter = METER_PART * np.abs(volts) + METER_V
    sigma = np.sqrt(meter**2 + spread**2 + (OWN_PART * (volts - clean)) ** 2)
    density = np.exp(-0.5 * ((volts[:, None] - volts[None]) / sigma[None]) ** 2) / sigma[None] * weight[None]
    member = (place[:, None] == np.arange(place.max() + 1)[None]).astype(np.float64)
    after = density @ member
    after /= after.sum(axis=1, keepdims=True)
    return _entropy(weight @ member) - float(weight @ _entropies(after))


def _entropies(chance: Floats) -> Floats:
    import numpy as np

    found: Floats = -(chance * np.log2(np.maximum(chance, 1e-300))).sum(axis=-1)
    return found


def _entropy(chance: Floats) -> float:
    return float(_entropies(chance))
