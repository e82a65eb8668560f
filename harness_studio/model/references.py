"""What each entity refers to, and whether the thing it names is there."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Any

from harness_studio.base.errors import AddressError, nearest
from harness_studio.base.ids import split_point, split_wire_end

from .harness import SHARED_IDS, Harness
from .parts import Part

Path = tuple[str | int, ...]
"""Where in an entity a reference stands: field names and list positions, for example ("ends", 0)."""


@dataclass(frozen=True, slots=True)
class Reference:
    """One reference: where it stands, and either a point's address or an id of one of some sections."""

    path: Path
    text: str
    sections: tuple[str, ...] = ()

    @property
    def is_point(self) -> bool:
        """Whether the text is the address of a point."""
        return not self.sections

    @property
    def target(self) -> str:
        """The id that is referred to."""
        if not self.is_point:
            return self.text
        wire = split_wire_end(self.text)
        return wire[0] if wire else split_point(self.text)[0]


def _ids(path: str, texts: Any, *sections: str) -> Iterator[Reference]:
    if texts is None:
        return
    if isinstance(texts, str):
        yield Reference((path,), texts, sections)
        return
    for index, text in enumerate(texts):
        yield Reference((path, index if not isinstance(texts, dict) else text), text, sections)


def _spot(at: Any) -> Iterator[Reference]:
    if at is not None and at.breakout:
        yield Reference(("at",), at.breakout, ("breakouts",))
    if at is not None and at.run:
        yield Reference(("at", "run"), at.run, ("runs",))


def _ends(ends: Any, *before: str | int) -> Iterator[Reference]:
    for index, end in enumerate(ends or ()):
        if end.point:
            yield Reference((*before, "ends", index), end.point)


def _part(part: Part) -> Iterator[Reference]:
    yield from _ids("zone", part.zone, "zones")
    yield from _spot(part.at)
    if part.mount:
        yield Reference(("mount", "place"), part.mount.place)
        yield Reference(("mount", "terminal"), f"{part.id}.{part.mount.terminal}")
    yield from _ids("holds", getattr(part.ratings, "holds", None), "parts")
    for row, bus in enumerate(getattr(part.ratings, "buses", ())):
        for column, text in enumerate(bus):
            yield Reference(("buses", row, column), text)


def _half(half: Any) -> Iterator[Reference]:
    yield from _ids("zone", half.zone, "zones")
    yield from _ids("part", half.part, "parts")
    yield from _ids("mates", half.mates, "halves")
    yield from _spot(half.at)
    for other, pairs in half.mates.items():
        for own, theirs in (pairs or {}).items():
            yield Reference(("mates", other, own), f"{half.id}.{own}")
            yield Reference(("mates", other, own), f"{other}.{theirs}")
    for name, cavity in half.cavities.items():
        if half.part and cavity.terminal:
            yield Reference(("cavities", name, "terminal"), f"{half.part}.{cavity.terminal}")


def _wire(wire: Any) -> Iterator[Reference]:
    yield from _ends(wire.ends)
    yield from _ids("runs", wire.runs, "runs")
    if wire.as_found:
        yield from _ends(wire.as_found.ends, "as_found")
    for name in ("rings_to", "rings_not"):
        for index, ring in enumerate(getattr(wire, name)):
            yield Reference((name, index, "point"), ring.point)


def _ground(ground: Any) -> Iterator[Reference]:
    if ground.place:
        yield Reference(("place",), ground.place)
    yield from _ids("zone", ground.zone, "zones")
    yield from _spot(ground.at)
    for row, ring in enumerate(ground.stack):
        for column, wire in enumerate(ring):
            yield Reference(("stack", row, column), wire, ("wires",))


def _mode(mode: Any) -> Iterator[Reference]:
    yield from _ids("like", mode.like, "modes")
    yield from _ids("set", dict(mode.set), "parts")
    yield from _ids("loads", dict(mode.loads), "parts")
    yield from _ids("senders", dict(mode.senders), "parts")
    yield from _ids("ambient_c", dict(mode.ambient_c), "zones")


def _page(page: Any) -> Iterator[Reference]:
    yield from _ids("items", dict(page.items), "parts", "halves", "splices", "grounds", "bodies")
    yield from _ids("wires", dict(page.wires), "wires")


def _points(*names: str) -> Callable[[Any], Iterator[Reference]]:
    def find(entity: Any) -> Iterator[Reference]:
        for name in names:
            text = getattr(entity, name)
            if isinstance(text, str):
                yield Reference((name,), text)
            else:
                yield from (Reference((name, i), t) for i, t in enumerate(text))

    return find


def _by_ids(**fields: tuple[str, ...]) -> Callable[[Any], Iterator[Reference]]:
    def find(entity: Any) -> Iterator[Reference]:
        for name, sections in fields.items():
            yield from _ids(name, getattr(entity, name), *sections)

    return find


def _annotation(note: Any) -> Iterator[Reference]:
    # On a thing as a whole, or on one point of it.
    whole = "." not in note.on and "@" not in note.on
    yield Reference(("on",), note.on, SHARED_IDS if whole else ())


def _splice(splice: Any) -> Iterator[Reference]:
    yield from _ids("zone", splice.zone, "zones")
    yield from _spot(splice.at)


_FIND: dict[str, Callable[[Any], Iterator[Reference]]] = {
    "bonds": _points("ends"),
    "breakouts": _by_ids(zone=("zones",)),
    "runs": _by_ids(ends=("breakouts",), zone=("zones",)),
    "parts": _part,
    "halves": _half,
    "splices": _splice,
    "grounds": _ground,
    "wires": _wire,
    "multicores": _by_ids(wires=("wires",), shield=("wires",)),
    "modes": _mode,
    "annotations": _annotation,
    "photos": _by_ids(on=SHARED_IDS),
    "pages": _page,
}


def references(section: str, entity: Any) -> Iterator[Reference]:
    """Yield everything that an entity refers to.

    Cases and joints as found are left out: they keep what was written even when the harness changed since, and are
    judged where they are used.
    """
    find = _FIND.get(section)
    return find(entity) if find else iter(())


def problem_with(harness: Harness, reference: Reference) -> str | None:
    """Return what is wrong with a reference in one sentence, or None if the thing it names is there."""
    try:
        if reference.is_point:
            check_point(harness, reference.text)
            return None
    except AddressError as error:
        return str(error)
    if any(reference.text in harness.tables[s] for s in reference.sections):
        return None
    known = [key for s in reference.sections for key in harness.tables[s]]
    return _missing(reference.text, " or ".join(reference.sections), known)


def _missing(text: str, where: str, known: list[str]) -> str:
    near = nearest(text, known)
    return f"'{text}' is not in {where}" + (f"; nearest is '{near}'" if near else "")


def check_point(harness: Harness, text: str) -> None:
    """Check that a point is there.

    Raises
    ------
    AddressError
        If the address is malformed or names nothing in this harness; the message says what would be right.
    """
    wire_end = split_wire_end(text)
    if wire_end:
        _check_wire_end(harness, text, *wire_end)
        return
    owner, name = split_point(text)
    section = harness.section_of(owner)
    if section is None:
        raise AddressError(_missing(owner, "this harness", sorted(harness.taken_ids())))
    if section in ("splices", "grounds"):
        if name is not None:
            raise AddressError(f"'{text}': {owner} has no terminals; write '{owner}'")
        return
    if section in ("wires", "bonds"):
        raise AddressError(f"'{text}' is a {section[:-1]}, not a point")
    if name is None:
        raise AddressError(f"'{text}' names no terminal, cavity or place of {owner}")
    _check_name(harness, section, owner, name)


def _check_wire_end(harness: Harness, text: str, wire_id: str, at: str) -> None:
    wire = harness.wires.get(wire_id)
    if wire is None:
        raise AddressError(_missing(wire_id, "wires", list(harness.wires)))
    if not any(end.point == at for end in wire.ends):
        raise AddressError(f"'{text}': {wire_id} ends at {wire.ends[0]} and {wire.ends[1]}, not at {at}")


def _check_name(harness: Harness, section: str, owner: str, name: str) -> None:
    known: tuple[str, ...] | None
    if section == "parts":
        known, word = harness.parts[owner].terminals(), "terminal"
    elif section == "halves":
        half = harness.halves[owner]
        known, word = (half.cavity_names() if half.face else None), "cavity"
    else:
        known, word = tuple(harness.bodies[owner].places_mohm), "place"
    if known is not None and name not in known:
        listed = ", ".join(known[:12]) + (", ..." if len(known) > 12 else "")
        raise AddressError(
            f"'{owner}.{name}': {owner} has no {word} '{name}'" + (f"; it has {listed}" if known else "")
        )
