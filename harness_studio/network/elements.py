"""The working elements of parts: which element stands between which points."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import replace

from harness_studio.model.harness import Harness
from harness_studio.model.kinds.control import UnitTerminal
from harness_studio.model.parts import Part

from .builder import Builder
from .fixtures import FUSE_KINDS, PASSED_KINDS, SWITCH_KINDS
from .network import Element, ResolvedMode

PASSIVE_KINDS = FUSE_KINDS | SWITCH_KINDS | PASSED_KINDS.keys() | {"bus_bar", "box", "device"}
"""Kinds that hold no working element: they are metal, or nothing is known of their inside."""

WOUND_KINDS = frozenset({"motor", "coil", "relay", "starter"})
"""Kinds whose current flows on between the pulses of an output that drives them."""


Made = dict[tuple[str, str | None, bool], tuple[Element, ...]]
"""Elements by what they belong to, their state, and whether they are inductive: those of one harness stay the same."""


def expand_terminals(build: Builder, harness: Harness) -> None:
    """Add the terminals of all parts that hold working elements."""
    for part in harness.parts.values():
        if part.kind not in PASSIVE_KINDS:
            for name in part.terminals() or ():
                build.point(f"{part.id}.{name}")


def expand_elements(
    build: Builder, harness: Harness, mode: ResolvedMode, made: Made | None = None
) -> tuple[Element, ...]:
    """Return every working element with its points, in the order of the file.

    `made` holds those of the same harness in other modes, and takes new ones: one in the same state is the same object.
    """
    made = {} if made is None else made
    found: list[Element] = []
    for part in harness.parts.values():
        if part.kind not in PASSIVE_KINDS:
            key = (part.id, _state(part, mode), False)
            own = made.get(key)
            if own is None:
                own = made[key] = tuple(_elements(build, part, key[1]))
            found += own
    pulsed = [n for n, e in enumerate(found) if e.kind == "control_unit" and _pulses(e)]
    if pulsed:
        wound = _wound_loads(build, found)
        for number in pulsed:
            if wound(found[number]):
                found[number] = _inductive(found[number], made)
    return tuple(found)


def _inductive(element: Element, made: Made) -> Element:
    key = (element.address, element.state, True)
    if key not in made:
        made[key] = (replace(element, inductive=True),)
    return made[key][0]


def _pulses(element: Element) -> bool:
    does: str = element.ratings.terminals[element.state].does
    return does in ("pwm_low", "pwm_high")


def _wound_loads(build: Builder, elements: Sequence[Element]) -> Callable[[Element], bool]:
    """Return what tells whether metal leads from an output to a load with a winding."""
    near = build.neighbours()
    wound = {p for e in elements if e.kind in WOUND_KINDS for p in e.terminals.values()}

    def reaches(element: Element) -> bool:
        start = element.terminals[element.state or ""]
        seen, waiting = {start}, [start]
        while waiting:
            here = waiting.pop()
            if here in wound:
                return True
            next_to = near(here)
            waiting.extend(p for p in next_to if p not in seen)
            seen.update(next_to)
        return False

    return reaches


def _elements(build: Builder, part: Part, state: str | None) -> Iterator[Element]:
    names = part.terminals() or ()
    points = {name: build.point(f"{part.id}.{name}") for name in names}
    filaments = getattr(part.ratings, "elements", None)
    if part.kind == "lamp" and filaments:
        for name, filament in filaments.items():
            between = {t: points[t] for t in filament.between}
            yield Element(f"{part.id}/{name}", part.id, "lamp", filament, between, state)
    elif part.kind == "control_unit":
        for name, declared in part.ratings.terminals.items():
            if declared.does not in ("supply", "ground", "sensor_ground", "unused"):
                own = {t: points[t] for t in _unit_terminals(part.ratings.terminals, name)}
                yield Element(f"{part.id}/{name}", part.id, "control_unit", part.ratings, own, name)
    elif part.kind == "relay":
        # Only the coil works; contacts are joints. Its return stands last, as everywhere.
        coil = {t: points[t] for t in ("86", "85")}
        yield Element(part.id, part.id, part.kind, part.ratings, coil, state)
    else:
        yield Element(part.id, part.id, part.kind, part.ratings, points, state)


def _unit_terminals(declared: Mapping[str, UnitTerminal], name: str) -> Iterator[str]:
    """Yield the terminals that one driver, draw or input of a control unit has to do with, its return last."""
    first = {
        does: next((n for n, t in declared.items() if t.does == does), None) for does in ("supply", "ground")
    }
    back = declared[name].to or first["ground"]
    names = [n for n in (first["supply"], name, first["ground"], back) if n]
    yield from reversed(dict.fromkeys(reversed(names)))


def _state(part: Part, mode: ResolvedMode) -> str | None:
    if part.kind in ("battery", "alternator", "dynamo", "starter"):
        return mode.engine
    if part.kind in ("sender", "ntc"):
        return mode.senders.get(part.id)
    return mode.loads.get(part.id)
