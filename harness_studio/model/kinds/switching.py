"""Switches, relays and flashers."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

from harness_studio.model.values import NameText, Positive


@dataclass(frozen=True, slots=True)
class Switch:
    """Positions in order; each lists the groups of terminals that it joins."""

    positions: Mapping[str, tuple[tuple[NameText, ...], ...]] = field(default_factory=dict)
    rated_a: Positive | None = None
    springs_back_to: str | None = None


@dataclass(frozen=True, slots=True)
class Relay:
    """A relay: coil, thresholds, and its contacts. `coil_diode` conducts from its first terminal to its second."""

    coil_ohm: Positive | None = None
    pull_in_v: Positive | None = None
    drop_out_v: Positive | None = None
    contacts: Literal["make", "break", "changeover", "double make"] = "make"
    coil_diode: Literal["none", "86 to 85", "85 to 86"] = "none"
    rated_a: Positive | None = None


@dataclass(frozen=True, slots=True)
class Flasher:
    """A flasher unit: thermal, or electronic with lamp-out detection."""

    movement: Literal["thermal", "electronic"] = "thermal"
    rated_w: Positive | None = None
    least_a: Positive | None = None
    lamp_out_a: Positive | None = None
    ohm: Positive | None = None


def switch_terminals(switch: Switch) -> tuple[str, ...] | None:
    """Return the terminals that the positions name; None (any) when they name none."""
    named = tuple(dict.fromkeys(t for groups in switch.positions.values() for g in groups for t in g))
    return named or None


def ignition_terminals(switch: Switch) -> tuple[str, ...]:
    """Return 30, 15, 50, 75 (DIN 72552) and what else the positions name."""
    return tuple(dict.fromkeys(("30", "15", "50", "75", *(switch_terminals(switch) or ()))))


def relay_terminals(relay: Relay) -> tuple[str, ...]:
    """Return the DIN 72552 numbers of coil and contacts."""
    contacts = {
        "make": ("30", "87"),
        "break": ("30", "87a"),
        "changeover": ("30", "87", "87a"),
        "double make": ("30", "87", "87b"),
    }
    return ("85", "86", *contacts[relay.contacts])


def flasher_terminals(_: Flasher) -> tuple[str, ...]:
    """Return 49 (feed), 49a (lamps) and 31, DIN 72552."""
    return ("49", "49a", "31")
