"""What depends on positions: which tooth, leg, ring side or place on a bar each wire takes, so that few wires cross."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from harness_studio.base.geometry import Point
from harness_studio.model.entities import Page
from harness_studio.model.harness import Harness
from harness_studio.model.values import At

from .bars import settle_bar
from .drafts import Draft, Row
from .links import owner
from .placed import from_page, to_page
from .return_drafts import legs
from .symbols import Key, Side

_SWEEPS = 2
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
    for _ in range(_SWEEPS):
        for key, draft in drafts.items():
            at = page.items[key]
            if draft.kind == "body":
                settle_bar(harness, page, drafts, key, far, spots)
            else:
                _settle_rows(draft, at, far, spots)
            _note_spots(draft, at, spots)


def _note_spots(draft: Draft, at: At, spots: dict[Key, Point]) -> None:
    """Write down where on the page each wire end of a symbol is now."""
    for row in draft.rows:
        keys = [key for _, some in row.groups for key in some]
        for key, (place, _) in zip(keys, row.places, strict=False):
            spots[key] = to_page(place, at)


def _settle_rows(draft: Draft, at: At, far: Mapping[Key, Key | None], spots: Mapping[Key, Point]) -> None:
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
    """Let each leg of a splice leave towards its far end: four ways, or left and right where there are more."""
    if len(keys) <= 4:
        sides = _four_ways(keys, local)
    else:
        by_x = sorted(keys, key=lambda k: local[k].x_mm)
        sides = {k: "left" if local[k].x_mm <= 0 else "right" for k in by_x}
        if len(set(sides.values())) == 1:
            # A spine needs a leg on either side: the nearest goes to the other one.
            lone = by_x[0] if local[by_x[0]].x_mm > 0 else by_x[-1]
            sides[lone] = "left" if sides[lone] == "right" else "right"
    in_order = sorted(keys, key=lambda k: local[k].y_mm)
    return legs(in_order, [sides[k] for k in in_order])


def _four_ways(keys: Sequence[Key], local: Mapping[Key, Point]) -> dict[Key, Side]:
    """Give each of up to four wires a direction of its own, the best ones first."""
    wishes: list[tuple[float, int, Side]] = []
    for number, key in enumerate(keys):
        x, y = local[key].x_mm, local[key].y_mm
        length = max(abs(x) + abs(y), 1e-6)
        # Sideways is preferred: columns stand side by side, with room for wires between them.
        towards: tuple[tuple[Side, float], ...] = (
            ("left", -x / length + 0.25), ("right", x / length + 0.25), ("top", -y / length), ("bottom", y / length),
        )  # fmt: skip
        wishes += [(-round(value, 6), number, side) for side, value in towards]
    found: dict[Key, Side] = {}
    for _, number, side in sorted(wishes):
        if keys[number] not in found and side not in found.values():
            found[keys[number]] = side
    return found


def symbol_at(point: str, home: Mapping[str, str]) -> str | None:
    """Return the symbol that draws the thing a point belongs to."""
    return home.get(owner(point))
