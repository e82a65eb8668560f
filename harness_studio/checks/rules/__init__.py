"""The rules, one small function each, and the one map from rule to function.

To add a rule: write a function that takes the scope (and a solved state, if it judges one) and yields findings, in the
file of its family, and give it a line in `RULES`.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass

from harness_studio.checks.finding import Finding
from harness_studio.checks.scope import Scope, State

from . import (
    books,
    contacts,
    doubtful,
    drop,
    fuse_load,
    fuse_wire,
    grounds,
    heat,
    safety,
    safety_doubts,
    stacks,
    trailer,
    unfused,
)

OfHarness = Callable[[Scope], Iterator[Finding]]
OfState = Callable[[Scope, State], Iterator[Finding]]

ELECTRICAL = (
    "settings", "bodies", "bonds", "zones", "breakouts", "runs", "parts", "halves", "splices", "grounds", "wires",
    "multicores", "modes", "joints",
)  # fmt: skip
"""Sections that a solution depends on."""


@dataclass(frozen=True, slots=True)
class Rule:
    """A rule: what it is about in a few words, the function, and the sections whose change makes it look again.

    `of_state` judges one solved mode, `of_harness` the harness whatever the mode; one of them is given.
    """

    title: str
    of_harness: OfHarness | None = None
    of_state: OfState | None = None
    sections: tuple[str, ...] = ELECTRICAL
    also: tuple[str, ...] = ()


_HALVES = ("halves", "wires", "parts")

RULES: dict[str, Rule] = {
    # heat
    "wire_ampacity": Rule("wires within their ampacity", of_state=heat.ampacity),
    "wire_temperature": Rule("wires within their insulation's temperature", of_state=heat.temperature),
    "wire_in_hot_air": Rule("air no hotter than the insulation bears", of_state=heat.surroundings),
    "heat_not_judged": Rule("wires whose heat cannot be judged", of_state=heat.not_judged),
    # drop
    "wire_drop": Rule("volts lost in one wire", of_state=drop.wire),
    "joint_drop": Rule("volts lost in one joint or contact", of_state=drop.joint, also=("contact_drop",)),
    "path_drop": Rule(
        "volts lost to a load and back",
        of_state=drop.paths,
        also=("feed_drop", "return_drop", "path_percent"),
    ),
    "charging_drop": Rule("volts lost between alternator and battery", of_state=drop.charging),
    "joint_poor": Rule("joints found much worse than clean", of_harness=drop.poor_joint),
    # fuses
    "fuse_load": Rule("fuses carry their load", of_state=fuse_load.carries),
    "fuse_inrush": Rule("fuses hold at switch-on", of_state=fuse_load.inrush),
    "fuse_wire": Rule("fuses rated no higher than their wires", of_harness=fuse_wire.rating),
    "fuse_withstand": Rule("fuses clear before a wire is damaged", of_harness=fuse_wire.withstand),
    "fuse_short": Rule("fuses clear a dead short at the far end", of_harness=fuse_wire.far_short),
    "fuse_breaking": Rule("shorts within what a fuse interrupts", of_harness=fuse_wire.breaking),
    "fuse_bypassed": Rule("no way around a fuse", of_harness=fuse_wire.ways_around, also=("fuse_parallel",)),
    "link_size": Rule("links thinner than their wires", of_harness=fuse_wire.links),
    "fuse_rating": Rule("ratings that are made", of_harness=fuse_wire.made, sections=("parts", "settings")),
    "fuse_not_judged": Rule(
        "fuses that cannot be judged", of_harness=fuse_wire.not_judged, sections=("parts",)
    ),
    "fuse_missing": Rule("no live wire without a fuse", of_harness=unfused.unfused),
    "link_in_cabin": Rule("no fusible link in the cabin", of_harness=unfused.cabin_link),
    # contacts
    "contact_current": Rule(
        "contacts within their rating", of_state=contacts.current, also=("contact_not_judged",)
    ),
    "crimp_range": Rule(
        "crimps within their range", of_harness=contacts.crimp, sections=_HALVES, also=("crimp_not_judged",)
    ),
    "plating_mixed": Rule("one plating in a mated pair", of_harness=contacts.plating, sections=_HALVES),
    "seal_missing": Rule(
        "sealed halves closed", of_harness=contacts.seals, sections=_HALVES, also=("plug_missing",)
    ),
    "cavity_shared": Rule(
        "one wire to a cavity", of_harness=contacts.shared_cavity, sections=_HALVES, also=("cavity_twice",)
    ),
    "colour_change": Rule("colours kept across connectors", of_harness=contacts.colours, sections=_HALVES),
    # grounds
    "ground_rise": Rule("ground studs near the grounded post", of_state=grounds.rise),
    "sensor_rise": Rule("sensors grounded where they are read", of_state=grounds.sensors),
    "unit_rise": Rule("control units' grounds", of_state=grounds.units, also=("unit_grounds",)),
    "mixed_returns": Rule("sensors and power on studs of their own", of_state=grounds.mixed),
    "ground_path": Rule("metal between stud and grounded post", of_state=grounds.path),
    "body_return": Rule("current returning through the body", of_state=grounds.body_current),
    "stud_rings": Rule("rings on a stud", of_harness=stacks.count, sections=("grounds", "wires", "settings")),
    "stack_order": Rule(
        "largest ring next to the metal", of_harness=stacks.order, sections=("grounds", "wires")
    ),
    "shield_both_ends": Rule("shields tied at one end", of_harness=stacks.shields),
    "trailer_returns": Rule("returns of a trailer socket apart", of_harness=trailer.returns),
    # safety
    "fuel_pump_runs_on": Rule("fuel pumps stop with the engine", of_state=safety.fuel_pump),
    "cut_off_leaves_engine": Rule(
        "a battery cut-off stops the engine", of_state=safety.cut_off, also=("cut_off_not_judged",)
    ),
    "on_with_key_off": Rule("nothing on with the key off", of_state=safety.key_off, also=("key_off_drain",)),
    "safety_not_judged": Rule("modes that let safety be judged", of_harness=safety_doubts.not_judged),
    # bookkeeping
    "end_open": Rule("open ends", of_harness=books.ends),
    "found_differs": Rule("as found against designed", of_harness=books.as_found, sections=("wires",)),
    "designator_twice": Rule("designators", of_harness=books.duplicates, also=("mark_twice",)),
    "wire_dead": Rule("dead wires", of_harness=books.dead),
    "length_zero": Rule("wires of no length", of_harness=doubtful.zero_length, sections=("wires", "runs")),
    "assumed": Rule("what the solver had to assume", of_state=doubtful.assumed),
    "no_way_to_ground": Rule("parts without a way to the grounded post", of_state=doubtful.islands),
    "mode_not_judged": Rule("modes without a solution", of_harness=doubtful.unsolved),
    "limit_unknown": Rule("limits that are not known", of_harness=doubtful.limits, sections=("settings",)),
}
"""Every rule by its id; findings bear this id or one of `also`."""
