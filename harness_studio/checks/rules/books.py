"""Bookkeeping: open ends, what differs from the design, duplicates, wires that lead nowhere."""

from __future__ import annotations

import re
from collections.abc import Iterator

from harness_studio.base.ids import split_point
from harness_studio.checks import words
from harness_studio.checks.finding import Finding, finding
from harness_studio.checks.scope import Scope
from harness_studio.model.entities import Wire
from harness_studio.model.harness import SHARED_IDS
from harness_studio.network.fixtures import mated_cavities
from harness_studio.standards import wires as sizes

from .contacts import wires_at

_OURS = "bookkeeping, common practice, no source"
_SURE = "common practice, no source"
_METHOD = "as recorded"


def ends(scope: Scope) -> Iterator[Finding]:
    """Find wires of which an end is cut, unknown, or known by words only."""
    for wire in scope.harness.wires.values():
        open_ends = [str(end) for end in wire.ends if end.what != "point"]
        if open_ends and wire.status != "dead" and not _shield_end(scope, wire):
            live = wire.id in scope.protection.fuses_of
            said = "is live and has" if live else "has"
            yield finding(
                "end_open",
                "mend" if live else "note",
                [wire.id],
                f"{wire.id} {said} an open end: {' and '.join(open_ends)}",
                source=_OURS,
                sureness=_SURE,
                method=_METHOD,
                remedy="insulate the end, then ring it out and write down where it leads",
            )


def _shield_end(scope: Scope, wire: Wire) -> bool:
    """Tell whether a wire is a shield left open at one end, as it should be."""
    shields = {m.shield for m in scope.harness.multicores.values()}
    return wire.id in shields and sum(end.what != "point" for end in wire.ends) == 1


def as_found(scope: Scope) -> Iterator[Finding]:
    """Find wires that were found otherwise than designed; a thinner one is to be mended."""
    for wire in scope.harness.wires.values():
        found = wire.as_found
        if found is None:
            continue
        thinner = _thinner(wire)
        differ = [
            f"{what} {now} instead of {planned or 'nothing'}"
            for what, now, planned in (
                ("colour", found.colour, wire.colour),
                ("insulation", found.insulation, wire.insulation),
                ("mark", found.marked, wire.marked),
            )
            if now is not None and now != planned
        ]
        if found.area_mm2 is not None or found.awg is not None:
            now = words.area(found.area_mm2) if found.area_mm2 is not None else f"AWG {found.awg}"
            if thinner or now != words.size(wire):
                differ.append(f"size {now} instead of {words.size(wire)}")
        if found.ends is not None and found.ends != wire.ends:
            differ.append(
                f"ends {found.ends[0]} and {found.ends[1]} instead of {wire.ends[0]} and {wire.ends[1]}"
            )
        if differ:
            yield finding(
                "found_differs",
                "mend" if thinner or found.ends is not None else "note",
                [wire.id],
                f"{wire.id} was found otherwise than designed: {'; '.join(differ)}",
                source=_OURS,
                sureness=_SURE,
                method=_METHOD,
                remedy="renew it as designed, or take what was found into the design",
            )


def _thinner(wire: Wire) -> bool:
    found = wire.as_found
    assert found is not None
    now = found.area_mm2 or (sizes.area_from_awg_mm2(found.awg) if found.awg else None)
    planned = wire.area_mm2 or (sizes.area_from_awg_mm2(wire.awg) if wire.awg else None)
    return now is not None and planned is not None and now < planned * 0.98


def duplicates(scope: Scope) -> Iterator[Finding]:
    """Find designators that a person would take for one another, and names that stand on two things."""
    seen: dict[str, list[str]] = {}
    for section in SHARED_IDS:
        for key in scope.harness.tables[section]:
            seen.setdefault(_heard(key), []).append(key)
    for same in seen.values():
        if len(same) > 1:
            yield _double(
                "designator_twice", same, f"{words.listed(same)} are one designator to whoever reads them"
            )
    yield from _same_text(scope, "known_as", "designator_twice", "was known as")
    marks: dict[str, list[str]] = {}
    for wire in scope.harness.wires.values():
        if wire.marked:
            marks.setdefault(wire.marked.strip(), []).append(wire.id)
    for mark, wires in marks.items():
        if len(wires) > 1 and len({_root(scope, w) for w in wires}) > 1:
            yield _double("mark_twice", wires, f"{words.listed(wires)} bear the same mark '{mark}'")


def _heard(key: str) -> str:
    """Return a designator without what is easily overlooked: case, leading zeros, - and _."""
    return re.sub(r"(?<!\d)0+(?=\d)", "", re.sub(r"[-_]", "", key.lower())) if len(key) <= 6 else key


def _root(scope: Scope, wire: str) -> str:
    """Return the circuit of a wire: one mark may run through a circuit's wires from connector to connector."""
    return scope.harness.wires[wire].circuit or wire


def _same_text(scope: Scope, name: str, rule: str, said: str) -> Iterator[Finding]:
    for section in ("parts", "halves", "wires"):
        by: dict[str, list[str]] = {}
        for key, entity in scope.harness.tables[section].items():
            text = getattr(entity, name)
            if text:
                by.setdefault(text.strip(), []).append(key)
        for text, keys in by.items():
            if len(keys) > 1:
                yield _double(rule, keys, f"{words.listed(keys)}: each {said} '{text}'")


def _double(rule: str, ids: list[str], text: str) -> Finding:
    return finding(
        rule, "note", ids, text, source=_OURS, sureness=_SURE, method=_METHOD, remedy="rename all but one"
    )


def dead(scope: Scope) -> Iterator[Finding]:
    """Find wires recorded as dead, and wires of which an end leads to a place where nothing goes on."""
    at_cavity = wires_at(scope.harness)
    beyond: dict[str, set[str]] = {}
    for half in scope.harness.halves.values():
        for own, theirs in mated_cavities(scope.harness, half):
            beyond.setdefault(own, set()).add(theirs)
            beyond.setdefault(theirs, set()).add(own)
    at_splice: dict[str, int] = {}
    for wire in scope.harness.wires.values():
        for end in wire.ends:
            if end.text in scope.harness.splices:
                at_splice[end.text] = at_splice.get(end.text, 0) + 1
    for wire in scope.harness.wires.values():
        if wire.status == "dead":
            yield _dead(
                wire.id, "is recorded as dead and still in the harness", "take it out, or label its ends"
            )
            continue
        for point in (end.text for end in wire.ends if end.what == "point"):
            if at_splice.get(point) == 1 or _last_cavity(scope, point, beyond.get(point, set()), at_cavity):
                what = f"leads nowhere: nothing goes on at {point}"
                yield _dead(wire.id, what, "ring it out; take it out if it is abandoned")
                break


def _last_cavity(scope: Scope, point: str, partners: set[str], at_cavity: dict[str, list[str]]) -> bool:
    """Tell whether a wire alone in a cavity of a mated half meets no wire and no part on the other side."""
    halves = scope.harness.halves
    half = halves.get(split_point(point)[0])
    if half is None or half.part or len(at_cavity[point]) > 1:
        return False
    mated = half.mates or any(half.id in other.mates for other in halves.values())
    return bool(mated) and not any(p in at_cavity or halves[split_point(p)[0]].part for p in partners)


def _dead(wire: str, what: str, remedy: str) -> Finding:
    return finding(
        "wire_dead",
        "note",
        [wire],
        f"{wire} {what}",
        source=_OURS,
        sureness=_SURE,
        method=_METHOD,
        remedy=remedy,
    )
