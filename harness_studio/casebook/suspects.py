"""The suspects of a case: the posterior over groups and added resistances, by summation on a grid."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from harness_studio.model.cases import Case
from harness_studio.model.harness import Harness
from harness_studio.network.expand import expand

from .access import permitted
from .groups import Group, suspect_groups
from .likelihood import log_normal, seen_chance
from .observed import Measured, Observed, observed
from .predict import GRID_OHM, OPEN_OHM, Predicted, predict
from .prior import NONE_FITS, of_resistance, priors
from .spread import sensitivity

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]

FINE = 12
"""Steps between two points of the grid."""
STRAY_V = 0.5
"""Spread of readings under half of 'none fits': something that no hypothesis knows."""


@dataclass(slots=True)
class Suspects:
    """What a case says.

    `weight` is the posterior of each group and added resistance, (groups, fine grid); with `none_fits` it sums to one.
    """

    case: Case
    groups: tuple[Group, ...]
    fine_ohm: Floats
    weight: Floats
    none_fits: float
    observed: Observed
    by_mode: dict[str | None, Predicted]

    @property
    def probability(self) -> Floats:
        """Posterior of each group, (groups,)."""
        found: Floats = self.weight.sum(axis=1)
        return found

    def ranked(self) -> list[int]:
        """Return the groups, the most probable first."""
        import numpy as np

        return [int(n) for n in np.argsort(-self.probability, kind="stable")]


def suspects(harness: Harness, case: Case, cancelled: Callable[[], bool] = lambda: False) -> Suspects:
    """Return the suspects of a case.

    Raises
    ------
    SolveError
        If the clean harness has no solution in a mode of the case.
    """
    import numpy as np

    found = observed(harness, case)
    modes: list[str | None] = [m.mode for m in found.measured]
    for sighting in found.sightings:
        modes += [sighting.to_mode] if sighting.from_mode is None else [sighting.from_mode, sighting.to_mode]
    modes = list(dict.fromkeys(modes)) or [None]
    groups = _groups(harness, modes)
    by_mode = {}
    for mode in modes:
        points = [p for m in found.measured if m.mode == mode for p in (m.plus, m.minus)]
        by_mode[mode] = predict(harness, mode, groups, points, [s.on for s in found.sightings], cancelled)
    fine, blend = _fine()
    logs, none_logs = _reading_logs(harness, found.measured, by_mode, blend, len(groups))
    chances, none_chance = _sighting_logs(found, by_mode, blend, len(groups))
    first = priors(harness, case, expand(harness, modes[0]), groups)
    with np.errstate(divide="ignore"):
        total = np.log(first)[:, None] + np.log(of_resistance(fine))[None] + logs + chances
    none = np.log(NONE_FITS / 2.0) + none_logs + none_chance
    peak = max(float(total.max(initial=-np.inf)), float(none.max()))
    weight, rest = np.exp(total - peak), float(np.exp(none - peak).sum())
    whole = float(weight.sum()) + rest
    return Suspects(case, groups, fine, weight / whole, rest / whole, found, by_mode)


def _groups(harness: Harness, modes: Sequence[str | None]) -> tuple[Group, ...]:
    """Return the groups of the mode in which most is joined, and what other modes add to them."""
    networks = [expand(harness, mode) for mode in modes]
    found: list[Group] = []
    told: set[str] = set()
    for network in sorted(networks, key=lambda n: -len(n.branches)):
        for group in suspect_groups(network, permitted(harness, network)):
            members = tuple(m for m in group.members if m not in told)
            joint = next((m for m in members if m in network.joints), None)
            if joint is not None:
                found.append(Group(members, group.joint if group.joint in members else joint))
            told.update(members)
    return tuple(found)


def _fine() -> tuple[Floats, Floats]:
    """Return the fine grid in ohms, (fine,), and the weights that draw it from the grid, (fine, grid)."""
    import numpy as np

    grid = np.array(GRID_OHM[:-1])
    steps = np.arange((len(grid) - 1) * FINE + 1) / FINE
    fine = np.exp(np.interp(steps, np.arange(len(grid)), np.log(grid)))
    blend = np.zeros((len(fine) + 1, len(GRID_OHM)))
    for column in range(len(grid)):
        blend[:-1, column] = np.interp(fine, grid, np.eye(len(grid))[column])
    blend[-1, -1] = 1.0
    return np.append(fine, OPEN_OHM), blend


def _reading_logs(
    harness: Harness,
    measured: Sequence[Measured],
    by_mode: dict[str | None, Predicted],
    blend: Floats,
    groups: int,
) -> tuple[Floats, Floats]:
    import numpy as np

    if not measured:
        return np.zeros((groups, len(blend))), np.zeros(2)
    clean, predicted, rows = [], [], []
    for one in measured:
        at = by_mode[one.mode]
        plus, minus = at.points[one.plus], at.points[one.minus]
        clean.append(at.clean[plus] - at.clean[minus])
        predicted.append((at.bad[:, :, plus] - at.bad[:, :, minus]) @ blend.T)
        rows.append(sensitivity(harness, at, one.plus, one.minus))
    covariance = np.diag([one.sigma_v**2 for one in measured])
    names = {name: n for n, name in enumerate(dict.fromkeys(k for row in rows for k in row))}
    jacobian = np.zeros((len(measured), len(names)))
    for n, row in enumerate(rows):
        for name, value in row.items():
            jacobian[n, names[name]] = value
    covariance = covariance + jacobian @ jacobian.T
    seen, plain = np.array([one.volts for one in measured]), np.array(clean)
    logs = log_normal(seen, np.stack(predicted, axis=-1), plain, covariance)
    stray = covariance + STRAY_V**2 * np.eye(len(seen))
    size = 0.5 * (np.linalg.slogdet(stray)[1] - np.linalg.slogdet(covariance)[1])
    none = np.array(
        [log_normal(seen, plain, plain, covariance), log_normal(seen, plain, plain, stray) - size]
    )
    return logs, none


def _sighting_logs(
    found: Observed, by_mode: dict[str | None, Predicted], blend: Floats, groups: int
) -> tuple[Floats, Floats]:
    import numpy as np

    logs, none = np.zeros((groups, len(blend))), np.zeros(2)
    for sighting in found.sightings:
        after = by_mode[sighting.to_mode].values
        address = next(a for a in after if a == sighting.on or a.split("/", 1)[0] == sighting.on)
        values, noticed = after[address]
        before = values[:1] if sighting.from_mode is None else by_mode[sighting.from_mode].values[address][0]
        change = (values - before) / noticed
        chance = np.log(seen_chance(sighting.seen, change, values, float(values[0])))
        logs += chance[1:].reshape(groups, len(GRID_OHM)) @ blend.T
        none += chance[0]
    return logs, none
