"""Taking things out of a harness without leaving anything behind that names them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any

from harness_studio.base.changes import Ref
from harness_studio.base.ids import split_point, split_wire_end

from .harness import SHARED_IDS, Harness
from .references import Reference, references
from .values import End

if TYPE_CHECKING:
    from .edits import Edit


@dataclass(frozen=True, slots=True)
class Gone:
    """What is taken out. An id alone says too little: a zone and a body may have the same."""

    refs: frozenset[Ref]

    def has(self, key: str | None, *sections: str) -> bool:
        """Tell whether the entry with this key is taken out of one of these sections."""
        return key is not None and any((section, key) in self.refs for section in sections)

    def point(self, text: str) -> bool:
        """Tell whether a point is on something that is taken out."""
        wire = split_wire_end(text)
        owner = wire[0] if wire else split_point(text)[0]
        return self.has(owner, *SHARED_IDS)

    def named_by(self, reference: Reference) -> bool:
        """Tell whether a reference names something that is taken out."""
        return self.has(reference.target, *(reference.sections or SHARED_IDS))


def removal_edits(harness: Harness, refs: Sequence[Ref]) -> Iterator[Edit]:
    """Yield the edits that remove `refs`: wires that ended there get an open end, other mentions are dropped."""
    from .edits import Put, Remove

    own = _with_dependants(harness, refs)
    gone = Gone(frozenset(own))
    for section, _, entity in _naming(harness, gone):
        yield Put(section, without(section, entity, gone))
    for section, key in own:
        yield Remove(section, key)


def _naming(harness: Harness, gone: Gone) -> Iterator[tuple[str, str, Any]]:
    """Yield what stays and names something that goes."""
    for section, table in harness.tables.items():
        for key, entity in table.items():
            if (section, key) not in gone.refs and any(map(gone.named_by, references(section, entity))):
                yield section, key, entity


def _with_dependants(harness: Harness, refs: Sequence[Ref]) -> dict[Ref, None]:
    """Return `refs` and whatever has no meaning without them (a run without its breakout), in order."""
    own = dict.fromkeys(refs)
    grew = True
    while grew:
        gone = Gone(frozenset(own))
        more = [(s, k) for s, k, entity in _naming(harness, gone) if without(s, entity, gone) is None]
        own.update(dict.fromkeys(more))
        grew = bool(more)
    return own


def without(section: str, entity: Any, gone: Gone) -> Any | None:
    """Return the entity with no mention of what is gone, or None if nothing of it is left."""
    clean = _CLEAN.get(section)
    return clean(entity, gone) if clean else entity


def _wire(wire: Any, gone: Gone) -> Any:
    def opened(end: End) -> End:
        return End("unknown") if end.point and gone.point(end.point) else end

    rings = {
        n: tuple(r for r in getattr(wire, n) if not gone.point(r.point)) for n in ("rings_to", "rings_not")
    }
    found = wire.as_found
    if found and found.ends:
        found = replace(found, ends=(opened(found.ends[0]), opened(found.ends[1])))
    return replace(
        wire,
        ends=(opened(wire.ends[0]), opened(wire.ends[1])),
        runs=tuple(r for r in wire.runs if not gone.has(r, "runs")),
        as_found=found,
        **rings,
    )


def _part(part: Any, gone: Gone) -> Any:
    ratings = part.ratings
    if hasattr(ratings, "holds"):
        buses = tuple(tuple(p for p in bus if not gone.point(p)) for bus in ratings.buses)
        ratings = replace(
            ratings,
            holds=tuple(h for h in ratings.holds if not gone.has(h, "parts")),
            buses=tuple(b for b in buses if b),
        )
    mount = part.mount if part.mount and not gone.point(part.mount.place) else None
    return replace(part, ratings=ratings, mount=mount, **_place(part, gone))


def _place(entity: Any, gone: Gone) -> dict[str, Any]:
    at = entity.at
    if at is not None and (gone.has(at.breakout, "breakouts") or gone.has(at.run, "runs")):
        at = None
    return {"zone": _zone(entity, gone), "at": at}


def _zone(entity: Any, gone: Gone) -> str | None:
    return None if gone.has(entity.zone, "zones") else entity.zone


def _half(half: Any, gone: Gone) -> Any:
    mates = {other: pairs for other, pairs in half.mates.items() if not gone.has(other, "halves")}
    part, cavities = half.part, half.cavities
    if gone.has(part, "parts"):
        part, cavities = None, {n: replace(c, terminal=None) for n, c in cavities.items()}
    return replace(half, mates=mates, part=part, cavities=cavities, **_place(half, gone))


def _ground(ground: Any, gone: Gone) -> Any:
    rings = tuple(tuple(w for w in ring if not gone.has(w, "wires")) for ring in ground.stack)
    place = None if ground.place and gone.point(ground.place) else ground.place
    return replace(ground, stack=tuple(r for r in rings if r), place=place, **_place(ground, gone))


def _multicore(multicore: Any, gone: Gone) -> Any | None:
    wires = tuple(w for w in multicore.wires if not gone.has(w, "wires"))
    if not wires:
        return None
    return replace(
        multicore, wires=wires, shield=None if gone.has(multicore.shield, "wires") else multicore.shield
    )


def _mode(mode: Any, gone: Gone) -> Any:
    named = {"set": "parts", "loads": "parts", "senders": "parts", "ambient_c": "zones"}
    tables = {n: {k: v for k, v in getattr(mode, n).items() if not gone.has(k, s)} for n, s in named.items()}
    return replace(mode, like=None if gone.has(mode.like, "modes") else mode.like, **tables)


def _page(page: Any, gone: Gone) -> Any:
    return replace(
        page,
        items={k: v for k, v in page.items.items() if not gone.has(k, *SHARED_IDS)},
        wires={k: v for k, v in page.wires.items() if not gone.has(k, "wires")},
    )


def _run(run: Any, gone: Gone) -> Any | None:
    lost = any(gone.has(end, "breakouts") for end in run.ends)
    return None if lost else replace(run, zone=_zone(run, gone))


_CLEAN: dict[str, Any] = {
    "wires": _wire,
    "parts": _part,
    "halves": _half,
    "splices": lambda splice, gone: replace(splice, **_place(splice, gone)),
    "grounds": _ground,
    "multicores": _multicore,
    "modes": _mode,
    "pages": _page,
    "runs": _run,
    "bonds": lambda bond, gone: None,
    "breakouts": lambda breakout, gone: replace(breakout, zone=_zone(breakout, gone)),
    "annotations": lambda note, gone: None,
    "photos": lambda photo, gone: replace(
        photo, on=tuple(i for i in photo.on if not gone.has(i, *SHARED_IDS))
    ),
}
