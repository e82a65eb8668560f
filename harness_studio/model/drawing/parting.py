"""Parting a wire: a splice, an in-line connector or a part with two terminals is put into it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from harness_studio.base.errors import EditError
from harness_studio.model.edits import Edit, Put, Remove
from harness_studio.model.entities import Wire
from harness_studio.model.harness import Harness
from harness_studio.model.references import references
from harness_studio.model.renaming import Names, renamed_entity
from harness_studio.model.values import End

from .ids import LETTERS, FreeIds

IN_LINE = {"fuse": ("in", "out"), "breaker": ("in", "out"), "link": ("in", "out"), "diode": ("A", "K"),
           "resistor": ("1", "2"), "ammeter": ("1", "2"), "cut_off": ("1", "2")}  # fmt: skip
"""Kinds of part that are put into a wire: the terminal towards its first end, and the other one."""
_ROUND_MM = 10.0


@dataclass(frozen=True, slots=True)
class Ports:
    """Where the two new ends of a parted wire come to."""

    first: str
    second: str


def ports_of(piece: Harness) -> Ports | None:
    """Return where a wire ends on a piece that is put into it; None for one that does not go into a wire."""
    splices, parts, halves = list(piece.splices), list(piece.parts.values()), list(piece.halves.values())
    if len(splices) == 1 and not parts and not halves:
        return Ports(splices[0], splices[0])
    if len(parts) == 1 and not splices and not halves:
        terminals = IN_LINE.get(parts[0].kind)
        own = parts[0].terminals() or ()
        if terminals is None and parts[0].kind == "switch" and len(own) == 2:
            terminals = (own[0], own[1])
        return Ports(*(f"{parts[0].id}.{t}" for t in terminals)) if terminals else None
    if len(halves) == 2 and not splices and not parts and (halves[0].mates or halves[1].mates):
        own, other = (h.cavity_names() for h in halves)
        if own and other:
            return Ports(
                f"{halves[0].id}.{own[0]}", f"{halves[1].id}.{own[0] if own[0] in other else other[0]}"
            )
    return None


def part_edits(
    harness: Harness, wire_id: str, ports: Ports, share: float, new_ids: FreeIds, page_id: str | None = None
) -> tuple[list[Edit], str]:  # fmt: skip
    """Return the edits that part a wire, and the id of its second piece.

    The first piece keeps the id. Both keep size, colour and all other fields; the length is shared out, and whatever
    named the second end (a ring in a stack, a joint as found, a note, a bundle of cores) names the second piece.

    Parameters
    ----------
    ports
        Where the new ends come to; they are put into the harness in the same step.
    share
        How much of the length the first piece gets, 0 to 1.
    page_id
        The page whose bend points the caller shares out; those of other pages are dropped.

    Raises
    ------
    EditError
        If there is no such wire.
    """
    wire = harness.wires.get(wire_id)
    if wire is None:
        raise EditError(f"{wire_id} is not in wires")
    second_id = new_ids.next(LETTERS["wires"])
    first, second = _shared_out(harness, wire, min(1.0, max(0.0, share)))
    first = replace(first, ends=(wire.ends[0], End("point", ports.first)))
    second = replace(
        second, id=second_id, ends=(End("point", ports.second), wire.ends[1]),
        known_as=None, rings_to=(), rings_not=(),
    )  # fmt: skip
    if wire.as_found is not None and wire.as_found.ends is not None:
        found = wire.as_found.ends
        first = replace(first, as_found=replace(wire.as_found, ends=None))
        second = replace(second, as_found=replace(wire.as_found, ends=None, note=_found_note(wire, found)))
    edits: list[Edit] = [Put("wires", first), Put("wires", second, position=_after(harness, wire_id))]
    return [
        *edits,
        *_followers(harness, wire, second_id),
        *_pages(harness, wire_id, page_id),
    ], second_id


def _found_note(wire: Wire, found: tuple[End, End]) -> str:
    said = f"before parting {wire.id} was found from {found[0]} to {found[1]}"
    note = wire.as_found.note if wire.as_found is not None else None
    return f"{note}; {said}" if note else said


def _after(harness: Harness, wire_id: str) -> int:
    return list(harness.wires).index(wire_id) + 1


def _shared_out(harness: Harness, wire: Wire, share: float) -> tuple[Wire, Wire]:
    """Return the two pieces with the wire's length shared out; one that is not known stays so."""
    if wire.length_mm is not None:
        first_mm = min(wire.length_mm, round(wire.length_mm * share / _ROUND_MM) * _ROUND_MM)
        return replace(wire, length_mm=first_mm), replace(wire, length_mm=wire.length_mm - first_mm)
    if not wire.runs:
        return wire, wire
    lengths = [harness.runs[r].length_mm for r in wire.runs]
    if any(mm is None for mm in lengths):
        return replace(wire, tails_mm=None), replace(wire, runs=(), tails_mm=None, slack_mm=None)
    return _along_runs(wire, [mm for mm in lengths if mm is not None], share)


def _along_runs(wire: Wire, lengths: list[float], share: float) -> tuple[Wire, Wire]:
    """Part a wire that follows runs: each piece keeps the runs it follows whole, and of the one it is parted in a tail.

    The slack stays with the first piece.
    """
    before, after = wire.tails_mm or (0.0, 0.0)
    cut = (before + sum(lengths) + after) * share
    cut = round(cut / _ROUND_MM) * _ROUND_MM
    if cut <= before:
        return (
            replace(wire, length_mm=cut + (wire.slack_mm or 0.0), runs=(), tails_mm=None, slack_mm=None),
            replace(wire, tails_mm=(before - cut, after), slack_mm=None),
        )
    passed = before
    for number, mm in enumerate(lengths):
        if cut <= passed + mm:
            first = replace(wire, runs=wire.runs[:number], tails_mm=(before, cut - passed))
            second = replace(
                wire, runs=wire.runs[number + 1 :], tails_mm=(passed + mm - cut, after), slack_mm=None
            )
            return _plain(first), _plain(second)
        passed += mm
    return (
        replace(wire, tails_mm=(before, cut - passed)),
        replace(wire, length_mm=passed + after - cut, runs=(), tails_mm=None, slack_mm=None),
    )


def _plain(wire: Wire) -> Wire:
    """Return a wire that follows no run any more with its tails and slack as its length."""
    if wire.runs:
        return wire
    total = sum(wire.tails_mm or ()) + (wire.slack_mm or 0.0)
    return replace(wire, length_mm=total, tails_mm=None, slack_mm=None)


def _followers(harness: Harness, wire: Wire, second_id: str) -> Iterator[Edit]:
    """Yield the edits that let what named the second end name the second piece."""
    point = wire.ends[1].point
    moved: dict[str, str] = {}
    if point is not None and wire.ends[0].point != point:
        moved = {f"{wire.id}@{point}": f"{second_id}@{point}", f"{point}/{wire.id}": f"{point}/{second_id}"}
    names = Names(addresses=moved)
    for section in ("parts", "halves", "wires", "annotations"):
        for key, entity in harness.tables[section].items():
            if key != wire.id and any(r.text in moved for r in references(section, entity)):
                yield Put(section, renamed_entity(entity, names, key))
    for key, record in list(harness.joints.items()):
        if key in moved:
            yield Remove("joints", key)
            yield Put("joints", replace(record, id=moved[key]), position=list(harness.joints).index(key))
    ground = harness.grounds.get(point) if point is not None else None
    if ground is not None and any(wire.id in ring for ring in ground.stack):
        stack = tuple(tuple(second_id if w == wire.id else w for w in ring) for ring in ground.stack)
        yield Put("grounds", replace(ground, stack=stack))
    for key, cable in harness.multicores.items():
        if wire.id in cable.wires:
            yield Put("multicores", replace(cable, wires=_both(cable.wires, wire.id, second_id), id=key))


def _both(wires: tuple[str, ...], first: str, second: str) -> tuple[str, ...]:
    at = wires.index(first) + 1
    return (*wires[:at], second, *wires[at:])


def _pages(harness: Harness, wire_id: str, but: str | None) -> Iterator[Edit]:
    """Yield the pages, but one, without the wire's own bend points: they say nothing of where it is parted."""
    for key, page in harness.pages.items():
        if wire_id in page.wires and key != but:
            yield Put("pages", replace(page, wires={k: v for k, v in page.wires.items() if k != wire_id}))
