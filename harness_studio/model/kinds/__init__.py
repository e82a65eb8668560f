"""Kinds of part: the ratings of each kind as a frozen dataclass, and the terminals it has.

To add a kind: write its ratings class in the file of its family, add it to `KINDS` here, and give it a law (electrics)
and a painter (drawing).
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from . import control, gauges, loads, protection, sources, switching
from .common import Ratings


@dataclass(frozen=True, slots=True)
class Kind:
    """A kind of part.

    Parameters
    ----------
    name
        The word in the file.
    title
        The trade's word, as shown.
    ratings
        The dataclass of what a person reads off such a part.
    terminals
        Gives the names of its terminals from its ratings; None when any name is a terminal.
    letter
        Designator letters of the two presets (IEC 81346 style, ASME Y14.44 style).
    """

    name: str
    title: str
    ratings: type[Any]
    terminals: Callable[[Any], tuple[str, ...] | None]
    letter: tuple[str, str]


KINDS: dict[str, Kind] = {
    k.name: k
    for k in (
        Kind("battery", "battery", sources.Battery, sources.battery_terminals, ("GB", "BT")),
        Kind("alternator", "alternator", sources.Alternator, sources.alternator_terminals, ("G", "G")),
        Kind("dynamo", "dynamo", sources.Alternator, sources.alternator_terminals, ("G", "G")),
        Kind("starter", "starter", loads.Starter, loads.starter_terminals, ("M", "M")),
        Kind("resistor", "resistor", loads.Resistor, loads.plain_terminals, ("R", "R")),
        Kind("heater", "heater", loads.Resistor, loads.plain_terminals, ("E", "HR")),
        Kind("lamp", "lamp", loads.Lamp, loads.lamp_terminals, ("E", "DS")),
        Kind("motor", "motor", loads.Motor, loads.motor_terminals, ("M", "M")),
        Kind("coil", "ignition coil", loads.IgnitionCoil, loads.coil_terminals, ("T", "T")),
        Kind("converter", "constant-power load", loads.Converter, loads.motor_terminals, ("T", "PS")),
        Kind("current_load", "constant-current load", loads.CurrentLoad, loads.motor_terminals, ("E", "DS")),
        Kind("led", "LED", loads.Led, loads.diode_terminals, ("P", "DS")),
        Kind("diode", "diode", loads.Diode, loads.diode_terminals, ("R", "CR")),
        Kind("fuse", "fuse", protection.Fuse, protection.fuse_terminals, ("F", "F")),
        Kind("breaker", "circuit breaker", protection.Fuse, protection.fuse_terminals, ("F", "CB")),
        Kind("link", "fusible link", protection.Link, protection.fuse_terminals, ("F", "F")),
        Kind("switch", "switch", switching.Switch, switching.switch_terminals, ("S", "S")),
        Kind(
            "ignition_switch", "ignition switch", switching.Switch, switching.ignition_terminals, ("S", "S")
        ),
        Kind("cut_off", "battery cut-off", switching.Switch, switching.switch_terminals, ("Q", "S")),
        Kind("relay", "relay", switching.Relay, switching.relay_terminals, ("K", "K")),
        Kind("flasher", "flasher", switching.Flasher, switching.flasher_terminals, ("K", "DS")),
        Kind("gauge", "gauge", gauges.Gauge, gauges.gauge_terminals, ("P", "M")),
        Kind("stabiliser", "gauge stabiliser", gauges.Stabiliser, gauges.stabiliser_terminals, ("T", "VR")),
        Kind("voltmeter", "voltmeter gauge", gauges.Instrument, loads.plain_terminals, ("P", "M")),
        Kind("ammeter", "ammeter", gauges.Instrument, loads.plain_terminals, ("P", "M")),
        Kind("sender", "sender", gauges.Sender, gauges.sender_terminals, ("B", "RT")),
        Kind("ntc", "NTC sensor", gauges.Ntc, loads.plain_terminals, ("B", "RT")),
        Kind("control_unit", "control unit", control.ControlUnit, control.unit_terminals, ("A", "A")),
        Kind("bus_bar", "bus bar", control.BusBar, control.bar_terminals, ("W", "TB")),
        Kind("box", "box", control.Box, control.box_terminals, ("A", "A")),
        Kind("device", "device", control.Device, control.device_terminals, ("A", "A")),
    )
}
"""Every kind by its word in the file."""

__all__ = ["KINDS", "Kind", "Ratings"]
