"""What depends on positions: which tooth, leg, ring side or place on a bar each wire takes, so that few wires cross."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from harness_studio.base.geometry import Point
from harness_studio.model.entities import Page
from harness_studio.model.harness import Harness
from harness_studio.model.values import At

from .bars import settle_bar
from .drafts import OUTWARDS, Draft, Row
from .placed import box_on_page, from_page, side_on_page, to_page
from .return_drafts import legs
from .symbols import Key, Side

_SWEEPS = 2
_OUT_MM = 10.0
_FOUR = 4
_STEEP = 3.0
_LEFT_RIGHT: tuple[Side, Side] = ("left", "right")


def settle(
    harness: Harness,
    page: Page,
    drafts: Mapping[str, Draft],
    far: Mapping[Key, Key | None],
    home: Mapping[str, str],
) -> None:
    """Put the wire ends of all drafts in the order that crosses least, given where the symbols stand.

    Bars first come to their lengths; then each symbol in turn orders its ends by where their far ends are at that
    moment, and once more. Deterministic: ties keep the order of the harness.
    """
    spots: dict[Key, Point] = {}
    for key, draft in drafts.items():
        _note_spots(draft, page.items[key], spots)
    boxes = {
        key: box_on_page(draft.extent(), page.items[key])
        for key, draft in drafts.items()
        if draft.kind != "body"
    }
    for _ in range(_SWEEPS):
        for key, draft in drafts.items():
            at = page.items[key]
            if draft.kind == "body":
                settle_bar(harness, page, drafts, boxes, key, far, spots)
            else:
                _settle_rows(draft, at, far, spots)
            _note_spots(draft, at, spots)


def _note_spots(draft: Draft, at: At, spots: dict[Key, Point]) -> None:
    """Write down where on the page each wire end of a symbol is now: a little outside, where its wire may turn."""
    for row in draft.rows:
        keys = [key for _, some in row.groups for key in some]
        for key, (place, side) in zip(keys, row.places, strict=False):
            dx, dy = OUTWARDS[side_on_page(side, at)]
            spots[key] = to_page(place, at).moved(dx * _OUT_MM, dy * _OUT_MM)


def _settle_rows(draft: Draft, at: At, far: Mapping[Key, Key | None], spots: Mapping[Key, Point]) -> None:
    if draft.kind == "ground":
        _stack_unlisted(draft, at, far, spots)
    for number, row in enumerate(draft.rows):
        keys = [key for _, some in row.groups for key in some]
        if len(keys) < 2 and draft.kind != "splice" and not row.free:
            continue
        local: dict[Key, Point] = {}
        for key, (place, _) in zip(keys, row.places, strict=True):
            other = far.get(key)
            local[key] = from_page(spots[other], at) if other is not None and other in spots else place
        if draft.kind == "splice":
            draft.rows[number] = _legs_towards(keys, local)
        elif draft.kind == "ground" and row.free:
            _share_ring(row, local)
        else:
            _sort_row(row, local)


def _sort_row(row: Row, local: Mapping[Key, Point]) -> None:
    """Sort the points of a comb, and the wires of each point, by where they go along the side they leave on."""
    across = row.places[0][1] in _LEFT_RIGHT

    def along(key: Key) -> float:
        return local[key].y_mm if across else local[key].x_mm

    for _, keys in row.groups:
        keys.sort(key=along)
    if row.free:
        row.groups.sort(key=lambda group: sum(along(k) for k in group[1]) / len(group[1]))


def _stack_unlisted(draft: Draft, at: At, far: Mapping[Key, Key | None], spots: Mapping[Key, Point]) -> None:
    """Put rings that nobody has ordered into an order that crosses least: what comes from farther away, lower."""
    rows = [row for row in draft.rows if row.unlisted]

    def away(key: Key) -> float:
        other = far.get(key)
        return abs(from_page(spots[other], at).x_mm) if other is not None and other in spots else 0.0

    keys = sorted((row.groups[0][1][0] for row in rows), key=away, reverse=True)
    boxes = [draft.outlines.pop(f"{draft.id}/{row.groups[0][1][0][0]}") for row in rows]
    for row, key, box in zip(rows, keys, boxes, strict=True):
        row.groups = [(key[1], [key])]
        draft.outlines[f"{draft.id}/{key[0]}"] = box


def _share_ring(row: Row, local: Mapping[Key, Point]) -> None:
    """Give the wires that come from further left the left end of a ring, the others the right end."""
    keys = sorted((k for _, some in row.groups for k in some), key=lambda k: local[k].x_mm)
    left = [i for i, (_, side) in enumerate(row.places) if side == "left"]
    right = [i for i, (_, side) in enumerate(row.places) if side == "right"]
    if len(keys) == 1:
        # One wire may take either end; it has been handed the left one.
        place, _ = row.places[0]
        side: Side = "left" if local[keys[0]].x_mm <= 0 else "right"
        row.places[0] = (Point(abs(place.x_mm) * (-1 if side == "left" else 1), place.y_mm), side)
    taken: dict[int, Key] = dict(zip(left, keys[: len(left)], strict=True))
    taken.update(zip(right, reversed(keys[len(left) :]), strict=True))
    row.groups = [(taken[i][1], [taken[i]]) for i in sorted(taken)]


def _legs_towards(keys: Sequence[Key], local: Mapping[Key, Point]) -> Row:
    """Let each leg of a splice leave to the left or right by where it goes; one that goes steeply, up or down.

    Only one leg leaves upwards and one downwards: there is room for wires between columns, not between symbols.
    """
    sides: dict[Key, Side] = {k: "left" if local[k].x_mm <= 0 else "right" for k in keys}
    steep = sorted(
        (k for k in keys if abs(local[k].x_mm) * _STEEP < abs(local[k].y_mm)),
        key=lambda k: -abs(local[k].y_mm),
    )
    for upwards, side in ((True, "top"), (False, "bottom")):
        some = [k for k in steep if (local[k].y_mm < 0) == upwards]
        if some and len(keys) <= _FOUR:
            sides[some[0]] = "top" if side == "top" else "bottom"
    in_order = sorted(keys, key=lambda k: local[k].y_mm)
    return legs(in_order, [sides[k] for k in in_order])
