"""How long a body's bar is on a page, and where along it each thing is fixed."""

from __future__ import annotations

from bisect import bisect_left, insort
from collections.abc import Mapping

from harness_studio.base.geometry import Box, Point
from harness_studio.model.entities import Page
from harness_studio.model.harness import Harness

from .drafts import Draft
from .links import owner
from .placed import from_page
from .return_drafts import BAR_END_MM, BAR_MM, RING_MM, Spot, lay_bar, least_bar_mm
from .symbols import Key, Side

_BETWEEN_MM = 14.0
"""Two bars in one line keep this apart."""
_PITCH_MM = 4.0
_STACK_MM = RING_MM / 2 + 4.0
"""What is fixed to a bar keeps this far from the stud of a ground that stands on it."""


def settle_bar(
    harness: Harness,
    page: Page,
    drafts: Mapping[str, Draft],
    boxes: Mapping[str, Box],
    body_id: str,
    far: Mapping[Key, Key | None],
    spots: Mapping[Key, Point],
) -> None:
    """Give a body's bar its length, and each thing that is fixed to it the place nearest below it.

    The bar reaches below everything that is fixed to it, as far as nothing else stands in its way.
    """
    draft, at, body = drafts[body_id], page.items[body_id], harness.bodies[body_id]
    keys = [key for row in draft.rows for _, some in row.groups for key in some]
    wanted: dict[Key, float] = {}
    level: dict[Key, float] = {}
    for key in keys:
        other = far.get(key)
        if other is not None and other in spots:
            ground = page.items.get(key[0]) if key[0] in harness.grounds else None
            # A ground is placed by its foot.
            place = from_page(Point(ground.x_mm, ground.y_mm) if ground else spots[other], at)
            wanted[key], level[key] = place.x_mm, place.y_mm
        else:
            wanted[key], level[key] = 0.0, 0.0
    low, high = _room(harness, page, drafts, boxes, body_id)
    bars = {k: s for k in keys if (s := _strap_side(harness, page, drafts, body_id, far.get(k)))}
    below = {k: x for k, x in wanted.items() if k not in bars}
    half = least_bar_mm(body) / 2
    left = max(low, min([-half, *(x - _end_room(k, harness.grounds) for k, x in below.items())]))
    right = min(high, max([half, *(x + _end_room(k, harness.grounds) for k, x in below.items())]))
    if right - left < 2 * BAR_END_MM:
        left, right = -half, half
    studs = [k for k in below if k[0] in harness.grounds and _stands(level[k])]
    spots_on_bar = _places(below, level, studs, left + BAR_END_MM, right - BAR_END_MM)
    laid: list[Spot] = [(k, Point(x, -BAR_MM / 2), "top") for k, x in spots_on_bar.items()]
    for key, side in bars.items():
        number = sum(s == side for _, _, s in laid)
        y = 0.0 if number == 0 else (number + 1) // 2 * 2.0 * (-1) ** number
        laid.append((key, Point(left if side == "left" else right, y), side))
    lay_bar(draft, body, left, right, [s for k in keys for s in laid if s[0] == k])


def _stands(level_mm: float) -> bool:
    """Tell whether a ground's foot at that level (0 is the bar's middle) touches the bar's upper edge."""
    return abs(level_mm + BAR_MM / 2) < 1.0


def _end_room(key: Key, grounds: Mapping[str, object]) -> float:
    """Return how far a bar reaches beyond what is fixed to it: a stack needs more than a wire."""
    return RING_MM if key[0] in grounds else BAR_END_MM


def _carried(harness: Harness, page: Page, body_id: str) -> tuple[float, float]:
    """Return from where to where on the page a bar must reach: below the grounds that stand on it, or its middle."""
    at = page.items[body_id]
    standing = [
        page.items[g.id].x_mm
        for g in harness.grounds.values()
        if g.id in page.items and g.place and owner(g.place) == body_id
        if _stands(page.items[g.id].y_mm - at.y_mm)
    ]
    least = least_bar_mm(harness.bodies[body_id]) / 2
    if not standing:
        return at.x_mm - least, at.x_mm + least
    return min(standing) - RING_MM, max(standing) + RING_MM


def _border(own: tuple[float, float], other: tuple[float, float]) -> float:
    """Return where two bars in one line would meet: in the middle of the gap between what they must carry."""
    return (own[1] + other[0]) / 2 if sum(own) < sum(other) else (other[1] + own[0]) / 2


def _room(
    harness: Harness, page: Page, drafts: Mapping[str, Draft], boxes: Mapping[str, Box], body_id: str
) -> tuple[float, float]:
    """Return how far a bar may reach to the left and right, from its middle, before it meets something."""
    at = page.items[body_id]
    low, high = -1e6, 1e6
    for key, there in page.items.items():
        is_bar = key != body_id and key in drafts and drafts[key].kind == "body"
        if is_bar and abs(there.y_mm - at.y_mm) < 2.5 * BAR_MM:
            limit = _border(_carried(harness, page, body_id), _carried(harness, page, key)) - at.x_mm
            if there.x_mm > at.x_mm:
                high = min(high, limit - _BETWEEN_MM / 2)
            else:
                low = max(low, limit + _BETWEEN_MM / 2)
    for box in boxes.values():
        if box.top_mm < at.y_mm + BAR_MM and box.bottom_mm > at.y_mm - BAR_MM / 2 + 0.5:
            left = box.left_mm - at.x_mm
            low, high = _cut(low, high, left + box.width_mm + 6.0, left - 6.0)
    return low, high


def _cut(low: float, high: float, from_left: float, from_right: float) -> tuple[float, float]:
    """Shorten the range by something that lies left of the middle (up to `from_left`) or right (`from_right` on)."""
    if from_left < 0:
        low = max(low, from_left)
    elif from_right > 0:
        high = min(high, from_right)
    return low, high


def _strap_side(
    harness: Harness, page: Page, drafts: Mapping[str, Draft], body_id: str, other: Key | None
) -> Side | None:
    """Return at which end of the bar a strap to another bar in the same line leaves, or None for anything else."""
    if other is None:
        return None
    body = owner(other[1])
    if body not in harness.bodies or body not in drafts or body == body_id:
        return None
    here, there = page.items[body_id], page.items[body]
    if abs(here.y_mm - there.y_mm) > BAR_MM / 2:
        return None
    between = [
        k
        for k, d in drafts.items()
        if d.kind == "body" and k not in (body, body_id) and abs(page.items[k].y_mm - here.y_mm) < BAR_MM
        if min(here.x_mm, there.x_mm) < page.items[k].x_mm < max(here.x_mm, there.x_mm)
    ]
    if between:
        return None
    return "right" if there.x_mm > here.x_mm else "left"


def _places(
    wanted: Mapping[Key, float], level: Mapping[Key, float], studs: list[Key], left: float, right: float
) -> dict[Key, float]:
    """Return a place for each end: a stud's exactly below its ground, others as near as they can be, apart.

    What comes from nearest above the bar chooses first, so that it can come straight down.
    """
    found = {k: wanted[k] for k in studs}
    chosen: dict[Key, float] = {}
    taken: list[float] = []
    standing = sorted(found.values())
    for key in sorted((k for k in wanted if k not in found), key=lambda k: -level[k]):
        chosen[key] = _nearest_free(min(max(wanted[key], left), right), taken, standing, (left, right))
        insort(taken, chosen[key])
    in_order = sorted(chosen, key=lambda k: (wanted[k], chosen[k]))
    found.update(zip(in_order, sorted(chosen.values()), strict=True))
    return found


def _nearest_free(x: float, taken: list[float], studs: list[float], within: tuple[float, float]) -> float:
    """Return the place nearest to x that keeps its distance from others and from stacks; x if there is none."""
    offers = [x]
    offers += [t + d for t in taken for d in (-_PITCH_MM, _PITCH_MM)]
    offers += [s + d for s in studs for d in (-_STACK_MM, _STACK_MM)]
    for place in sorted(offers, key=lambda o: (abs(o - x), o)):
        if (
            within[0] - 0.1 <= place <= within[1] + 0.1
            and _nearest(taken, place) > _PITCH_MM - 0.01
            and _nearest(studs, place) > _STACK_MM - 0.01
        ):
            return place
    return x


def _nearest(marks: list[float], x: float) -> float:
    """Return the distance from x to the nearest of some sorted marks."""
    i = bisect_left(marks, x)
    return min((abs(marks[j] - x) for j in (i - 1, i) if 0 <= j < len(marks)), default=1e9)
