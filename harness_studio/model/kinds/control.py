"""Control units, bus bars, boxes, and devices of which only the terminals are known."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Annotated, Literal

from harness_studio.model.values import NameText, NotNegative, PointText, Positive

Buses = Annotated[tuple[tuple[PointText, ...], ...], "buses"]


@dataclass(frozen=True, slots=True)
class UnitTerminal:
    """What one terminal of a control unit does.

    `to` names the terminal its current returns to (a ground of the unit) or, for a high-side driver, comes from.
    """

    does: Literal[
        "supply", "ground", "sensor_ground", "draw", "low_side", "high_side", "pwm_low", "pwm_high", "sensor_input",
        "reference", "unused",
    ]  # fmt: skip
    title: str | None = None
    to: NameText | None = None
    amps: NotNegative | None = None
    ohm: NotNegative | None = None
    reference_v: Positive | None = None
    pull_up_ohm: Positive | None = None
    duty: NotNegative | None = None
    reads: str | None = None
    on: bool = True
    note: str | None = None


@dataclass(frozen=True, slots=True)
class ControlUnit:
    """A control unit: each terminal declared with what it does."""

    terminals: Mapping[NameText, UnitTerminal] = field(default_factory=dict)
    cut_out_v: NotNegative | None = None


@dataclass(frozen=True, slots=True)
class BusBar:
    """A bar with studs or tabs; any name is a terminal unless they are listed."""

    terminals: tuple[NameText, ...] = ()


@dataclass(frozen=True, slots=True)
class Box:
    """A box that holds other parts; each bus joins the listed points."""

    holds: tuple[str, ...] = ()
    buses: Buses = ()


@dataclass(frozen=True, slots=True)
class Device:
    """A part of which only the terminals are known; nothing is assumed about what is inside."""

    terminals: tuple[NameText, ...] = ()


def unit_terminals(unit: ControlUnit) -> tuple[str, ...] | None:
    """Return the declared terminals; None (any) when none is declared."""
    return tuple(unit.terminals) or None


def bar_terminals(bar: BusBar) -> tuple[str, ...] | None:
    """Return the listed terminals; None (any) when none is listed."""
    return bar.terminals or None


def box_terminals(_: Box) -> tuple[str, ...] | None:
    """Return None: a box's own studs may have any name."""
    return None


def device_terminals(device: Device) -> tuple[str, ...] | None:
    """Return the listed terminals; None (any) when none is listed."""
    return device.terminals or None
