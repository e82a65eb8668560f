"""What a solve returns: volts and amperes by id, as plain numbers."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

from harness_studio.base.errors import AddressError, nearest
from harness_studio.network.network import Assumption, Network

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class WireResult:
    """A wire: amperes from its first end to its second, volts lost on the way, watts turned into heat."""

    amperes: float
    drop_v: float
    watts: float


@dataclass(frozen=True, slots=True)
class JointResult:
    """A joint: amperes from its first side to its second, volts across it, its resistance (inf: open)."""

    amperes: float
    drop_v: float
    ohm: float


@dataclass(frozen=True, slots=True)
class PartResult:
    """A part: amperes into each terminal (by address), and watts taken in (negative: given out)."""

    terminals: Mapping[str, float]
    watts: float


@dataclass(frozen=True, slots=True)
class Unsolved:
    """Something without an answer: a floating island by name, or an element that is not connected."""

    what: str
    points: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class ElementCurrents:
    """Currents into an element: indices of its points and amperes into it at each."""

    address: str
    part: str
    kind: str
    points: tuple[int, ...]
    amperes: tuple[float, ...]


@dataclass(frozen=True, slots=True)
class Solution:
    """The solved network.

    Parameters
    ----------
    network
        What was solved.
    volts
        Volts of each point against the grounded post, shape (points,); NaN in an island.
    amperes
        Current in each branch from its `a` to its `b`, shape (branches,).
    ohm
        Resistance of each branch as solved (relay contacts in their state), shape (branches,).
    elements
        Currents into the elements.
    states
        Discrete states by element: 'pulled in', 'released', 'chatters', 'regulating', ...
    wire_c
        Temperature of each wire's conductor in °C, in the order of `network.conductors`; None when solved cold.
    """

    network: Network
    volts: Floats
    amperes: Floats
    ohm: Floats
    elements: tuple[ElementCurrents, ...]
    states: Mapping[str, str]
    assumed: tuple[Assumption, ...]
    unsolved: tuple[Unsolved, ...]
    wire_c: Floats | None = None

    def volt(self, point: str) -> float | None:
        """Return the volts of a point, None in an island.

        Raises
        ------
        AddressError
            If there is no such point.
        """
        index = self.network.index.get(point)
        if index is None:
            near = nearest(point, self.network.index)
            raise AddressError(
                f"'{point}' is no point of this network" + (f"; nearest is '{near}'" if near else "")
            )
        value = float(self.volts[index])
        return None if math.isnan(value) else value

    def points(self) -> Iterator[tuple[str, float | None]]:
        """Yield (address, volts) of every point that can be touched, names of the metal at wires' ends included."""
        for address, index in self.network.index.items():
            if address[0] != "~" and self.network.points[index][0] != "~":
                value = float(self.volts[index])
                yield address, (None if math.isnan(value) else value)

    def wire(self, wire_id: str) -> WireResult:
        """Return the result of one wire."""
        return dict(self.wires())[wire_id]

    def wires(self) -> Iterator[tuple[str, WireResult]]:
        """Yield the result of every wire."""
        amperes, ohm = self.amperes.tolist(), self.ohm.tolist()
        for number, kind in enumerate(self.network.branches.kind):
            if kind == "wire":
                i = amperes[number]
                yield (
                    self.network.branches.address[number],
                    WireResult(i, i * ohm[number], i * i * ohm[number]),
                )

    def wire_temperatures_c(self) -> dict[str, float]:
        """Return the temperature of each wire's conductor in °C; empty when solved cold."""
        if self.wire_c is None:
            return {}
        address = self.network.branches.address
        branch = self.network.conductors.branch.tolist()
        return {address[b]: t for b, t in zip(branch, self.wire_c.tolist(), strict=True)}

    def joint(self, address: str) -> JointResult:
        """Return the result of one joint; any of its names will do.

        Raises
        ------
        AddressError
            If there is no such joint.
        """
        number = branch_of(self.network, address)
        return self._joint(number)

    def joints(self) -> Iterator[tuple[str, JointResult]]:
        """Yield the result of every joint under its canonical name."""
        for address, number in self.network.joints.items():
            if self.network.branches.address[number] == address:
                yield address, self._joint(number)

    def _joint(self, number: int) -> JointResult:
        i, ohm = float(self.amperes[number]), float(self.ohm[number])
        if math.isfinite(ohm):
            return JointResult(i, i * ohm, ohm)
        branches = self.network.branches
        across = float(self.volts[branches.a[number]] - self.volts[branches.b[number]])
        return JointResult(0.0, across, ohm)

    def parts(self) -> Iterator[tuple[str, PartResult]]:
        """Yield the result of every part that holds working elements."""
        points, volts = self.network.points, self.volts.tolist()
        found: dict[str, tuple[dict[str, float], list[float]]] = {}
        for element in self.elements:
            own = found.get(element.part)
            if own is None:
                own = found[element.part] = ({}, [0.0])
            terminals, watts = own
            for index, amperes in zip(element.points, element.amperes, strict=True):
                address = points[index]
                terminals[address] = terminals.get(address, 0.0) + amperes
                if amperes:
                    watts[0] += amperes * volts[index]
        for part, (terminals, watts) in found.items():
            yield part, PartResult(terminals, watts[0])


def branch_of(network: Network, address: str) -> int:
    """Return the branch of a joint, wire or bond by any of its names.

    Raises
    ------
    AddressError
        If nothing of that name is in the network; the nearest name is suggested.
    """
    number = network.joints.get(address)
    if number is not None:
        return number
    if address in network.branches.address:
        return network.branches.address.index(address)
    near = nearest(address, network.joints)
    raise AddressError(
        f"'{address}' is no joint of this network in this mode" + (f"; nearest is '{near}'" if near else "")
    )
