"""What is solved of one thing, in words: for the details page, and under the pointer."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import TYPE_CHECKING

from .words import amperes, millivolts, volts

if TYPE_CHECKING:
    from harness_studio.electrics.readings import Reading
    from harness_studio.electrics.solution import Solution
    from harness_studio.session.session import Session

Fact = tuple[str, str]
MOST_TIP_LINES = 5
"""Lines under the pointer; all of them stand in the details."""


def live_facts(session: Session, thing: str) -> list[Fact]:
    """Return (name, value) of what is solved of a thing in the present state; empty without a solution."""
    solution = session.solution
    section = session.harness.section_of(thing)
    if solution is None or section is None:
        return []
    if section == "wires":
        return list(_wire(solution, thing))
    if section == "parts":
        return [*_part(solution, thing), *_readings(session, thing)]
    if section == "grounds":
        return list(_ground(solution, thing))
    if section in ("halves", "splices", "bodies"):
        return list(_points(solution, thing))
    return []


def tip(session: Session, thing: str) -> str:
    """Return what is said under the pointer: the title, then the first of what is solved."""
    facts = live_facts(session, thing)
    lines = [f"{name} {value}" for name, value in facts[:MOST_TIP_LINES]]
    if len(facts) > MOST_TIP_LINES:
        lines.append(f"and {len(facts) - MOST_TIP_LINES} more")
    return "\n".join([session.harness.title_of(thing), *lines])


def _wire(solution: Solution, wire: str) -> Iterator[Fact]:
    found = dict(solution.wires()).get(wire)
    if found is None:
        return
    yield "now", f"{amperes(found.amperes)}, {millivolts(found.drop_v * 1e3)} lost"
    warmth = solution.wire_temperatures_c().get(wire)
    if warmth is not None:
        yield "conductor", f"{warmth:.0f} °C"


def _part(solution: Solution, part: str) -> Iterator[Fact]:
    network = solution.network
    into = {
        network.points[p]: i
        for e in solution.elements
        if e.part == part
        for p, i in zip(e.points, e.amperes, strict=True)
    }
    state = solution.states.get(part)
    if state is not None:
        yield "state", state
    for address, index in network.index.items():
        owner, _, name = address.partition(".")
        if owner != part or not name:
            continue
        value = float(solution.volts[index])
        if math.isnan(value):
            continue
        said = volts(value) if abs(value) >= 1 else millivolts(value * 1e3)
        yield f"terminal {name}", said + (f", {amperes(into[address])}" if address in into else "")
    if part in network.joints:
        joint = solution.joint(part)
        yield "through it", f"{amperes(joint.amperes)}, {millivolts(joint.drop_v * 1e3)} lost"


def _readings(session: Session, part: str) -> Iterator[Fact]:
    computed = session.computed
    for key, reading in computed.readings.items():
        if reading.id.split("/", 1)[0] == part and reading.what != "volts":
            name = key.removeprefix(part).strip(" /")
            yield name, reading.words + _clean(reading, computed.clean_readings.get(key))


def _clean(now: Reading, clean: Reading | None) -> str:
    if clean is None or clean.words == now.words:
        return ""
    return f", clean {clean.words}"


def _ground(solution: Solution, ground: str) -> Iterator[Fact]:
    yield from _points(solution, ground, "rise")
    if ground in solution.network.joints:
        joint = solution.joint(ground)
        yield "into the metal", f"{amperes(joint.amperes)}, {millivolts(joint.drop_v * 1e3)} lost"


def _points(solution: Solution, thing: str, name: str = "now") -> Iterator[Fact]:
    for address, index in solution.network.index.items():
        if address != thing and not address.startswith(f"{thing}."):
            continue
        value = float(solution.volts[index])
        if not math.isnan(value):
            said = volts(value) if abs(value) >= 1 else millivolts(value * 1e3)
            yield (address.removeprefix(f"{thing}.") if address != thing else name), said
