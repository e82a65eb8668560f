"""How large each kind of part is drawn and on which side its terminals leave.

The flow is from left to right: what feeds a part comes in at the left, what returns leaves at the right. Sources
stand at the left end, so their feed terminal is at the right.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from harness_studio.model.parts import Part

Sides = tuple[Sequence[str], Sequence[str], Sequence[str]]
"""Terminals at the left, at the right and at the bottom."""


@dataclass(frozen=True, slots=True)
class Shape:
    """Size of a kind's outline in mm, and how its terminals are shared out among its sides.

    Parameters
    ----------
    width_mm, height_mm
        Of the outline; a rectangle with many terminals grows higher.
    sides
        Gives the sides from the terminals and the ratings.
    round
        Whether the outline is a circle, which grows as a whole when its terminals need more room.
    leads
        Whether lines lead from the outline to the terminals; otherwise they lie on its edge.
    names
        Whether the names of the terminals are written inside.
    """

    width_mm: float
    height_mm: float
    sides: Callable[[Sequence[str], Any], Sides]
    round: bool = False
    leads: bool = True
    names: bool = False


def _named(
    left: Sequence[str], right: Sequence[str] = (), bottom: Sequence[str] = ()
) -> Callable[[Sequence[str], Any], Sides]:
    """Share out terminals by name; any other one leaves at the right."""

    def sides(terminals: Sequence[str], _: Any) -> Sides:
        others = [t for t in terminals if t not in left and t not in right and t not in bottom]
        return (
            [t for t in left if t in terminals],
            [*(t for t in right if t in terminals), *others],
            [t for t in bottom if t in terminals],
        )

    return sides


def _halved(terminals: Sequence[str], _: Any) -> Sides:
    """Return the first half of the terminals at the left, the others at the right."""
    middle = (len(terminals) + 1) // 2
    return terminals[:middle], terminals[middle:], ()


def _lamp(terminals: Sequence[str], ratings: Any) -> Sides:
    """Return what the elements have in common, else 31, at the right; the feeds at the left."""
    ends = [set(e.between) for e in ratings.elements.values()]
    common = set.intersection(*ends) if len(ends) > 1 else set()
    returns = [t for t in terminals if t in (common or {"31"})] or list(terminals[-1:])
    return [t for t in terminals if t not in returns], returns, ()


def _switch(terminals: Sequence[str], ratings: Any) -> Sides:
    """Return the terminal that is joined in the most ways at the left, the others at the right."""
    groups = [g for position in ratings.positions.values() for g in position]
    if not terminals:
        return (), (), ()
    first = max(terminals, key=lambda t: (sum(t in g for g in groups), t == "30", -terminals.index(t)))
    return [first], [t for t in terminals if t != first], ()


_UNIT_LEFT = ("supply", "sensor_input", "low_side", "pwm_low", "unused")


def _unit(terminals: Sequence[str], ratings: Any) -> Sides:
    """Return supplies and what comes in at the left; outputs, references and grounds at the right."""
    if not ratings.terminals:
        return _halved(terminals, ratings)
    left = [t for t in terminals if t in ratings.terminals and ratings.terminals[t].does in _UNIT_LEFT]
    return left, [t for t in terminals if t not in left], ()


_IN_LINE = Shape(20, 12, _named(("in", "A", "1"), ("out", "K", "2")), leads=False)

SHAPES: Mapping[str, Shape] = {
    "battery": Shape(30, 16, _named((), ("30",), ("31",)), leads=False),
    "alternator": Shape(15, 15, _named((), ("B+", "D+", "S"), ("B-",)), round=True),
    "dynamo": Shape(15, 15, _named((), ("B+", "D+", "S"), ("B-",)), round=True),
    "starter": Shape(18, 20, _named(("30", "50"), (), ("31",)), leads=False),
    "resistor": _IN_LINE,
    "heater": _IN_LINE,
    "lamp": Shape(12, 12, _lamp, round=True),
    "motor": Shape(14, 14, _named(("15",), ("31",)), round=True),
    "coil": Shape(20, 12, _named(("15",), ("1",)), leads=False),
    "converter": Shape(18, 12, _named(("15",), ("31",)), leads=False),
    "current_load": Shape(12, 12, _named(("15",), ("31",)), round=True),
    "led": Shape(20, 12, _named(("A",), ("K",)), leads=False),
    "diode": Shape(20, 12, _named(("A",), ("K",)), leads=False),
    "fuse": _IN_LINE,
    "breaker": _IN_LINE,
    "link": _IN_LINE,
    "switch": Shape(20, 12, _switch, leads=False),
    "ignition_switch": Shape(26, 20, _named(("30",), ("15", "50", "75")), leads=False, names=True),
    "cut_off": Shape(20, 12, _switch, leads=False),
    "relay": Shape(28, 24, _named(("30", "86"), ("87", "87a", "87b", "85")), leads=False, names=True),
    "flasher": Shape(20, 14, _named(("49",), ("49a", "31")), leads=False, names=True),
    "gauge": Shape(24, 24, _named(("15",), ("S", "31")), round=True),
    "stabiliser": Shape(24, 14, _named(("15",), ("out", "31")), leads=False, names=True),
    "voltmeter": Shape(18, 18, _named(("1",), ("2",)), round=True),
    "ammeter": Shape(18, 18, _named(("1",), ("2",)), round=True),
    "sender": Shape(20, 12, _named(("1",), ("31",)), leads=False),
    "ntc": Shape(20, 12, _named(("1",), ("2",)), leads=False),
    "control_unit": Shape(44, 20, _unit, leads=False, names=True),
    "bus_bar": Shape(10, 16, _halved, leads=False),
    "box": Shape(54, 16, _halved, leads=False, names=True),
    "device": Shape(30, 14, _halved, leads=False, names=True),
}
"""By kind of part; `shape_of` has one for a kind that is not listed."""


def shape_of(part: Part) -> Shape:
    """Return the shape of a part's kind; a plain rectangle for a kind without one."""
    return SHAPES.get(part.kind, SHAPES["device"])


def sides_of(part: Part, terminals: Sequence[str], grounded: str = "negative") -> Sides:
    """Return the terminals at the left, right and bottom.

    A terminal that is bolted to metal is at the bottom. In a positive-ground vehicle the battery feeds from 31.
    """
    left, right, bottom = shape_of(part).sides(terminals, part.ratings)
    if part.kind == "battery" and grounded == "positive":
        right, bottom = bottom, right
    if part.mount is None:
        return left, right, bottom
    fixed = part.mount.terminal
    return (
        [t for t in left if t != fixed],
        [t for t in right if t != fixed],
        [*(t for t in bottom if t != fixed), fixed],
    )
