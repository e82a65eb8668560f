"""Discrete states of the rated laws: relays, batteries that charge, diodes, stabilisers; the most violated flips."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from harness_studio.network.network import Element, Network

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]

EDGE_V = 1e-9
"""How far past its edge a battery is let be: one that carries nothing stands at its rest volts, to rounding."""
PULL_IN_SHARE, DROP_OUT_SHARE = 0.6, 0.2
"""Pull-in and drop-out of a relay against the system's volts where not known (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class Flip:
    """A state that does not fit the solved volts: the element, the state it wants, and how far off (relative)."""

    element: str
    to: str
    by: float


def initial(network: Network) -> dict[str, str]:
    """Return the states before the first pass: relays released, batteries discharging unless an engine runs.

    A stabiliser passes: an unfed one that held its output would draw its current from nowhere.
    """
    states: dict[str, str] = {}
    for element in network.elements:
        if element.kind == "relay":
            states[element.address] = "released"
        elif element.kind == "battery":
            states[element.address] = (
                "charging" if network.mode.engine in ("idling", "running") else "discharging"
            )
        elif element.kind == "diode":
            states[element.address] = "blocked"
        elif element.kind == "stabiliser":
            states[element.address] = "passing"
    return states


def applied(element: Element, states: Mapping[str, str]) -> Element:
    """Return the element with its discrete state, where that decides its law."""
    if element.kind in ("battery", "diode", "stabiliser"):
        return replace(element, state=states[element.address])
    return element


def closed_ohm(network: Network, ohm: Floats) -> Floats:
    """Return resistances with those of open contacts as they are when closed: a relay may turn."""
    import numpy as np

    found = ohm.copy()
    for contact in network.contacts:
        if np.isinf(found[contact.branch]):
            found[contact.branch] = network.branches.resistance_ohm[contact.branch]
    return found


def branch_ohm(network: Network, states: Mapping[str, str], ohm: Floats) -> Floats:
    """Return the resistance of every branch with relay contacts as the states say, from `ohm` with all closed."""
    ohm = ohm.copy()
    for contact in network.contacts:
        if (states.get(contact.relay) == "pulled in") != contact.makes:
            ohm[contact.branch] = float("inf")
    return ohm


def wanted(network: Network, states: Mapping[str, str], volts: Floats) -> Flip | None:
    """Return the state that fits the volts least, or None if all fit."""
    worst: Flip | None = None
    for element in network.elements:
        state = states.get(element.address)
        flip = _flip(element, state, volts) if state else None
        if flip and (worst is None or flip.by > worst.by):
            worst = flip
    return worst


_ACROSS = {"relay": ("86", "85"), "battery": ("30", "31"), "diode": ("A", "K"), "stabiliser": ("15", "31")}


def _flip(element: Element, state: str | None, volts: Floats) -> Flip | None:
    first, second = _ACROSS[element.kind]
    across = float(volts[element.terminals[first]] - volts[element.terminals[second]])
    if across != across:
        across = 0.0
    if element.kind == "relay":
        pull_in = element.ratings.pull_in_v or PULL_IN_SHARE * 12.0
        drop_out = element.ratings.drop_out_v or DROP_OUT_SHARE * 12.0
        if state == "released" and abs(across) >= pull_in:
            return Flip(element.address, "pulled in", abs(across) / pull_in - 1.0)
        if state == "pulled in" and abs(across) < drop_out:
            return Flip(element.address, "released", 1.0 - abs(across) / drop_out)
        return None
    if element.kind == "battery":
        rest_v = element.ratings.rest_v or 12.65
        if state == "charging" and across < rest_v - EDGE_V:
            return Flip(element.address, "discharging", 1.0 - across / rest_v)
        if state == "discharging" and across > rest_v + EDGE_V:
            return Flip(element.address, "charging", across / rest_v - 1.0)
        return None
    if element.kind == "stabiliser":
        nominal_v = element.ratings.nominal_v
        if state == "passing" and across > nominal_v:
            return Flip(element.address, "regulating", across / nominal_v - 1.0)
        if state == "regulating" and across < nominal_v:
            return Flip(element.address, "passing", 1.0 - across / nominal_v)
        return None
    if state == "blocked" and across > 0.7:
        return Flip(element.address, "conducts", across / 0.7 - 1.0)
    if state == "conducts" and across < 0.7:
        return Flip(element.address, "blocked", 1.0 - across / 0.7)
    return None
