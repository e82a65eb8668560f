"""Collects points and resistances while a harness is expanded."""

from __future__ import annotations

import math

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
        self._joint_ohm = joint_ohm
        self._recorded_ohm = recorded_ohm

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

    def unknown_joints(self) -> list[str]:
        """Return dialled addresses that name no joint of this network."""
        return [address for address in self._joint_ohm if address not in self.joints]

    def assume(self, entity_id: str, what: str) -> None:
        """Note something that had to be supposed."""
        self.assumed.append(Assumption(entity_id, what))


def total_ohm(mohm: float) -> float:
    """Return ohms from milliohms; open stays infinite."""
    return mohm if math.isinf(mohm) else mohm / 1000.0
