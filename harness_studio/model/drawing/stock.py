"""The stock: what can be put on the paper, found by words; each thing is a piece with ids that are free."""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from harness_studio.model.entities import Body, Ground, Half, Splice
from harness_studio.model.harness import Harness
from harness_studio.model.kinds import KINDS
from harness_studio.model.parts import make_part
from harness_studio.model.values import At, Face

from .ids import LETTERS, free_ids, letters_of
from .pieces import piece_of
from .stock_parts import PARTS, PartEntry

MOST_CAVITIES = 240
_LAYOUT = re.compile(r"(\d{1,3})\s*(?:x|×|by)\s*(\d{1,3})")
_ROUND = re.compile(r"round\s+(\d{1,3})|(\d{1,3})\s+round")


@dataclass(frozen=True, slots=True)
class StockItem:
    """One thing of the stock.

    Parameters
    ----------
    key
        Short name; `item_of` finds the thing by it again.
    title
        What the list says.
    group
        Under which heading it stands.
    words
        Other words by which it is found.
    make
        Gives the piece that is put into a harness.
    """

    key: str
    title: str
    group: str
    words: str
    make: Callable[[Harness], Harness]


def _part(entry: PartEntry, group: str) -> StockItem:
    def make(harness: Harness) -> Harness:
        key = free_ids(harness).next(letters_of(harness, entry.kind))
        part = make_part(key, entry.kind, **entry.ratings)
        return piece_of([("parts", part)], {key: At(0.0, 0.0)})

    return StockItem(entry.key, entry.title, group, f"{entry.words} {KINDS[entry.kind].title}", make)


def rows_face(rows: int, columns: int) -> Face:
    """Return a face of rows of cavities, numbered as one reads, its lock at the top, seen from the mating side."""
    names = tuple(tuple(str(r * columns + c + 1) for c in range(columns)) for r in range(rows))
    return Face(view="mating", rows=names, lock="top")


def round_face(count: int) -> Face:
    """Return a round face: cavities on a circle clockwise from the top; from seven on the last one in the middle."""
    around = count if count < 7 else count - 1
    radius = max(5.0, around * 5.0 / (2 * math.pi))
    at = {}
    for n in range(around):
        angle = 2 * math.pi * n / around
        at[str(n + 1)] = (round(radius * math.sin(angle), 1), round(radius * math.cos(angle), 1))
    if around < count:
        at[str(count)] = (0.0, 0.0)
    return Face(view="mating", at_mm=at, outline="round")


def _mirrored(face: Face) -> Face:
    """Return the face of the other half: both are seen from their mating sides, so left and right change."""
    if face.rows:
        return replace(face, rows=tuple(tuple(reversed(row)) for row in face.rows))
    return replace(face, at_mm={name: (-x if x else x, y) for name, (x, y) in face.at_mm.items()})


def _half(key: str, title: str, face: Face, words: str = "") -> StockItem:
    def make(harness: Harness) -> Harness:
        own = free_ids(harness).next(LETTERS["halves"])
        return piece_of([("halves", Half(own, face=face))], {own: At(0.0, 0.0)})

    return StockItem(key, title, "connectors", f"connector half plug socket cavities {words}", make)


def _pair(key: str, title: str, face: Face) -> StockItem:
    def make(harness: Harness) -> Harness:
        free = free_ids(harness)
        first, second = free.next(LETTERS["halves"]), free.next(LETTERS["halves"])
        halves = (
            Half(first, gender="socket", mates={second: None}, face=face),
            Half(second, gender="pin", face=_mirrored(face)),
        )
        return piece_of([("halves", h) for h in halves], {first: At(0.0, 0.0)})

    return StockItem(key, title, "connectors", "in-line connector pair mated joint unplug cavities", make)


def rows_item(rows: int, columns: int) -> StockItem:
    """Return a connector half with so many rows and columns of cavities."""
    count = rows * columns
    shape = f"{rows} × {columns}"
    return _half(
        f"rows_{rows}x{columns}", f"connector, {shape}", rows_face(rows, columns), f"{count} way {count}"
    )


def round_item(count: int) -> StockItem:
    """Return a round connector half with so many cavities."""
    return _half(f"round_{count}", f"round connector, {count}", round_face(count), f"circular {count} way")


def _box(ways: int) -> StockItem:
    def make(harness: Harness) -> Harness:
        free = free_ids(harness)
        box = free.next(letters_of(harness, "box"))
        fuses = [free.next(letters_of(harness, "fuse")) for _ in range(ways)]
        buses = ((f"{box}.30", *(f"{f}.in" for f in fuses)),)
        parts = [make_part(f, "fuse", style="blade_medium") for f in fuses]
        holder = make_part(box, "box", common={"title": "fuse box"}, holds=tuple(fuses), buses=buses)
        return piece_of([("parts", p) for p in (holder, *parts)], {box: At(0.0, 0.0)})

    words = "box distribution fuses holder"
    return StockItem(f"box_{ways}", f"fuse box, {ways} fuses on one feed", "supply", words, make)


def _plain_box() -> StockItem:
    def make(harness: Harness) -> Harness:
        box = free_ids(harness).next(letters_of(harness, "box"))
        return piece_of([("parts", make_part(box, "box"))], {box: At(0.0, 0.0)})

    return StockItem("box", "box, empty", "supply", "holder relay", make)


def _body(key: str, name: str, title: str, places: Sequence[str]) -> StockItem:
    def make(harness: Harness) -> Harness:
        own = free_ids(harness).like(name)
        mohm = dict.fromkeys(places, 0.3)
        body = Body(own, title=title, places_mohm=mohm, assumed=True)
        return piece_of([("bodies", body)], {own: At(0.0, 0.0)})

    return StockItem(key, f"body: {title}", "ground", "metal chassis frame earth", make)


def _splice() -> StockItem:
    def make(harness: Harness) -> Harness:
        own = free_ids(harness).next(LETTERS["splices"])
        return piece_of([("splices", Splice(own))], {own: At(0.0, 0.0)})

    return StockItem("splice", "splice", "wires", "crimp solder join", make)


def _ground(stud: str) -> StockItem:
    def make(harness: Harness) -> Harness:
        own = free_ids(harness).next(LETTERS["grounds"])
        return piece_of([("grounds", Ground(own, stud=stud))], {own: At(0.0, 0.0)})

    return StockItem(
        f"ground_{stud.lower()}", f"ground point, {stud} stud", "ground", "earth ring return", make
    )


SPLICE = _splice()
GROUND = _ground("M6")
_CONNECTORS = (
    *(rows_item(r, c) for r, c in ((1, 1), (1, 2), (1, 3), (1, 4), (2, 2), (2, 3), (2, 4), (2, 5), (2, 6),
                                   (2, 8), (3, 4), (3, 8))),
    *(round_item(n) for n in (3, 4, 7, 13)),
    *(_pair(f"pair_{r}x{c}", f"in-line connector, {r} × {c}", rows_face(r, c))
      for r, c in ((1, 1), (1, 2), (1, 3), (2, 2), (2, 3), (2, 4))),
)  # fmt: skip
_GROUP = {"battery": "supply", "alternator": "supply", "dynamo": "supply", "fuse": "supply", "breaker": "supply",
          "link": "supply", "bus_bar": "supply", "switch": "switches", "ignition_switch": "switches",
          "cut_off": "switches", "relay": "switches", "flasher": "switches", "gauge": "instruments",
          "stabiliser": "instruments", "voltmeter": "instruments", "ammeter": "instruments",
          "sender": "instruments", "ntc": "instruments", "control_unit": "instruments"}  # fmt: skip
STOCK: tuple[StockItem, ...] = (
    SPLICE,
    GROUND,
    _ground("M8"),
    _body("body_shell", "shell", "shell or cab", ("front", "middle", "rear")),
    _body("body_engine", "engine", "engine block", ("block",)),
    _body("body_frame", "frame", "frame", ("front", "rear")),
    *(_part(entry, _GROUP.get(entry.kind, "loads")) for entry in PARTS),
    _box(6),
    _box(10),
    _plain_box(),
    *_CONNECTORS,
)
"""Everything of the stock, in the order of the list."""
_BY_KEY = {item.key: item for item in STOCK}


def item_of(key: str) -> StockItem | None:
    """Return the thing with a short name, any layout of a connector included; None if there is no such thing."""
    found = _BY_KEY.get(key)
    if found is not None:
        return found
    layout = re.fullmatch(r"rows_(\d{1,3})x(\d{1,3})", key)
    if layout and 0 < int(layout[1]) * int(layout[2]) <= MOST_CAVITIES:
        return rows_item(int(layout[1]), int(layout[2]))
    ring = re.fullmatch(r"round_(\d{1,3})", key)
    return round_item(int(ring[1])) if ring and 0 < int(ring[1]) <= MOST_CAVITIES else None


def find(text: str, recent: Sequence[str] = ()) -> list[StockItem]:
    """Return what the stock has for some words, recent things first.

    A layout that is not listed is made: '4 x 9', 'round 19'.
    """
    words = _joined(text).split()
    first = [item for item in map(item_of, recent) if item is not None]
    items = [*first, *(item for item in STOCK if item not in first)]
    hits = [item for item in items if all(word in _said(item) for word in words)]
    if words:
        hits.sort(key=lambda item: (item not in first, not item.title.startswith(words[0]),
                                    not all(word in _joined(item.title) for word in words)))  # fmt: skip
    made, others = _typed_layout(text.lower())
    if made is None or not all(word in _said(made) for word in others.split()):
        return hits
    return [made, *(item for item in hits if item.key != made.key)]


def _typed_layout(text: str) -> tuple[StockItem | None, str]:
    """Return the connector whose layout is typed, and the other words."""
    layout, ring = _LAYOUT.search(text), _ROUND.search(text)
    if layout:
        return item_of(f"rows_{layout[1]}x{layout[2]}"), text.replace(layout[0], " ")
    if ring:
        return item_of(f"round_{ring[1] or ring[2]}"), text.replace(ring[0], " ")
    return None, text


def _said(item: StockItem) -> str:
    return _joined(f"{item.title} {item.words} {item.group}")


def _joined(text: str) -> str:
    """Return a text in small letters with layouts as one word: '2 × 4' → '2x4'."""
    return _LAYOUT.sub(r"\1x\2", text.lower())
