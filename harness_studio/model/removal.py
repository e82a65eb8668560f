"""Taking things out of a harness without leaving anything behind that names them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING, Any

from harness_studio.base.changes import Ref
from harness_studio.base.ids import split_point, split_wire_end

from .harness import Harness
from .references import references
from .values import End

if TYPE_CHECKING:
    from .edits import Edit


def removal_edits(harness: Harness, refs: Sequence[Ref]) -> Iterator[Edit]:
    """Yield the edits that remove `refs`: wires that ended there get an open end, other mentions are dropped."""
    from .edits import Put, Remove

    own = _with_dependants(harness, refs)
    gone = {key for _, key in own}
    for section, table in harness.tables.items():
        for key, entity in table.items():
            if (section, key) in own:
                continue
            if not any(r.target in gone for r in references(section, entity)):
                continue
            yield Put(section, without(section, entity, gone))
    for section, key in own:
        yield Remove(section, key)


def _with_dependants(harness: Harness, refs: Sequence[Ref]) -> dict[Ref, None]:
    """Return `refs` and whatever has no meaning without them (a run without its breakout), in order."""
    own = dict.fromkeys(refs)
    grew = True
    while grew:
        gone = {key for _, key in own}
        more = [
            (section, key)
            for section, table in harness.tables.items()
            for key, entity in table.items()
            if (section, key) not in own
            and any(r.target in gone for r in references(section, entity))
            and without(section, entity, gone) is None
        ]
        own.update(dict.fromkeys(more))
        grew = bool(more)
    return own


def without(section: str, entity: Any, gone: set[str]) -> Any | None:
    """Return the entity with no mention of the ids in `gone`, or None if nothing of it is left."""
    clean = _CLEAN.get(section)
    return clean(entity, gone) if clean else entity


def _owner(text: str) -> str:
    wire = split_wire_end(text)
    return wire[0] if wire else split_point(text)[0]


def _wire(wire: Any, gone: set[str]) -> Any:
    def opened(end: End) -> End:
        return End("unknown") if end.point and _owner(end.point) in gone else end

    rings = {n: tuple(r for r in getattr(wire, n) if _owner(r.point) not in gone) for n in ("rings_to", "rings_not")}
    found = wire.as_found
    if found and found.ends:
        found = replace(found, ends=(opened(found.ends[0]), opened(found.ends[1])))
    return replace(
        wire,
        ends=(opened(wire.ends[0]), opened(wire.ends[1])),
        runs=tuple(r for r in wire.runs if r not in gone),
        as_found=found,
        **rings,
    )


def _part(part: Any, gone: set[str]) -> Any:
    ratings = part.ratings
    if hasattr(ratings, "holds"):
        buses = tuple(tuple(p for p in bus if _owner(p) not in gone) for bus in ratings.buses)
        ratings = replace(
            ratings, holds=tuple(h for h in ratings.holds if h not in gone), buses=tuple(b for b in buses if b)
        )
    mount = part.mount if part.mount and _owner(part.mount.place) not in gone else None
    return replace(part, ratings=ratings, mount=mount, **_place(part, gone))


def _place(entity: Any, gone: set[str]) -> dict[str, Any]:
    at = entity.at
    if at is not None and ({at.breakout, at.run} & gone):
        at = None
    return {"zone": _zone(entity, gone), "at": at}


def _zone(entity: Any, gone: set[str]) -> str | None:
    return None if entity.zone in gone else entity.zone


def _half(half: Any, gone: set[str]) -> Any:
    mates = {other: pairs for other, pairs in half.mates.items() if other not in gone}
    part = None if half.part in gone else half.part
    cavities = half.cavities if part else {n: replace(c, terminal=None) for n, c in half.cavities.items()}
    return replace(half, mates=mates, part=part, cavities=cavities, **_place(half, gone))


def _ground(ground: Any, gone: set[str]) -> Any:
    rings = tuple(tuple(w for w in ring if w not in gone) for ring in ground.stack)
    place = None if ground.place and _owner(ground.place) in gone else ground.place
    return replace(ground, stack=tuple(r for r in rings if r), place=place, **_place(ground, gone))


def _multicore(multicore: Any, gone: set[str]) -> Any | None:
    wires = tuple(w for w in multicore.wires if w not in gone)
    if not wires:
        return None
    return replace(multicore, wires=wires, shield=None if multicore.shield in gone else multicore.shield)


def _mode(mode: Any, gone: set[str]) -> Any:
    maps = {
        n: {k: v for k, v in getattr(mode, n).items() if k not in gone}
        for n in ("set", "loads", "senders", "ambient_c")
    }
    return replace(mode, like=None if mode.like in gone else mode.like, **maps)


def _page(page: Any, gone: set[str]) -> Any:
    return replace(
        page,
        items={k: v for k, v in page.items.items() if k not in gone},
        wires={k: v for k, v in page.wires.items() if k not in gone},
    )


def _run(run: Any, gone: set[str]) -> Any | None:
    return None if set(run.ends) & gone else replace(run, zone=_zone(run, gone))


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
    "photos": lambda photo, gone: replace(photo, on=tuple(i for i in photo.on if i not in gone)),
}
