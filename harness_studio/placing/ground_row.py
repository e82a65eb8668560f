"""Grounds and bodies of an arrangement: in a row below everything else, each near where its wires come from."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from harness_studio.model.harness import Harness
from harness_studio.model.values import At

from .columns import PITCH_MM
from .drafts import OUTWARDS
from .links import owner
from .outlines import Ends
from .placed import side_on_page, to_page
from .return_drafts import BAR_MM, least_bar_mm
from .spacing import most_beside
from .symbols import Symbol

_ABOVE_MM = 14.0
"""From the lowest symbol to the first level track, and from the last one to the stacks."""
_SHARE = 0.6
"""Of the wires that could run level beside each other, about so many do."""
_BETWEEN_BODIES_MM = 16.0
_BESIDE_STACK_MM = 6.0
_CHANNEL_MM = 30.0
"""What comes down within this width comes down in one channel."""
_RIGHT_OF_MM = 20.0
_OUT_MM = 14.0
"""From a place where a wire leaves to the middle of the channel in which it goes down."""


@dataclass(slots=True)
class _Stand:
    """One ground in the row, or a body that no ground stands on: where it would like to be, and its half width."""

    id: str
    body: str | None
    wish_mm: float
    half_mm: float
    weight: int


def ground_row(
    harness: Harness, ends: Ends, symbols: Mapping[str, Symbol], items: Mapping[str, At]
) -> dict[str, At]:
    """Return places for all grounds and bodies, given the places of everything else.

    Grounds of one body stand next to each other on its bar; bodies and grounds come in the order of the middle of what
    ends at them. There is room for a level track for each wire above the stacks, and for its fall beside them.
    """
    wishes = _wishes(ends, symbols, items)
    stands = _stands(harness, symbols, wishes)
    if not stands:
        return {}
    bodies = _in_order(stands)
    row = [stand for some in bodies for stand in some]
    middles = _pooled(row)
    bottom = max((at.y_mm + symbols[s].clear.bottom_mm for s, at in items.items()), default=0.0)
    tall = max((-symbols[s.id].clear.top_mm for s in row if s.id in harness.grounds), default=0.0)
    tracks = _level_tracks(ends, symbols, items, dict(zip((s.id for s in row), middles, strict=True)))
    foot = bottom + _ABOVE_MM + _SHARE * tracks * PITCH_MM + tall + _ABOVE_MM / 2
    found: dict[str, At] = {}
    for stand, x in zip(row, middles, strict=True):
        if stand.id in harness.grounds:
            found[stand.id] = At(x, foot)
    for some in bodies:
        if some[0].body is not None:
            own = [x for stand, x in zip(row, middles, strict=True) if stand.body == some[0].body]
            found[some[0].body] = At((own[0] + own[-1]) / 2, foot + BAR_MM / 2)
    return found


def _wishes(ends: Ends, symbols: Mapping[str, Symbol], items: Mapping[str, At]) -> dict[str, list[float]]:
    """Return for each ground and body where what ends at it comes from."""
    found: dict[str, list[float]] = {}
    for key, far in ends.far.items():
        here, there = ends.symbol_of(key), ends.symbol_of(far)
        if here is None or here in items or far is None or there not in items or there is None:
            continue
        anchor, at = symbols[there].wire_anchors[far], items[there]
        dx, _ = OUTWARDS[side_on_page(anchor.side, at)]
        found.setdefault(here, []).append(to_page(anchor.at, at).x_mm + dx * _OUT_MM)
    return found


def _stands(
    harness: Harness, symbols: Mapping[str, Symbol], wishes: Mapping[str, list[float]]
) -> list[_Stand]:
    found: list[_Stand] = []
    centre = _mean([x for some in wishes.values() for x in some])
    for ground in harness.grounds.values():
        if ground.id not in symbols:
            continue
        own = wishes.get(ground.id, [])
        wires = len(symbols[ground.id].wire_anchors)
        half = symbols[ground.id].box.width_mm / 2 + _BESIDE_STACK_MM + math.ceil(wires / 2) * PITCH_MM
        half = max(half, symbols[ground.id].clear.width_mm / 2 + 2.0)
        body = owner(ground.place) if ground.place else None
        found.append(_Stand(ground.id, body, _beside(own, centre), half, len(own)))
    carried: dict[str, list[_Stand]] = {}
    for stand in found:
        carried.setdefault(stand.body or "", []).append(stand)
    for body_id, entity in harness.bodies.items():
        if body_id not in symbols:
            continue
        least = least_bar_mm(entity) / 2
        some = carried.get(body_id, [])
        if not some:
            own = wishes.get(body_id, [])
            found.append(_Stand(body_id, body_id, _mean(own, centre), least + 2.0, len(own)))
        elif sum(s.half_mm for s in some) < least:
            some[0].half_mm += least - sum(s.half_mm for s in some)
    return found


def _beside(falls: Sequence[float], default: float) -> float:
    """Return where a ground would best stand: between what comes down to it, or at the right of one channel."""
    if falls and max(falls) - min(falls) < _CHANNEL_MM:
        return max(falls) + _RIGHT_OF_MM
    return _mean(falls, default)


def _mean(values: Sequence[float], default: float = 0.0) -> float:
    return sum(values) / len(values) if values else default


def _in_order(stands: Sequence[_Stand]) -> list[list[_Stand]]:
    """Return the stands of each body from the left, the bodies from the left; grounds without a body last."""
    by_body: dict[str | None, list[_Stand]] = {}
    for stand in stands:
        by_body.setdefault(stand.body, []).append(stand)
    for some in by_body.values():
        some.sort(key=lambda s: s.wish_mm)
    return sorted(
        by_body.values(),
        key=lambda some: (some[0].body is None, _mean([s.wish_mm for s in some])),
        reverse=False,
    )


def _pooled(row: Sequence[_Stand]) -> list[float]:
    """Return the x of each stand: as near to its wish as the least distances allow, in the least-squares sense."""
    offset = 0.0
    offsets: list[float] = []
    pools: list[tuple[float, float, int]] = []  # sum of weight × wish, weight, how many
    for number, stand in enumerate(row):
        if number:
            gap = 0.0 if row[number - 1].body == stand.body else _BETWEEN_BODIES_MM
            offset += row[number - 1].half_mm + gap + stand.half_mm
        offsets.append(offset)
        weight = max(1, stand.weight)
        pools.append((weight * (stand.wish_mm - offset), weight, 1))
        while len(pools) > 1 and pools[-2][0] / pools[-2][1] > pools[-1][0] / pools[-1][1]:
            later, before = pools.pop(), pools.pop()
            pools.append((before[0] + later[0], before[1] + later[1], before[2] + later[2]))
    found: list[float] = []
    for total, weights, count in pools:
        for _ in range(count):
            found.append(2.0 * round((total / weights + offsets[len(found)]) / 2))
    return found


def _level_tracks(
    ends: Ends, symbols: Mapping[str, Symbol], items: Mapping[str, At], middles: Mapping[str, float]
) -> int:
    """Return how many wires run level beside each other above the row."""
    stretches: list[tuple[float, float]] = []
    for key, far in ends.far.items():
        here, there = ends.symbol_of(key), ends.symbol_of(far)
        if here not in middles or here is None or far is None or there not in items or there is None:
            continue
        x = to_page(symbols[there].wire_anchors[far].at, items[there]).x_mm
        stretches.append((min(x, middles[here]), max(x, middles[here])))
    return most_beside(stretches)
