"""How far from the feed each symbol is: the columns of an arrangement follow it."""

from __future__ import annotations

from collections import deque
from collections.abc import Mapping, Sequence

from harness_studio.model.harness import Harness

from .connector_drafts import cavity_map
from .drafts import Draft
from .homes import mated_groups
from .links import owner
from .outlines import Ends

_SOURCES = {"battery": ("30", "31"), "alternator": ("B+", "B+"), "dynamo": ("B+", "B+")}
"""Feed terminal of a source in a vehicle with negative and with positive ground."""
_PASSES_NOTHING = frozenset(
    {
        "lamp", "motor", "starter", "heater", "resistor", "coil", "converter", "current_load", "led", "gauge",
        "voltmeter", "sender", "ntc", "battery", "alternator", "dynamo",
    }
)  # fmt: skip
"""Loads, senders and sources: a feed goes on from one of their terminals, not through them."""
_RETURNS = frozenset({"31", "B-", "85"})


def depths(
    harness: Harness, ends: Ends, drafts: Mapping[str, Draft], near: Mapping[str, Mapping[str, int]]
) -> tuple[dict[str, int], dict[str, str | None]]:
    """Return for each symbol but grounds and bodies its distance from the feed in wires, and from where it is reached.

    First the feed is followed from the batteries and generators through connectors, splices, fuses and switches up to
    the loads; then everything else is counted on from what it is joined to; where there is no source, from the symbol
    with the most wires. The second dict gives the symbol before it on that way, or None for a start.
    """
    depth: dict[str, int] = {}
    before: dict[str, str | None] = {}
    _follow_feed(harness, ends, drafts, depth, before)
    _count_on(near, depth, before)
    for start in _starts(harness, drafts, near):
        if start not in depth:
            depth[start], before[start] = 0, None
            _count_on(near, depth, before)
    return depth, before


def neighbours(ends: Ends, drafts: Mapping[str, Draft]) -> dict[str, dict[str, int]]:
    """Return for each symbol but grounds and bodies those it is joined to, with the number of wires between them."""
    near: dict[str, dict[str, int]] = {k: {} for k, d in drafts.items() if d.kind not in ("ground", "body")}
    for line in ends.lines:
        if line.ends[0] is None or line.ends[1] is None:
            continue
        first, second = (ends.home.get(owner(p)) for p in line.ends if p)
        if first != second and first in near and second in near:
            near[first][second] = near[first].get(second, 0) + 1
            near[second][first] = near[second].get(first, 0) + 1
    return near


def _follow_feed(
    harness: Harness,
    ends: Ends,
    drafts: Mapping[str, Draft],
    depth: dict[str, int],
    before: dict[str, str | None],
) -> None:
    node_of = _nodes(harness, ends)
    at_node: dict[str, list[tuple[str, str]]] = {}
    for line in ends.lines:
        first, second = line.ends
        if line.kind == "wire" and first is not None and second is not None:
            at_node.setdefault(node_of[first], []).append((first, second))
            at_node.setdefault(node_of[second], []).append((second, first))
    positive = harness.settings.grounded == "positive"
    starts = [f"{p.id}.{_SOURCES[p.kind][positive]}" for p in harness.parts.values() if p.kind in _SOURCES]
    seen: set[str] = set()
    waiting: deque[tuple[str, str]] = deque()
    for start in starts:
        home = ends.home.get(owner(start))
        if home is not None:
            depth.setdefault(home, 0)
            before.setdefault(home, None)
            node = node_of.get(start, start)
            seen.add(node)
            waiting.append((node, home))
    while waiting:
        node, home = waiting.popleft()
        for _, far in at_node.get(node, ()):
            there = ends.home.get(owner(far))
            if there is None or drafts[there].kind in ("ground", "body") or node_of[far] in seen:
                continue
            seen.add(node_of[far])
            if there not in depth:
                depth[there], before[there] = depth[home] + (there != home), home
            waiting.append((node_of[far], there))


def _nodes(harness: Harness, ends: Ends) -> dict[str, str]:
    """Return for each point with a wire the name of what a feed spreads through from there."""
    groups = mated_groups(harness)
    found: dict[str, str] = {}
    for point in ends.at:
        thing, name = owner(point), point.rpartition("@")[2].partition(".")[2]
        home = ends.home.get(thing, thing)
        half = harness.halves.get(thing)
        if half is not None:
            first = harness.halves[groups[thing][0]]
            name = cavity_map(first, half).get(name, name)
            if home in harness.parts:
                plugged = next((harness.halves[h] for h in groups[thing] if harness.halves[h].part), half)
                known = plugged.cavities[name].terminal if name in plugged.cavities else None
                found[point] = _part_node(harness, home, plugged.part or home, known or name)
            else:
                found[point] = f"{first.id}.{name}"
        elif thing in harness.parts:
            found[point] = _part_node(harness, home, thing, name)
        else:
            found[point] = thing
    return found


def _part_node(harness: Harness, home: str, part_id: str, terminal: str) -> str:
    """Return what a feed spreads through from a terminal: a whole box or conducting part, or that terminal alone."""
    if harness.parts[part_id].kind in _PASSES_NOTHING or terminal in _RETURNS:
        return f"{part_id}.{terminal}"
    return home if home in harness.parts else part_id


def _count_on(
    near: Mapping[str, Mapping[str, int]], depth: dict[str, int], before: dict[str, str | None]
) -> None:
    """Give every symbol that can be reached the depth of the least deep one it is joined to, and one more."""
    levels: dict[int, list[str]] = {}
    for symbol, level in depth.items():
        levels.setdefault(level, []).append(symbol)
    level = 0
    while levels:
        for symbol in levels.pop(level, ()):
            for other in near.get(symbol, ()):
                if other not in depth:
                    depth[other], before[other] = level + 1, symbol
                    levels.setdefault(level + 1, []).append(other)
        level += 1


def _starts(
    harness: Harness, drafts: Mapping[str, Draft], near: Mapping[str, Mapping[str, int]]
) -> Sequence[str]:
    """Return all symbols in the order in which they may start a part of the harness that has no source.

    Boxes and what the wires part from come first; a splice is never a good start.
    """
    place = {symbol: i for i, symbol in enumerate(near)}

    def rank(symbol: str) -> tuple[bool, bool, int, int]:
        draft = drafts[symbol]
        return draft.kind == "splice", draft.kind != "box", -sum(near[symbol].values()), place[symbol]

    return sorted(near, key=rank)
