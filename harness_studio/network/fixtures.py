"""Joints that need no wire: mated halves, plugged parts, cases on metal, fuses, contacts, bodies and bonds."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from functools import cache
from itertools import pairwise

from harness_studio.model.entities import Half
from harness_studio.model.harness import Harness
from harness_studio.model.parts import Part
from harness_studio.standards import fuses, joints, wires

from .builder import Builder, total_ohm
from .network import Overrides, RelayContact, ResolvedMode

FUSE_KINDS = frozenset({"fuse", "breaker", "link"})
SWITCH_KINDS = frozenset({"switch", "ignition_switch", "cut_off"})
PASSED_KINDS: dict[str, tuple[str, str, float]] = {
    "ammeter": ("1", "2", 0.001),
    "flasher": ("49", "49a", 0.02),
}
"""Kinds that current passes through as through metal: their two terminals and the ohms taken where not known."""
_RELAY_CONTACTS = {
    "make": (("87", True),),
    "break": (("87a", False),),
    "changeover": (("87", True), ("87a", False)),
    "double make": (("87", True), ("87b", True)),
}
UNIT_GROUND_OHM = 0.005
"""Between the grounds of a control unit, inside it (from memory)."""
ASSUMED_FUSE_A = 15.0
"""Rating taken, and said so, where a fuse's is not known."""


@cache
def _clean_ohm(kind: str, size: str | float | None = None) -> float:
    return joints.clean_ohm(kind, size=size).value_ohm


def expand_bodies(build: Builder, harness: Harness) -> dict[str, int]:
    """Add each body's metal from its places to its centre, and the stray bonds; return the centres' indices."""
    centres: dict[str, int] = {}
    for body in harness.bodies.values():
        centre = centres[body.id] = build.point(f"~{body.id}")
        for place, mohm in body.places_mohm.items():
            address = f"{body.id}.{place}"
            build.joint(address, "body", build.point(address), centre, total_ohm(mohm))
    for bond in harness.bonds.values():
        first, second = (build.point(end) for end in bond.ends)
        build.joint(bond.id, "bond", first, second, total_ohm(bond.mohm))
    return centres


def expand_halves(build: Builder, harness: Harness, used: set[str]) -> None:
    """Add the contact between mated cavities, and between a half and the part it plugs onto.

    `used` holds the points at which wires end; a pair of cavities that no wire reaches makes no joint.
    """
    done: set[tuple[str, str]] = set()
    for half in harness.halves.values():
        ohm = _clean_ohm("mated_contact", half.contact.tab_mm if half.contact else None)
        for own, theirs in mated_cavities(harness, half):
            if (theirs, own) in done or (own not in used and theirs not in used):
                continue
            done.add((own, theirs))
            number = build.joint(own, "mated", build.point(own), build.point(theirs), ohm)
            build.joint_alias(theirs, number)
        for own, terminal in plugged_terminals(harness, half):
            build.joint(own, "mated", build.point(own), build.point(terminal), ohm)


def mated_cavities(harness: Harness, half: Half) -> Iterator[tuple[str, str]]:
    """Yield (own cavity, other half's cavity) as points for every pair of cavities that meet."""
    for other_id, pairs in half.mates.items():
        other = harness.halves[other_id]
        if pairs is not None:
            for own, theirs in pairs.items():
                yield f"{half.id}.{own}", f"{other_id}.{theirs}"
            continue
        names = dict.fromkeys((*half.cavity_names(), *other.cavity_names()))
        own_names, their_names = set(half.cavity_names()), set(other.cavity_names())
        for name in names:
            if (not half.face or name in own_names) and (not other.face or name in their_names):
                yield f"{half.id}.{name}", f"{other_id}.{name}"


def plugged_terminals(harness: Harness, half: Half) -> Iterator[tuple[str, str]]:
    """Yield (cavity, terminal) as points for every cavity that meets a terminal of the part the half plugs onto.

    A cavity that names no terminal meets the terminal of its own name, if the part has one.
    """
    if not half.part:
        return
    part = harness.parts[half.part]
    known = part.terminals()
    for name in half.cavity_names():
        cavity = half.cavities.get(name)
        if cavity and cavity.terminal:
            yield f"{half.id}.{name}", f"{part.id}.{cavity.terminal}"
        elif known is not None and name in known and not (cavity and cavity.needed == "unused"):
            yield f"{half.id}.{name}", f"{part.id}.{name}"


def expand_parts(
    build: Builder,
    harness: Harness,
    mode: ResolvedMode,
    overrides: Overrides,
    tabs: Mapping[str, tuple[str, ...]],
    *,
    every_contact: bool = False,
) -> tuple[RelayContact, ...]:
    """Add what is metal inside parts: fuse elements with their clips, closed contacts, buses, and cases on bodies.

    `tabs` holds the terminals of each bus bar (see `bar_tabs`). `every_contact` closes the contacts of all positions of
    each switch.
    """
    contacts: list[RelayContact] = []
    pulled = frozenset(overrides.pulled)
    for part in harness.parts.values():
        if part.kind in FUSE_KINDS:
            _fuse(build, part, pulled)
        elif part.kind in SWITCH_KINDS:
            _switch(build, part, None if every_contact else mode)
        elif part.kind == "relay":
            contacts.extend(_relay(build, part))
        elif part.kind == "box":
            _box(build, part)
        elif part.kind in PASSED_KINDS:
            _passed(build, part)
        elif part.kind == "control_unit":
            _unit_grounds(build, part)
        elif part.kind == "bus_bar":
            _bar(build, part, tabs[part.id])
        if part.mount:
            terminal = f"{part.id}.{part.mount.terminal}"
            address = f"{terminal}@{part.mount.place}"
            ohm = _clean_ohm("mount")
            build.joint(address, "mount", build.point(terminal), build.point(part.mount.place), ohm)
    return tuple(contacts)


def _fuse(build: Builder, part: Part, pulled: frozenset[str]) -> None:
    outer = [build.point(f"{part.id}.{t}") for t in ("in", "out")]
    ohm = fuse_ohm(build, part)
    if part.ratings.blown or part.id in pulled:
        ohm = float("inf")
    rated_a = part.ratings.rated_a or ASSUMED_FUSE_A
    style = getattr(part.ratings, "style", None)
    style = style if style in fuses.styles() else None
    hot_ratio = fuses.hot_ratio(style).value if part.kind == "fuse" else 1.0
    if part.kind != "fuse":
        build.fuses.append((build.joint(part.id, "fuse", outer[0], outer[1], ohm), rated_a, hot_ratio))
        return
    blades = [build.point(f"~{part.id}.{t}") for t in ("in", "out")]
    clip_ohm = _clean_ohm("fuse_clip", style)
    build.joint(f"{part.id}.in:clip", "clip", outer[0], blades[0], clip_ohm)
    build.fuses.append((build.joint(part.id, "fuse", blades[0], blades[1], ohm), rated_a, hot_ratio))
    build.joint(f"{part.id}.out:clip", "clip", blades[1], outer[1], clip_ohm)


def fuse_ohm(build: Builder, part: Part) -> float:
    """Return the cold resistance of a fuse, breaker or link in ohms, noting what was assumed."""
    ratings = part.ratings
    if ratings.cold_mohm is not None:
        return total_ohm(ratings.cold_mohm)
    if part.kind == "link" and ratings.area_mm2:
        length_mm = ratings.length_mm or 150.0
        return wires.resistance_per_m_ohm(ratings.area_mm2).value * length_mm / 1000.0
    rated_a = ratings.rated_a
    if rated_a is None:
        build.assume(part.id, f"rating not known, {ASSUMED_FUSE_A:g} A assumed")
        rated_a = ASSUMED_FUSE_A
    style = getattr(ratings, "style", None)
    return fuses.cold_resistance_ohm(style if style in fuses.styles() else None, rated_a).value_ohm


def _switch(build: Builder, part: Part, mode: ResolvedMode | None) -> None:
    """Add the contacts that are closed in a mode, or without one those of all positions."""
    positions = part.ratings.positions
    if mode is None:
        closed = [group for groups in positions.values() for group in groups]
    else:
        position = mode.positions.get(part.id) or next(iter(positions), None)
        closed = list(positions.get(position, ())) if position else []
    ohm = _clean_ohm("switch_contact", "cut_off" if part.kind == "cut_off" else None)
    for group in closed:
        for first, second in pairwise(group):
            address = f"{part.id}.{first}:{second}"
            if mode is None and address in build.joints:
                continue
            a, b = build.point(f"{part.id}.{first}"), build.point(f"{part.id}.{second}")
            number = build.joint(address, "switch", a, b, ohm)
            build.joint_alias(f"{part.id}.{second}:{first}", number)


def _relay(build: Builder, part: Part) -> Iterator[RelayContact]:
    common = build.point(f"{part.id}.30")
    high = "high_current" if (part.ratings.rated_a or 0) >= 70 else None
    for terminal, makes in _RELAY_CONTACTS[part.ratings.contacts]:
        other = build.point(f"{part.id}.{terminal}")
        ohm = _clean_ohm("relay_contact", high)
        number = build.joint(f"{part.id}.30:{terminal}", "relay", common, other, ohm)
        build.joint_alias(f"{part.id}.{terminal}:30", number)
        yield RelayContact(part.id, number, makes)


def _passed(build: Builder, part: Part) -> None:
    first, second, ohm = PASSED_KINDS[part.kind]
    known = getattr(part.ratings, "ohm", None)
    if known is None:
        build.assume(part.id, f"{ohm * 1000:g} mΩ between {first} and {second} assumed")
    number = build.joint(
        part.id,
        "through",
        build.point(f"{part.id}.{first}"),
        build.point(f"{part.id}.{second}"),
        known or ohm,
    )
    build.joint_alias(f"{part.id}.{first}:{second}", number)


def _unit_grounds(build: Builder, part: Part) -> None:
    """Join a control unit's grounds inside it: sensor grounds and further power grounds to its first ground."""
    grounds = [n for n, t in part.ratings.terminals.items() if t.does == "ground"]
    sensor_grounds = [n for n, t in part.ratings.terminals.items() if t.does == "sensor_ground"]
    if not grounds:
        return
    first = build.point(f"{part.id}.{grounds[0]}")
    for name in (*grounds[1:], *sensor_grounds):
        number = build.joint(
            f"{part.id}.{name}:{grounds[0]}",
            "through",
            build.point(f"{part.id}.{name}"),
            first,
            UNIT_GROUND_OHM,
        )
        build.joint_alias(f"{part.id}.{grounds[0]}:{name}", number)


def _box(build: Builder, part: Part) -> None:
    for number, bus in enumerate(part.ratings.buses, start=1):
        bar = build.point(f"~{part.id}.bus{number}")
        for member in bus:
            build.joint(f"{part.id}/{member}", "bus", build.point(member), bar, _clean_ohm("bus_tab"))


def bar_tabs(harness: Harness) -> dict[str, tuple[str, ...]]:
    """Return the terminals of each bus bar: those it lists, else those at which wires end, in order."""
    bars = {p.id: p.terminals() for p in harness.parts.values() if p.kind == "bus_bar"}
    found: dict[str, dict[str, None]] = {bar: {} for bar, listed in bars.items() if listed is None}
    if found:
        for wire in harness.wires.values():
            for end in wire.ends:
                owner, _, name = end.text.partition(".")
                if owner in found and end.what == "point":
                    found[owner][name] = None
    return {bar: tuple(found[bar]) if listed is None else listed for bar, listed in bars.items()}


def _bar(build: Builder, part: Part, names: tuple[str, ...]) -> None:
    bar = build.point(f"~{part.id}")
    for name in names:
        point = f"{part.id}.{name}"
        build.joint(f"{part.id}/{name}", "bus", build.point(point), bar, _clean_ohm("bus_tab"))
