"""Collects points and resistances while a harness is expanded."""

from __future__ import annotations

import math
from collections.abc import Callable

from .network import Assumption


class Builder:
    """Grows the columns of a network. Small and mutable on purpose: expansion runs over every wire."""

    def __init__(self, joint_ohm: dict[str, float], recorded_ohm: dict[str, float]) -> None:
        self.index: dict[str, int] = {}
        self.points: list[str] = []
        self.address: list[str] = []
        self.kind: list[str] = []
        self.a: list[int] = []
        self.b: list[int] = []
        self.ohm: list[float] = []
        self.joints: dict[str, int] = {}
        self.assumed: list[Assumption] = []
        self.conductors: list[tuple[float, ...]] = []
        self.fuses: list[tuple[int, float, float]] = []
        self._near: dict[int, list[int]] = {}
        self._near_count = 0
        self._joint_ohm = joint_ohm
        self._recorded_ohm = recorded_ohm

    def copy(self) -> Builder:
        """Return another one that holds the same and grows on its own."""
        other = Builder(self._joint_ohm, self._recorded_ohm)
        other.index, other.joints = self.index.copy(), self.joints.copy()
        other.points, other.address, other.kind = self.points.copy(), self.address.copy(), self.kind.copy()
        other.a, other.b, other.ohm = self.a.copy(), self.b.copy(), self.ohm.copy()
        other.assumed, other.conductors = self.assumed.copy(), self.conductors.copy()
        other.fuses = self.fuses.copy()
        other._near, other._near_count = self._near_own()
        return other

    def neighbours(self) -> Callable[[int], list[int]]:
        """Return what tells the points that branches join to a point; those of what was copied are not sought again."""
        shared, count = self._near, self._near_count
        own = _neighbours(self.a[count:], self.b[count:])
        return lambda point: shared.get(point, []) + own.get(point, [])

    def _near_own(self) -> tuple[dict[int, list[int]], int]:
        if self._near_count != len(self.a):
            self._near, self._near_count = _neighbours(self.a, self.b), len(self.a)
        return self._near, self._near_count

    def point(self, address: str) -> int:
        """Return the index of a point, making it if it is new."""
        found = self.index.get(address)
        if found is None:
            found = self.index[address] = len(self.points)
            self.points.append(address)
        return found

    def alias(self, address: str, index: int) -> None:
        """Let another address name an existing point."""
        self.index.setdefault(address, index)

    def branch(self, address: str, kind: str, a: int, b: int, ohm: float) -> int:
        """Add a resistance that is no joint (a wire, a body's metal) and return its index."""
        self.address.append(address)
        self.kind.append(kind)
        self.a.append(a)
        self.b.append(b)
        self.ohm.append(ohm)
        return len(self.ohm) - 1

    def joint(self, address: str, kind: str, a: int, b: int, clean_ohm: float) -> int:
        """Add a joint: its resistance is what the session dials, else what was found, else clean."""
        ohm = clean_ohm
        if address in self._joint_ohm:
            ohm = self._joint_ohm[address]
        elif address in self._recorded_ohm:
            ohm = self._recorded_ohm[address]
        number = self.branch(address, kind, a, b, ohm)
        self.joints[address] = number
        return number

    def joint_alias(self, address: str, number: int) -> None:
        """Let another address name an existing joint."""
        self.joints.setdefault(address, number)

    def settle_aliases(self) -> None:
        """Apply dialled and recorded resistances that were given under another name of a joint."""
        for given in (self._recorded_ohm, self._joint_ohm):
            for address, ohm in given.items():
                number = self.joints.get(address)
                if (
                    number is not None
                    and self.address[number] != address
                    and self._free(self.address[number], given)
                ):
                    self.ohm[number] = ohm

    def _free(self, canonical: str, given: dict[str, float]) -> bool:
        return canonical not in self._joint_ohm and (
            given is self._joint_ohm or canonical not in self._recorded_ohm
        )

    def assume(self, entity_id: str, what: str) -> None:
        """Note something that had to be supposed."""
        self.assumed.append(Assumption(entity_id, what))


def _neighbours(a: list[int], b: list[int]) -> dict[int, list[int]]:
    near: dict[int, list[int]] = {}
    for one, other in zip(a, b, strict=True):
        near.setdefault(one, []).append(other)
        near.setdefault(other, []).append(one)
    return near


def total_ohm(mohm: float) -> float:
    """Return ohms from milliohms; open stays infinite."""
    return mohm if math.isinf(mohm) else mohm / 1000.0
