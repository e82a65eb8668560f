"""What the whole diagram can be read for: currents, volts risen or lost, warmth of wires. A number for each wire."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

import numpy as np

from .focus import LEAST_A, MOST_PX
from .words import amperes, millivolts, volts

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from harness_studio.electrics.solution import Solution

    from .scene import Scene

    Floats = NDArray[np.float64]
    Ints = NDArray[np.int64]

Kind = Literal["current", "lost", "warmth"]
TITLES: Mapping[Kind, str] = {
    "current": "Currents", "lost": "Rise and drop", "warmth": "Wire temperatures against their limits",
}  # fmt: skip
CIVIDIS = (
    (0, 32, 77), (5, 54, 110), (64, 77, 107), (96, 100, 111), (124, 123, 120), (155, 148, 119), (188, 175, 111),
    (224, 203, 93), (255, 234, 70),
)  # fmt: skip
"""Nine even steps of the map of Nunez, Anderton and Renslow, PLoS ONE 13 (2018) e0199239."""
STEPS = len(CIVIDIS)
THIN_PX = 0.9
"""How broad a wire without current is drawn."""
LEAST_MOST_V = 0.1
"""The scale of rise and drop reaches at least so far: below a tenth of a volt all is well."""


@dataclass(frozen=True, slots=True, eq=False)
class Overlay:
    """One number for each wire, in the scene's order of wires.

    Parameters
    ----------
    values
        Amperes from the first end to the second; volts risen or lost; part of the way from 20 °C to the limit. NaN:
        not known, shape (wires,).
    widths_px
        How broad each wire is drawn at natural size, None for by size.
    steps
        Which of the nine colours each wire has, -1 for none.
    words
        What is written at each wire; empty for nothing.
    ends
        Least and most of the scale, in words.
    """

    kind: Kind
    values: Floats
    widths_px: Floats | None
    steps: Ints
    words: tuple[str, ...]
    ends: tuple[str, str]


def overlay_of(kind: Kind, scene: Scene, solution: Solution) -> Overlay:
    """Return an overlay for a page."""
    if kind == "current":
        return _current(scene, solution)
    return _lost(scene, solution) if kind == "lost" else _warmth(scene, solution)


def _current(scene: Scene, solution: Solution) -> Overlay:
    known = dict(solution.wires())
    values = np.array([known[w].amperes if w in known else np.nan for w in scene.wires.ids], dtype=np.float64)
    size = np.abs(np.nan_to_num(values))
    most = float(size.max(initial=0.0))
    part = np.sqrt(size / most) if most > 0 else size
    widths = THIN_PX + (MOST_PX - THIN_PX) * part
    words = tuple(amperes(v) if v >= LEAST_A else "" for v in size.tolist())
    return Overlay("current", values, widths, np.full(len(size), -1), words, ("0 A", amperes(most)))


def _lost(scene: Scene, solution: Solution) -> Overlay:
    """Take for each wire the end that is worse, against the nearer of grounded post and highest source."""
    at = solution.network.index
    top = float(np.nanmax(solution.volts, initial=0.0))
    values, words = [], []
    for wire in scene.wires.ids:
        ends = [e.point for e in scene.harness.wires[wire].ends if e.point in at]
        found = [float(solution.volts[at[p]]) for p in ends if p is not None]
        found = [v for v in found if not np.isnan(v)]
        if not found:
            values.append(np.nan)
            words.append("")
            continue
        rises = float(np.mean(found)) < top / 2
        lost = max((abs(v) if rises else top - v) for v in found)
        values.append(lost)
        said = volts(lost) if lost >= 0.1 else millivolts(lost * 1e3)
        words.append(f"{'rise' if rises else 'drop'} {said}" if lost >= 0.0005 else "")
    array = np.array(values, dtype=np.float64)
    # What a dark switch holds off is no loss along the way: the scale ends where a fifth of the supply is lost.
    counted = array[array <= top / 5] if len(array) else array
    most = max(LEAST_MOST_V, float(np.nanmax(counted, initial=0.0)))
    return Overlay("lost", array, None, _steps(array / most), tuple(words), ("0 V", f"{volts(most)} or more"))


def _warmth(scene: Scene, solution: Solution) -> Overlay:
    warm = solution.wire_temperatures_c()
    network = solution.network
    address, branches = network.branches.address, network.conductors.branch.tolist()
    limits = {address[b]: t for b, t in zip(branches, network.conductors.limit_c.tolist(), strict=True)}
    values, words = [], []
    for wire in scene.wires.ids:
        if wire not in warm:
            values.append(np.nan)
            words.append("")
            continue
        values.append((warm[wire] - 20.0) / max(1.0, limits[wire] - 20.0))
        over = " OVER" if warm[wire] > limits[wire] else ""
        words.append(f"{warm[wire]:.0f} of {limits[wire]:.0f} °C{over}")
    array = np.array(values, dtype=np.float64)
    return Overlay("warmth", array, None, _steps(array), tuple(words), ("20 °C", "its limit"))


def _steps(part: Floats) -> Ints:
    """Return the colour of each part of a scale, -1 where it is not known."""
    known = np.isfinite(part)
    found = np.clip(np.floor(np.where(known, part, 0.0) * STEPS), 0, STEPS - 1).astype(np.int64)
    return np.where(known, found, -1)
