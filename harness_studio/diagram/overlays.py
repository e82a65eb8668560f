"""What the whole diagram can be read for: currents, volts risen or lost, warmth of wires. A number for each wire."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal, overload

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
    words: Sequence[str]
    ends: tuple[str, str]


def overlay_of(kind: Kind, scene: Scene, solution: Solution) -> Overlay:
    """Return an overlay for a page."""
    if kind == "current":
        return _current(scene, solution)
    return _lost(scene, solution) if kind == "lost" else _warmth(scene, solution)


class Words(Sequence[str]):
    """What is written at each wire, said only where it is asked for: few of thousands ever are."""

    def __init__(self, values: Floats, say: Callable[[int, float], str]) -> None:
        self._values, self._say = values, say

    def __len__(self) -> int:
        return len(self._values)

    @overload
    def __getitem__(self, at: int) -> str: ...

    @overload
    def __getitem__(self, at: slice) -> list[str]: ...

    def __getitem__(self, at: int | slice) -> str | list[str]:
        """Return the words of a wire; nothing where its value is not known."""
        if isinstance(at, slice):
            return [self[i] for i in range(*at.indices(len(self)))]
        value = float(self._values[at])
        return "" if np.isnan(value) else self._say(int(at), value)


def _current(scene: Scene, solution: Solution) -> Overlay:
    network = solution.network
    branch = {a: n for n, (a, k) in enumerate(zip(network.branches.address, network.branches.kind, strict=True))
              if k == "wire"}  # fmt: skip
    number = np.array([branch.get(w, -1) for w in scene.wires.ids], dtype=np.int64)
    values = np.where(number >= 0, solution.amperes[number], np.nan) if len(number) else np.zeros(0)
    size = np.abs(np.nan_to_num(values))
    most = float(size.max(initial=0.0))
    part = np.sqrt(size / most) if most > 0 else size
    widths = THIN_PX + (MOST_PX - THIN_PX) * part
    words = Words(values, lambda _, v: amperes(abs(v)) if abs(v) >= LEAST_A else "")
    return Overlay("current", values, widths, np.full(len(size), -1), words, ("0 A", amperes(most)))


def _lost(scene: Scene, solution: Solution) -> Overlay:
    """Take for each wire the end that is worse, against the nearer of grounded post and highest source."""
    at, wires = solution.network.index, scene.harness.wires
    top = float(np.nanmax(solution.volts, initial=0.0))
    ends = np.array(
        [[at.get(e.point or "", -1) for e in wires[wire].ends] for wire in scene.wires.ids], dtype=np.int64
    ).reshape(-1, 2)
    volts_at = np.where(ends >= 0, solution.volts[ends], np.nan)
    known = np.isfinite(volts_at)
    count = known.sum(axis=1)
    mean = np.where(count > 0, np.where(known, volts_at, 0.0).sum(axis=1) / np.maximum(count, 1), np.nan)
    rises = mean < top / 2
    lost = np.where(rises[:, None], np.abs(volts_at), top - volts_at)
    values = np.where(count > 0, np.where(known, lost, -np.inf).max(axis=1, initial=-np.inf), np.nan)

    def say(wire: int, value: float) -> str:
        said = volts(value) if value >= 0.1 else millivolts(value * 1e3)
        return f"{'rise' if rises[wire] else 'drop'} {said}" if value >= 0.0005 else ""

    # What a dark switch holds off is no loss along the way: the scale ends where a fifth of the supply is lost.
    counted = values[values <= top / 5] if len(values) else values
    most = max(LEAST_MOST_V, float(np.nanmax(counted, initial=0.0)))
    scale = ("0 V", f"{volts(most)} or more")
    return Overlay("lost", values, None, _steps(values / most), Words(values, say), scale)


def _warmth(scene: Scene, solution: Solution) -> Overlay:
    warm = solution.wire_temperatures_c()
    network = solution.network
    address, branches = network.branches.address, network.conductors.branch.tolist()
    limits = {address[b]: t for b, t in zip(branches, network.conductors.limit_c.tolist(), strict=True)}
    celsius = np.array([warm.get(w, np.nan) for w in scene.wires.ids], dtype=np.float64)
    limit = np.array([limits.get(w, np.nan) for w in scene.wires.ids], dtype=np.float64)
    values = (celsius - 20.0) / np.maximum(1.0, limit - 20.0)

    def say(wire: int, _: float) -> str:
        over = " OVER" if celsius[wire] > limit[wire] else ""
        return f"{celsius[wire]:.0f} of {limit[wire]:.0f} °C{over}"

    return Overlay("warmth", values, None, _steps(values), Words(values, say), ("20 °C", "its limit"))


def _steps(part: Floats) -> Ints:
    """Return the colour of each part of a scale, -1 where it is not known."""
    known = np.isfinite(part)
    found = np.clip(np.floor(np.where(known, part, 0.0) * STEPS), 0, STEPS - 1).astype(np.int64)
    return np.where(known, found, -1)
