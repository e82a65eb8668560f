"""What is written with a symbol of the present state: volts and amperes of its part."""

from __future__ import annotations

from typing import TYPE_CHECKING

from .words import amperes, volts

if TYPE_CHECKING:
    from harness_studio.electrics.solution import PartResult, Solution

    from .scene import Scene

_STILL_A = 0.0005


def readings(scene: Scene, solution: Solution) -> dict[str, str]:
    """Return the live values by symbol, for symbols that have a place for them."""
    found: dict[str, str] = {}
    for part, result in solution.parts():
        home = scene.symbol_of(part)
        if home in scene.readings and home == part:
            found[home] = _said(result)
    return found


def _said(result: PartResult) -> str:
    most = max((abs(a) for a in result.terminals.values()), default=0.0)
    if most < _STILL_A:
        return "no current"
    return f"{volts(abs(result.watts / most))} · {amperes(most)}"
