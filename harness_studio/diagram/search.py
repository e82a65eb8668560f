"""Finding things by what a person knows of them: ids, titles, colours in words, marks, functions, zones."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from harness_studio.drawing import looks
from harness_studio.model.harness import Harness
from harness_studio.placing.homes import homes
from harness_studio.placing.links import owner


@dataclass(frozen=True, slots=True)
class Found:
    """One thing that matches: its id, what it is, and in which words it matches."""

    id: str
    title: str
    about: str


class Index:
    """The words of every thing on a harness; built anew when the harness changed."""

    def __init__(self, harness: Harness) -> None:
        self._entries = [
            (found, f"{found.title} {found.about} {more}".lower()) for found, more in _entries(harness)
        ]

    def find(self, text: str, most: int = 60) -> list[Found]:
        """Return the things that hold every word of a text; an id that starts with it comes first."""
        words = text.lower().split()
        if not words:
            return []
        hits = [found for found, said in self._entries if all(word in said for word in words)]
        first = words[0]

        def rank(found: Found) -> tuple[int, int, str]:
            lowered = found.id.lower()
            return (0 if lowered == first else 1 if lowered.startswith(first) else 2, len(found.id), found.id)

        return sorted(hits, key=rank)[:most]


def _entries(harness: Harness) -> Iterator[tuple[Found, str]]:
    zones = {z.id: z.title or z.id for z in harness.zones.values()}
    for part in harness.parts.values():
        about = _joined(part.about.title, part.circuit, zones.get(part.zone or ""))
        yield (
            Found(part.id, harness.title_of(part.id), about),
            _joined(part.known_as, part.part_number, part.note),
        )
    for half in harness.halves.values():
        functions = [c.function for c in half.cavities.values() if c.function]
        count = len(half.cavity_names())
        about = _joined("connector", f"{count} cavities" if count else None, zones.get(half.zone or ""))
        more = _joined(*functions, half.known_as, half.part_number, half.note)
        yield Found(half.id, harness.title_of(half.id), about), more
    for section, word in (("splices", "splice"), ("grounds", "ground"), ("bodies", "body")):
        for thing in harness.tables[section].values():
            place = getattr(thing, "place", None)
            about = _joined(word, place, zones.get(getattr(thing, "zone", None) or ""))
            more = _joined(getattr(thing, "known_as", None), thing.note)
            yield Found(thing.id, harness.title_of(thing.id), about), more
    for wire in harness.wires.values():
        ends = f"{wire.ends[0]} to {wire.ends[1]}"
        about = _joined(looks.colour_words(wire), looks.size_words(wire), ends)
        marked = f"marked {wire.marked}" if wire.marked else None
        yield (
            Found(wire.id, wire.id, _joined(about, marked)),
            _joined(wire.circuit, wire.known_as, wire.note, "wire"),
        )


def _joined(*texts: str | None) -> str:
    return " · ".join(t for t in texts if t)


def pages_with(harness: Harness, thing: str) -> list[str]:
    """Return the pages that a thing stands on; a wire stands where a thing at one of its ends does."""
    return pages_with_each(harness, (thing,))[thing]


def pages_with_each(harness: Harness, things: Iterable[str]) -> dict[str, list[str]]:
    """Return the pages that each of several things stands on; each page is looked through once."""
    standing = {page.id: homes(harness, page).keys() for page in harness.pages.values()}
    found = {}
    for thing in things:
        wire = harness.wires.get(thing)
        owners = {thing} if wire is None else {owner(e.point) for e in wire.ends if e.point is not None}
        found[thing] = [page for page, there in standing.items() if owners & there]
    return found
