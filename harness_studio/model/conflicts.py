"""What cannot be true of a harness even though everything it names is there."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

from .harness import Harness

Path = tuple[str | int, ...]


@dataclass(frozen=True, slots=True)
class Conflict:
    """One contradiction: the entry and where in it, one sentence, and the other ids that have part in it."""

    section: str
    key: str
    path: Path
    text: str
    others: tuple[str, ...] = ()


def conflicts(harness: Harness, sections: Iterable[str] | None = None) -> Iterator[Conflict]:
    """Yield what contradicts itself in the harness, or in the named sections only."""
    for section in _CHECKS if sections is None else sections:
        check = _CHECKS.get(section)
        if check:
            yield from check(harness)


def _one_point(harness: Harness) -> Iterator[Conflict]:
    for wire in harness.wires.values():
        start, end = wire.ends
        if start.point is not None and start.point == end.point:
            yield Conflict("wires", wire.id, ("ends", 1), f"both ends of {wire.id} are on {start.point}")


def _one_place(harness: Harness) -> Iterator[Conflict]:
    for bond in harness.bonds.values():
        if bond.ends[0] == bond.ends[1]:
            yield Conflict("bonds", bond.id, ("ends", 1), f"both ends of {bond.id} are on {bond.ends[0]}")


def _mated_twice(harness: Harness) -> Iterator[Conflict]:
    partner: dict[tuple[str, str], tuple[str, str]] = {}
    for half in harness.halves.values():
        for other, pairs in half.mates.items():
            if other == half.id:
                yield Conflict("halves", half.id, ("mates", other), f"{half.id} cannot mate itself")
                continue
            for own, theirs in _pairs(harness, half.id, other, pairs):
                for cavity, mate in (((half.id, own), (other, theirs)), ((other, theirs), (half.id, own))):
                    before = partner.setdefault(cavity, mate)
                    if before != mate:
                        text = (
                            f"cavity {'.'.join(cavity)} mates {'.'.join(before)} already and cannot mate "
                            f"{'.'.join(mate)} too"
                        )
                        yield Conflict(
                            "halves", half.id, ("mates", other), text, (other, before[0], cavity[0])
                        )


def _pairs(
    harness: Harness, half_id: str, other_id: str, pairs: Mapping[str, str] | None
) -> Iterator[tuple[str, str]]:
    if pairs is not None:
        yield from pairs.items()
        return
    half, other = harness.halves[half_id], harness.halves.get(other_id)
    if other is None:
        return
    # Equal names meet. A half without a face may have more cavities than are listed.
    own, theirs = half.cavity_names(), other.cavity_names()
    if half.face and other.face:
        names = [n for n in own if n in theirs]
    else:
        names = list(own if half.face else theirs if other.face else dict.fromkeys(own + theirs))
    yield from ((name, name) for name in names)


def _rings(harness: Harness) -> Iterator[Conflict]:
    for ground in harness.grounds.values():
        seen: set[str] = set()
        for row, ring in enumerate(ground.stack):
            for column, wire in enumerate(ring):
                if wire in seen:
                    text = f"{wire} stands twice in the stack of {ground.id}"
                    yield Conflict("grounds", ground.id, ("stack", row, column), text)
                seen.add(wire)


def _like_itself(harness: Harness) -> Iterator[Conflict]:
    for mode in harness.modes.values():
        seen = [mode.id]
        while True:
            current = harness.modes.get(seen[-1])
            if current is None or current.like is None:
                break
            if current.like in seen:
                if current.like == mode.id and mode.id == next(m for m in harness.modes if m in seen):
                    text = f"the mode is like itself: {' like '.join([*seen, mode.id])}"
                    yield Conflict("modes", mode.id, ("like",), text, tuple(seen))
                break
            seen.append(current.like)


def _held_twice(harness: Harness) -> Iterator[Conflict]:
    holder: dict[str, str] = {}
    for part in harness.parts.values():
        for index, held in enumerate(getattr(part.ratings, "holds", ())):
            first = holder.setdefault(held, part.id)
            if first != part.id:
                yield Conflict(
                    "parts", part.id, ("holds", index), f"{held} is held by {first} already", (first,)
                )
    for part_id in holder:
        seen = [part_id]
        while seen[-1] in holder and holder[seen[-1]] not in seen:
            seen.append(holder[seen[-1]])
        if holder.get(seen[-1]) == part_id and part_id == next(p for p in holder if p in seen):
            text = f"{part_id} is held by itself: {' holds '.join([part_id, *reversed(seen)])}"
            yield Conflict("parts", part_id, ("holds",), text, tuple(seen))


_CHECKS = {
    "bonds": _one_place,
    "parts": _held_twice,
    "halves": _mated_twice,
    "grounds": _rings,
    "wires": _one_point,
    "modes": _like_itself,
}
