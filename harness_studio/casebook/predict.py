"""What each hypothesis predicts for the readings and the changes that a person saw."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from harness_studio.electrics.reading_values import NOTICED, NOTICED_LEAST, NOTICED_PART, element_values
from harness_studio.electrics.sweep import Base, prepare, sweep
from harness_studio.model.harness import Harness
from harness_studio.network.expand import expand
from harness_studio.network.network import Element, Network

from .groups import Group
from .metal import Between, between, volts_at

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]
    Ints = NDArray[np.int64]

OPEN_OHM = 1e6
"""What stands for an open joint: far above every load."""
GRID_OHM = (*tuple(0.0005 * 10.0 ** (k / 3.0) for k in range(15)), OPEN_OHM)
"""Added series resistance of the hypotheses: 0.5 mΩ to 23 Ω in thirds of a decade, and open."""

Pair = tuple[str, str]


@dataclass(slots=True)
class Predicted:
    """Volts in one mode, by group and added resistance.

    `clean` (points,) and `bad` (groups, grid, points) are volts at `points`; `values` holds the same hypotheses seen
    from the elements: [0] clean and then by group and grid, (1 + groups·grid,) for each element.
    """

    network: Network
    base: Base
    metal: Between
    points: dict[str, int]
    clean: Floats
    bad: Floats
    values: dict[str, tuple[Floats, float]]


def predict(
    harness: Harness,
    mode: str | None,
    groups: Sequence[Group],
    points: Sequence[str],
    seen: Sequence[str],
    cancelled: Callable[[], bool] = lambda: False,
) -> Predicted:
    """Solve every group at every added resistance in a mode.

    Parameters
    ----------
    points
        Addresses whose volts are wanted.
    seen
        Addresses of elements that sightings speak of.

    Raises
    ------
    SolveError
        If the clean harness has no solution in that mode.
    """
    import numpy as np

    network = expand(harness, mode)
    base = prepare(network)
    metal = between(base)
    names = list(dict.fromkeys(points))
    at = np.array([network.index[p] for p in names], dtype=np.int64)
    here = base.done.point_volts
    some_joint = groups[0].joint if groups else ""
    clean = volts_at(metal, base, some_joint, here, at, 0.0)
    bad = np.repeat(np.repeat(clean[None, None], len(groups), 0), len(GRID_OHM), 1)
    elements = [e for e in network.elements if e.address in seen or e.part in seen]
    at_elements = np.repeat(here[:, None], 1 + len(groups) * len(GRID_OHM), axis=1) if elements else None
    by_joint = {g.joint: n for n, g in enumerate(groups)}
    for step, added_ohm in enumerate(GRID_OHM):
        for chunk in sweep(base, added_ohm, list(by_joint), cancelled):
            for column, joints in enumerate(chunk.joints):
                if chunk.failed[column]:
                    continue
                volts = chunk.volts[:, column]
                for joint in joints:
                    group = by_joint[joint]
                    bad[group, step] = volts_at(metal, base, joint, volts, at, added_ohm)
                    if at_elements is not None:
                        at_elements[:, 1 + group * len(GRID_OHM) + step] = volts
    values = {e.address: _seen(harness, e, at_elements) for e in elements if at_elements is not None}
    return Predicted(network, base, metal, {p: n for n, p in enumerate(names)}, clean, bad, values)


def _seen(harness: Harness, element: Element, volts: Floats) -> tuple[Floats, float]:
    """Return what a person sees of an element, column by column, and the smallest change that is noticed."""
    import numpy as np

    def across(first: str, second: str) -> Floats:
        found: Floats = volts[element.terminals[first]] - volts[element.terminals[second]]
        return found

    best: tuple[Floats, float] | None = None
    for value in element_values(harness, element, across):
        noticed = NOTICED.get(value.unit)
        if noticed is None:
            clean = float(value.values[0])
            part = NOTICED_PART[value.what] * abs(clean) if math.isfinite(clean) else 0.0
            noticed = max(part, NOTICED_LEAST[value.what])
        if best is None or value.unit != "V":
            best = value.values, noticed
    if best is None:
        names = tuple(element.terminals)
        best = across(names[0], names[-1]), NOTICED["V"]
    return np.nan_to_num(best[0]), best[1]
