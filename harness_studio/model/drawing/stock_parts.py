"""Parts of the stock, at least one of every kind, with ratings as they are common.

All figures here are common practice, no source: they let a new part be solved at once and are there to be overwritten
by what stands on the part. Where no figure is common the rating is left out, and the solver says what it assumes.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from harness_studio.model.kinds.control import UnitTerminal
from harness_studio.model.kinds.gauges import Scale
from harness_studio.model.kinds.loads import Filament


@dataclass(frozen=True, slots=True)
class PartEntry:
    """A part as the stock lists it.

    Parameters
    ----------
    key
        Short name, kept in the list of recent ones.
    kind
        Kind of part.
    title
        What the list says.
    words
        Other words by which it is found.
    ratings
        Fields of the kind's ratings.
    """

    key: str
    kind: str
    title: str
    words: str = ""
    ratings: Mapping[str, Any] = field(default_factory=dict)


def _switch(*groups: tuple[str, tuple[tuple[str, ...], ...]]) -> dict[str, Any]:
    return {"positions": dict(groups)}


_FUSES = (3.0, 5.0, 7.5, 10.0, 15.0, 20.0, 25.0, 30.0, 40.0)
_LOADS = (
    PartEntry("lamp_21w", "lamp", "lamp, 21 W", "stop turn reverse fog bulb", {"rated_v": 13.5, "rated_w": 21.0}),
    PartEntry("lamp_5w", "lamp", "lamp, 5 W", "tail position plate interior bulb", {"rated_v": 13.5, "rated_w": 5.0}),
    PartEntry("lamp_55w", "lamp", "lamp, 55 W", "head fog driving bulb", {"rated_v": 13.2, "rated_w": 55.0}),
    PartEntry("lamp_2w", "lamp", "lamp, 2 W", "warning dash panel bulb", {"rated_v": 13.5, "rated_w": 2.0}),
    PartEntry("lamp_head", "lamp", "headlamp, dipped and main", "high low beam bulb", {"elements": {
        "dipped": Filament(("56b", "31"), 13.2, 55.0), "main": Filament(("56a", "31"), 13.2, 60.0)}}),
    PartEntry("lamp_rear", "lamp", "rear lamp, stop and tail", "brake position bulb", {"elements": {
        "stop": Filament(("54", "31"), 13.5, 21.0), "tail": Filament(("58", "31"), 13.5, 5.0)}}),
    PartEntry("motor_fan", "motor", "fan motor", "blower radiator heater",
              {"torque": "fan", "rated_v": 13.5, "rated_a": 10.0, "stall_a": 40.0}),
    PartEntry("motor_pump", "motor", "fuel pump", "motor petrol",
              {"torque": "constant", "rated_v": 13.5, "rated_a": 6.0, "stall_a": 20.0}),
    PartEntry("motor_washer", "motor", "washer pump", "motor screen",
              {"torque": "centrifugal", "rated_v": 13.5, "rated_a": 3.0, "stall_a": 10.0}),
    PartEntry("motor_wiper", "motor", "wiper motor", "screen",
              {"torque": "constant", "rated_v": 13.5, "rated_a": 4.0, "stall_a": 20.0}),
    PartEntry("starter", "starter", "starter", "motor cranking solenoid",
              {"rated_v": 12.0, "crank_a": 150.0, "stall_a": 450.0, "pull_in_ohm": 0.4, "hold_in_ohm": 1.2}),
    PartEntry("heater", "heater", "heated rear window", "heater defroster", {"rated_v": 13.5, "rated_w": 150.0}),
    PartEntry("resistor", "resistor", "resistor", "ballast dropping series"),
    PartEntry("coil", "coil", "ignition coil", "spark", {"ohm": 1.5, "rated_v": 12.0, "mean_a": 3.0}),
    PartEntry("converter", "converter", "radio, or another load of constant power", "audio charger inverter",
              {"rated_w": 30.0, "rated_v": 13.5}),
    PartEntry("current_load", "current_load", "regulated LED lamp", "constant current light",
              {"rated_a": 0.5, "rated_v": 13.5}),
    PartEntry("led", "led", "LED with resistor", "warning lamp light", {"rated_a": 0.02, "rated_v": 13.5}),
    PartEntry("diode", "diode", "diode", "blocking suppression"),
    PartEntry("horn", "device", "horn", "hooter sounder", {"terminals": ("1", "2")}),
    PartEntry("device", "device", "device of which only the terminals are known", "unknown other",
              {"terminals": ("1", "2", "3", "4")}),
)  # fmt: skip
_SUPPLY = (
    PartEntry("battery", "battery", "battery, 60 Ah", "accumulator supply",
              {"rest_v": 12.6, "capacity_ah": 60.0, "internal_mohm": 8.0}),
    PartEntry("alternator", "alternator", "alternator, 65 A", "generator charging",
              {"set_v": 14.2, "max_a": 65.0, "idle_hot_a": 30.0}),
    PartEntry("dynamo", "dynamo", "dynamo with regulator, 22 A", "generator charging",
              {"set_v": 14.0, "max_a": 22.0, "idle_hot_a": 0.0}),
    *(PartEntry(f"fuse_{a:g}a", "fuse", f"fuse, {a:g} A", "blade", {"style": "blade_medium", "rated_a": a})
      for a in _FUSES),
    PartEntry("fuse_60a", "fuse", "main fuse, 60 A", "bolt strip", {"style": "bolt_in", "rated_a": 60.0}),
    PartEntry("breaker", "breaker", "circuit breaker, 20 A", "thermal resetting", {"rated_a": 20.0}),
    PartEntry("link", "link", "fusible link", "melting wire", {"area_mm2": 1.0, "length_mm": 150.0}),
    PartEntry("bus_bar", "bus_bar", "bus bar, 4 studs", "distribution terminal strip",
              {"terminals": ("1", "2", "3", "4")}),
)  # fmt: skip
_SWITCHES = (
    PartEntry("switch", "switch", "switch, on and off", "toggle push pull single",
              _switch(("off", ()), ("on", (("1", "2"),)))),
    PartEntry("switch_push", "switch", "push switch, makes when pressed", "button brake door horn",
              {**_switch(("released", ()), ("pressed", (("1", "2"),))), "springs_back_to": "released"}),
    PartEntry("switch_over", "switch", "changeover switch", "toggle two way",
              _switch(("first", (("1", "2"),)), ("second", (("1", "3"),)))),
    PartEntry("switch_light", "switch", "lighting switch, off, side and head", "lamp",
              _switch(("off", ()), ("side", (("30", "58"),)), ("head", (("30", "58", "56"),)))),
    PartEntry("ignition_switch", "ignition_switch", "ignition switch", "key lock starter",
              _switch(("off", ()), ("accessories", (("30", "75"),)), ("on", (("30", "15", "75"),)),
                      ("start", (("30", "15", "50"),)))),
    PartEntry("cut_off", "cut_off", "battery cut-off", "isolator master switch",
              _switch(("on", (("1", "2"),)), ("off", ()))),
    PartEntry("relay", "relay", "relay, make", "normally open four pin",
              {"coil_ohm": 90.0, "pull_in_v": 7.2, "drop_out_v": 2.4, "rated_a": 30.0}),
    PartEntry("relay_over", "relay", "relay, changeover", "five pin",
              {"contacts": "changeover", "coil_ohm": 90.0, "pull_in_v": 7.2, "drop_out_v": 2.4, "rated_a": 20.0}),
    PartEntry("flasher", "flasher", "flasher", "turn indicator hazard unit", {"rated_w": 46.0}),
)  # fmt: skip
_INSTRUMENTS = (
    PartEntry("gauge_fuel", "gauge", "fuel gauge", "instrument two coil", {
        "coil_ohm": (90.0, 90.0), "scale": Scale(ohm={240.0: 0.0, 100.0: 0.5, 33.0: 1.0},
                                                 marks={0.0: "E", 0.5: "1/2", 1.0: "F"})}),
    PartEntry("gauge_temperature", "gauge", "temperature gauge", "instrument coolant bimetal",
              {"movement": "bimetal", "coil_ohm": (65.0,)}),
    PartEntry("stabiliser", "stabiliser", "gauge stabiliser", "instrument voltage"),
    PartEntry("voltmeter", "voltmeter", "voltmeter gauge", "instrument", {"ohm": 500.0}),
    PartEntry("ammeter", "ammeter", "ammeter", "instrument", {"ohm": 0.001}),
    PartEntry("sender_fuel", "sender", "tank sender", "fuel level float",
              {"ohm": {"empty": 240.0, "half": 100.0, "full": 33.0}}),
    PartEntry("sender_pressure", "sender", "oil pressure switch", "sender warning",
              {"ohm": {"no pressure": 0.1, "pressure": 1e6}}),
    PartEntry("ntc", "ntc", "coolant temperature sensor", "ntc thermistor", {"r25_ohm": 2000.0, "b_k": 3500.0}),
    PartEntry("control_unit", "control_unit", "control unit", "engine ecu module computer", {"terminals": {
        "1": UnitTerminal("supply", "supply"), "2": UnitTerminal("ground", "ground")}}),
)  # fmt: skip
PARTS = (*_SUPPLY, *_SWITCHES, *_LOADS, *_INSTRUMENTS)
"""Parts in the order of the list; a box comes with what it holds and stands elsewhere."""
