"""Wires that reach the battery's hot post without a fuse: what they feed decides how grave that is."""

from __future__ import annotations

from collections.abc import Iterator, Set
from dataclasses import dataclass, replace

from harness_studio.checks import words
from harness_studio.checks.finding import Finding, finding
from harness_studio.checks.scope import Scope
from harness_studio.electrics.rated import SOURCE_KINDS
from harness_studio.network.network import Element
from harness_studio.network.wires import length_mm

_SOURCE = "protection at the source of every feed but the starter's, trade rule read on several pages"
_METHOD = "walk from the battery"


def unfused(scope: Scope) -> Iterator[Finding]:
    """Find live wires without a fuse.

    A starter's cable is exempt while it is short, and so is the lead to the first fuse; each says that it is. Wires of
    one way count together: a cut-off or stud between them shortens nothing; what is a starter's cable already does not
    count for the lead. A feed to a load, or an end that leads nowhere, stops.
    """
    found = scope.protection
    if not found.unfused_wires:
        return
    starter, charging, loads, leads = _ways(scope)
    cables = {wire for way in starter.values() for wire in way.wires}
    for wire in found.unfused_wires:
        if wire in starter:
            yield from _exempt(scope, wire, "cable of", starter[wire], "starter cable")
        elif wire in loads:
            yield from _feeds(scope, wire, loads[wire].to)
        elif wire in leads:
            yield from _exempt(scope, wire, "lead to", leads[wire].without(cables), "lead to the first fuse")
        elif wire in charging:
            yield from _charging(scope, wire, charging[wire].to)
        else:
            yield _nowhere(scope, wire)


@dataclass(frozen=True, slots=True)
class _Way:
    """What wires lead to from the battery without a fuse: its title, and the wires in their order."""

    to: str
    wires: tuple[str, ...]

    def without(self, others: Set[str]) -> _Way:
        """Return the way without the wires that belong to another one."""
        return replace(self, wires=tuple(w for w in self.wires if w not in others))

    def length_mm(self, scope: Scope) -> float | None:
        """Return the length of all its wires; None where one is not known."""
        lengths = [length_mm(scope.harness, scope.harness.wires[wire]) for wire in self.wires]
        known = [mm for mm in lengths if mm is not None]
        return sum(known) if len(known) == len(lengths) else None


_Ways = dict[str, _Way]


def _ways(scope: Scope) -> tuple[_Ways, _Ways, _Ways, _Ways]:
    """Return by wire what it feeds without a fuse: (starters, generators, loads, first fuses)."""
    starter: _Ways = {}
    charging: _Ways = {}
    loads: _Ways = {}
    leads: _Ways = {}
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


def _kind_of(element: Element, terminal: str, starter: _Ways, charging: _Ways, loads: _Ways) -> _Ways | None:
    if element.kind == "battery":
        return None
    if element.kind in SOURCE_KINDS:
        return charging
    return starter if element.kind == "starter" and terminal == "30" else loads


def _note(scope: Scope, point: int, title: str, into: _Ways) -> None:
    """Note a way for each of its wires; a wire on several ways has the longest, one of unknown length first."""
    branches = scope.network.branches
    on_way = [b for b in scope.protection.way(point) if branches.kind[b] == "wire"]
    way = _Way(title, tuple(branches.address[b] for b in on_way))
    for wire in way.wires:
        if wire not in into or _longer(scope, way, into[wire]):
            into[wire] = way


def _longer(scope: Scope, way: _Way, known: _Way) -> bool:
    new, old = way.length_mm(scope), known.length_mm(scope)
    return old is not None and (new is None or new > old)


_LIMITS = {"starter cable": "starter_cable_mm", "lead to the first fuse": "unfused_lead_mm"}


def _exempt(scope: Scope, wire: str, what: str, way: _Way, exemption: str) -> Iterator[Finding]:
    limit, length = scope.limits[_LIMITS[exemption]], way.length_mm(scope)
    if limit.value is None:
        return
    others = [other for other in way.wires if other != wire]
    together = f" together with {words.listed(others)}" if others else ""
    said = f"{wire} is live without a fuse: {what} {way.to}"
    if length is not None and length <= limit.value:
        booted = ", booted at both ends" if exemption == "starter cable" else ""
        yield finding(
            "fuse_missing",
            "note",
            [wire],
            f"{said}, {length:g} mm{together}, exempt as a short {exemption}{booted}",
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
        f"{said}, {long}{together}; a {exemption} of at most {limit.value:g} mm goes without",
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
