"""Wires that reach the battery's hot post without a fuse: what they feed decides how grave that is."""

from __future__ import annotations

from collections.abc import Iterator

from harness_studio.checks import words
from harness_studio.checks.finding import Finding, finding
from harness_studio.checks.limits import Limit
from harness_studio.checks.scope import Scope
from harness_studio.electrics.rated import SOURCE_KINDS
from harness_studio.network.network import Element
from harness_studio.network.wires import length_mm

_SOURCE = "protection at the source of every feed but the starter's, trade rule read on several pages"
_METHOD = "walk from the battery"


def unfused(scope: Scope) -> Iterator[Finding]:
    """Find live wires without a fuse.

    A starter's cable is exempt while it is short, and so is the lead to the first fuse; each says that it is. A feed to
    a load, or an end that leads nowhere, stops.
    """
    found = scope.protection
    if not found.unfused_wires:
        return
    starter, charging, loads, leads = _ways(scope)
    for wire in found.unfused_wires:
        if wire in starter:
            yield from _exempt(
                scope, wire, f"cable of {starter[wire]}", scope.limits["starter_cable_mm"], "starter cable"
            )
        elif wire in loads:
            yield from _feeds(scope, wire, loads[wire])
        elif wire in leads:
            yield from _exempt(
                scope,
                wire,
                f"lead to {leads[wire]}",
                scope.limits["unfused_lead_mm"],
                "lead to the first fuse",
            )
        elif wire in charging:
            yield from _charging(scope, wire, charging[wire])
        else:
            yield _nowhere(scope, wire)


Names = dict[str, str]


def _ways(scope: Scope) -> tuple[Names, Names, Names, Names]:
    """Return by wire what it feeds without a fuse: (starters, generators, loads, first fuses)."""
    starter: Names = {}
    charging: Names = {}
    loads: Names = {}
    leads: Names = {}
    points = scope.protection.unfused.points
    for element in scope.network.elements:
        for name, point in element.terminals.items():
            if point in points:
                into = _kind_of(element, name, starter, charging, loads)
                if into is not None:
                    _note(scope, point, scope.harness.title_of(element.part), into)
    for fuse, beyond in scope.protection.unfused.fuses.items():
        number = scope.network.joints[fuse]
        ends = {int(scope.network.branches.a[number]), int(scope.network.branches.b[number])} - {beyond}
        for point in ends:
            _note(scope, point, scope.harness.title_of(fuse), leads)
    return starter, charging, loads, leads


def _kind_of(element: Element, terminal: str, starter: Names, charging: Names, loads: Names) -> Names | None:
    if element.kind == "battery":
        return None
    if element.kind in SOURCE_KINDS:
        return charging
    return starter if element.kind == "starter" and terminal == "30" else loads


def _note(scope: Scope, point: int, title: str, into: Names) -> None:
    branches = scope.network.branches
    for branch in scope.protection.way(point):
        if branches.kind[branch] == "wire":
            into.setdefault(branches.address[branch], title)


def _exempt(scope: Scope, wire: str, what: str, limit: Limit, exemption: str) -> Iterator[Finding]:
    entity = scope.harness.wires[wire]
    length = length_mm(scope.harness, entity)
    if limit.value is None:
        return
    if length is not None and length <= limit.value:
        booted = ", booted at both ends" if exemption == "starter cable" else ""
        yield finding(
            "fuse_missing",
            "note",
            [wire],
            f"{wire} is live without a fuse: {what}, {length:g} mm, exempt as a short {exemption}{booted}",
            value=length,
            limit=limit,
            method=_METHOD,
            remedy="see to its boots and to what it could chafe on",
        )
        return
    long = "of unknown length" if length is None else f"{length:g} mm long"
    yield finding(
        "fuse_missing",
        "mend",
        [wire],
        f"{wire} is live without a fuse: {what}, {long}; a {exemption} of at most {limit.value:g} mm goes without",
        value=length,
        limit=limit,
        method=_METHOD,
        remedy="a fuse or link at the battery, or a shorter way" if length is not None else "measure it",
    )


def _feeds(scope: Scope, wire: str, load: str) -> Iterator[Finding]:
    yield finding(
        "fuse_missing",
        "stop",
        [wire],
        f"{wire} ({words.size(scope.harness.wires[wire])}) feeds {load} from the battery without a fuse",
        source=_SOURCE,
        sureness="seen2",
        method=_METHOD,
        remedy="a fuse at the battery, sized for this wire",
    )


def _charging(scope: Scope, wire: str, generator: str) -> Iterator[Finding]:
    yield finding(
        "fuse_missing",
        "mend",
        [wire],
        f"{wire} ({words.size(scope.harness.wires[wire])}) joins {generator} to the battery without a fuse: a short on "
        "it draws what the battery can give",
        source="charging wire with a bolt-down fuse or link at the battery, trade rule",
        sureness="seen1",
        method=_METHOD,
        remedy="a fuse or link at the battery, rated above what the generator gives",
    )


def _nowhere(scope: Scope, wire: str) -> Finding:
    entity = scope.harness.wires[wire]
    loose = any(end.what != "point" for end in entity.ends)
    where = "and one end of it is loose" if loose else "and leads to nothing that is recorded"
    return finding(
        "fuse_missing",
        "stop" if loose else "mend",
        [wire],
        f"{wire} ({words.size(entity)}) is live from the battery without a fuse, {where}",
        source=_SOURCE,
        sureness="seen2",
        method=_METHOD,
        remedy="take it off the battery, or fuse it and insulate the end"
        if loose
        else "fuse it at the battery",
    )


def cabin_link(scope: Scope) -> Iterator[Finding]:
    """Find fusible links in the cabin, by the words of their zone: a link burns when it melts."""
    for part in scope.harness.parts.values():
        if part.kind != "link":
            continue
        zone = part.zone or _zone_at(scope, part.at.breakout if part.at else None)
        known = scope.harness.zones.get(zone) if zone else None
        text = f"{zone} {known.title or ''}" if known and zone else ""
        word = next((w for w in CABIN_WORDS if w in _words_of(text)), None)
        if word is None:
            continue
        yield finding(
            "link_in_cabin",
            "stop",
            [part.id],
            f"fusible link {scope.harness.title_of(part.id)} is in the cabin (judged by the word '{word}' in its zone "
            f"'{text.strip()}'): it burns when it melts",
            source="a link is never inside the cabin, owners' practice, common practice, no source",
            sureness="common practice, no source",
            method="words of the zone",
            remedy="move it to the engine bay, at the battery, or fit a fuse in a holder",
        )


CABIN_WORDS = (
    "cabin", "cab", "interior", "inside", "dash", "dashboard", "footwell", "seat", "console", "passenger", "cockpit",
)  # fmt: skip
"""Words by which a zone is taken for the cabin."""


def _words_of(text: str) -> set[str]:
    return set("".join(c.lower() if c.isalpha() else " " for c in text).split())


def _zone_at(scope: Scope, breakout: str | None) -> str | None:
    return scope.harness.breakouts[breakout].zone if breakout in scope.harness.breakouts else None
