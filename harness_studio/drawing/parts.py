"""The one map from kind of part to painter."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from . import boxed_parts, inline_parts, round_parts
from .glyph import Subject
from .strokes import Strokes

Painter = Callable[[Subject], Strokes]

PAINTERS: Mapping[str, Painter] = {
    "battery": boxed_parts.battery,
    "alternator": round_parts.generator,
    "dynamo": round_parts.generator,
    "starter": round_parts.starter,
    "resistor": inline_parts.resistor,
    "heater": inline_parts.heater,
    "lamp": round_parts.lamp,
    "motor": round_parts.motor,
    "coil": inline_parts.coil,
    "converter": boxed_parts.converter,
    "current_load": round_parts.current_load,
    "led": inline_parts.led,
    "diode": inline_parts.diode,
    "fuse": inline_parts.fuse,
    "breaker": inline_parts.breaker,
    "link": inline_parts.link,
    "switch": inline_parts.switch,
    "ignition_switch": inline_parts.switch_box,
    "cut_off": inline_parts.cut_off,
    "relay": boxed_parts.relay,
    "flasher": boxed_parts.flasher,
    "gauge": round_parts.gauge,
    "stabiliser": boxed_parts.stabiliser,
    "voltmeter": round_parts.voltmeter,
    "ammeter": round_parts.ammeter,
    "sender": inline_parts.sender,
    "ntc": inline_parts.ntc,
    "control_unit": boxed_parts.control_unit,
    "bus_bar": boxed_parts.bus_bar,
    "box": boxed_parts.empty_box,
    "device": boxed_parts.plain,
}


def draw_part(subject: Subject) -> Strokes:
    """Return the strokes of a part; a kind that is not in the map is drawn as a rectangle with a question mark."""
    return PAINTERS.get(subject.kind, boxed_parts.unknown)(subject).joined()
