"""The one map kind → law."""

from __future__ import annotations

from collections.abc import Mapping

from harness_studio.network.network import Network

from . import instruments, loads, sources, units
from .pieces import Law, Pieces

LAWS: Mapping[str, Law] = {
    "battery": sources.battery,
    "alternator": sources.alternator,
    "dynamo": sources.alternator,
    "starter": loads.starter,
    "resistor": loads.watts,
    "heater": loads.watts,
    "lamp": loads.lamp,
    "motor": loads.motor,
    "coil": loads.ignition_coil,
    "converter": loads.converter,
    "current_load": loads.current_load,
    "led": loads.led,
    "diode": loads.diode,
    "relay": instruments.relay,
    "gauge": instruments.gauge,
    "stabiliser": instruments.stabiliser,
    "voltmeter": instruments.voltmeter,
    "sender": instruments.sender,
    "ntc": instruments.sender,
    "control_unit": units.control_unit,
}
"""Law of each kind of element. Ammeters, flashers, fuses, switches and contacts are metal (see `network`)."""

ALWAYS = frozenset({"battery", "alternator", "dynamo", "starter", "sender", "ntc", "control_unit"})
"""Kinds whose state in the mode is not on or off."""


def pieces_of(network: Network, states: Mapping[str, str]) -> Pieces:
    """Return the stamps and two-poles of every element that is on, given its discrete state."""
    pieces = Pieces()
    for element in network.elements:
        if element.state == "off" and element.kind not in ALWAYS:
            continue
        LAWS[element.kind](element, states.get(element.address), pieces)
    return pieces
