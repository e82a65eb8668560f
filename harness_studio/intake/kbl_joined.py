"""Points that wires and splices join, and which ring terminals are taken as grounds.

Rule: a ring terminal becomes a ground on a body of which nothing is known, marked as assumed, unless what is joined to
it by wires and splices holds a battery positive or a fuse; then it stays a connector half of one cavity. A battery
positive is a signal name in which a terminal number of DIN 72552 that is fed stands by itself: 15, 30, 50, 61, 75, 87,
also with letters after it (30a) or KL before it (KL30), or B+ or D+. If a terminal number 31 comes first in that name,
it is a ground all the same.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Hashable, Iterable

from .kbl_connectors import CavityRead, ConnectorRead
from .kbl_wires import Conductor

_TERMINAL = re.compile(
    r"(?<![A-Za-z0-9])(?:(?:KL)?(15|30|31|50|61|75|87)[A-Za-z]*(?![A-Za-z0-9])|[BD]\+)", re.IGNORECASE
)


def is_fed(circuit: str | None) -> bool:
    """Tell whether a signal name speaks of battery positive."""
    found = _TERMINAL.search(circuit or "")
    return found is not None and found[1] != "31"


class Joined:
    """Groups of points that are joined (union-find)."""

    def __init__(self) -> None:
        self._above: dict[Hashable, Hashable] = {}

    def join(self, first: Hashable, second: Hashable) -> None:
        """Join two points."""
        a, b = self.group(first), self.group(second)
        if a != b:
            self._above[b] = a

    def group(self, point: Hashable) -> Hashable:
        """Return what stands for the group of a point."""
        top = point
        while (above := self._above.setdefault(top, top)) != top:
            top = above
        while (above := self._above[point]) != top:
            self._above[point], point = top, above
        return top


def point_of(connector: ConnectorRead, cavity: CavityRead) -> Hashable:
    """Return the point at which a wire meets a connector: a splice is one point, else each cavity is."""
    return connector if connector.usage == "splice" else (connector, cavity)


def grounds_among(
    connectors: Iterable[ConnectorRead], conductors: Iterable[Conductor], at_fuses: Collection[str]
) -> set[ConnectorRead]:
    """Return the ring terminals that are taken as grounds.

    Parameters
    ----------
    connectors, conductors
        All that are read.
    at_fuses
        Terminals of parts ('A1.X-3', 'F1.in') that are a fuse's, or joined to one inside a box.
    """
    connectors = list(connectors)
    joined = Joined()
    fed: list[Hashable] = []
    for conductor in conductors:
        points = [point_of(t.landing.connector, t.landing.cavity) for t in conductor.touches if t.landing]
        for point in points:
            joined.join(points[0], point)
        if points and is_fed(conductor.signal):
            fed.append(points[0])
    for connector in connectors:
        points = [point_of(connector, cavity) for cavity in connector.cavities.values()]
        if connector.usage == "ring" and points:  # one piece of metal
            for point in points:
                joined.join(points[0], point)
        fed += [
            point
            for point, cavity in zip(points, connector.cavities.values(), strict=True)
            if f"{connector.part}.{cavity.terminal}" in at_fuses
        ]
    alive = {joined.group(point) for point in fed}
    return {
        c
        for c in connectors
        if c.usage == "ring"
        and not any(joined.group(point_of(c, cavity)) in alive for cavity in c.cavities.values())
    }
