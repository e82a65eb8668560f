"""The bundle of a KBL file: nodes become breakouts, segments become runs, routings say which runs a connection takes.

The length of a segment is its Physical_length where it has one, else its Virtual_length: what was made before what was
drawn. A run's covering names the protections along it, outermost last.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TypeVar

from harness_studio.model.entities import Breakout, Run
from harness_studio.model.values import Spot

from .kbl_connectors import ConnectorRead, Connectors
from .kbl_context import Context, Key, part_number
from .kbl_index import Names, described, named, said
from .xml_tree import Element

_LONGEST_NAME = 24
_WHOLE = 0.8
"""A covering over this share of a run is not called partial: ends are left bare for the connectors."""
T = TypeVar("T")
_AT_NODES = (
    "Connector_occurrence", "Special_terminal_occurrence", "Component_box_connectors", "Accessory_occurrence",
    "Assembly_part_occurrence", "Fixing_occurrence", "Wire_protection_occurrence",
)  # fmt: skip


@dataclass(slots=True)
class Bundle:
    """Breakouts and runs, ready for the model, and what leads to them."""

    breakouts: dict[str, Breakout] = field(default_factory=dict)
    runs: dict[str, Run] = field(default_factory=dict)
    at: dict[ConnectorRead, Spot] = field(default_factory=dict)
    routes: dict[Element, tuple[str, ...]] = field(default_factory=dict)
    """Connection → runs, in the order of the file."""
    by_node: dict[Element, str] = field(default_factory=dict)
    by_segment: dict[Element, str] = field(default_factory=dict)


def read_bundle(context: Context, connectors: Connectors) -> Bundle:
    """Return breakouts and runs, where connectors sit, and the runs of each connection."""
    bundle = Bundle()
    names = Names(context.report)
    for node in context.root.all("Node"):
        _read_node(context, connectors, bundle, names, node)
    names = Names(context.report)
    for segment in context.root.all("Segment"):
        _read_segment(context, bundle, names, segment)
    for routing in context.root.all("Routing"):
        _read_routing(context, bundle, routing)
    return bundle


def _short(original: str | None, number: int, letter: str) -> str | None:
    """Return the file's name of a node or segment, or a numbered one where that is too long to work with."""
    if original is None or len(original) <= _LONGEST_NAME:
        return original
    return f"{letter}{number}"


def _read_node(context: Context, connectors: Connectors, bundle: Bundle, names: Names, node: Element) -> None:
    original = said(node, "Id")
    short = _short(original, len(bundle.breakouts) + 1, "bk")
    new_id, known_as = names.claim(short, node, "node", prefix="bk")
    known_as = original if short != original else known_as
    bundle.breakouts[new_id] = Breakout(new_id, known_as=known_as)
    bundle.by_node[node] = new_id
    spot = Spot(breakout=new_id)
    for element in context.index.refs(node, "Referenced_components", *_AT_NODES):
        for connector in _all_of(connectors.elements, element):
            bundle.at.setdefault(connector, spot)
    for element in context.index.refs(node, "Referenced_cavities", "Cavities"):
        for connector, _ in _all_of(connectors.cavities, element):
            bundle.at.setdefault(connector, spot)


def _all_of(table: dict[Key, T], element: Element) -> list[T]:
    return (
        [table[None, element]]
        if (None, element) in table
        else [v for (_, e), v in table.items() if e is element]
    )


def _read_segment(context: Context, bundle: Bundle, names: Names, segment: Element) -> None:
    original = said(segment, "Id")
    short = _short(original, len(bundle.runs) + 1, "R")
    new_id, known_as = names.claim(short, segment, "segment", prefix="R")
    known_as = original if short != original else known_as
    ends = (
        _end(context, bundle, segment, "Start_node", new_id),
        _end(context, bundle, segment, "End_node", new_id),
    )
    physical = context.units.length_mm(segment.first("Physical_length"))
    virtual = context.units.length_mm(segment.first("Virtual_length"))
    length = next((q.value for q in (physical, virtual) if q and q.value is not None), None)
    bundle.runs[new_id] = Run(
        new_id, ends, length_mm=length, covering=_covering(context, segment), known_as=known_as
    )
    bundle.by_segment[segment] = new_id


def _end(context: Context, bundle: Bundle, segment: Element, name: str, run_id: str) -> str:
    """Return the breakout at one end of a segment; one is made where the file's is missing."""
    node = context.index.ref(segment, name, "Node")
    if node is not None and node in bundle.by_node:
        return bundle.by_node[node]
    context.report.warn(segment, f"{named(segment)} has no {name}; a breakout is put there")
    number = 1
    while (made := f"{run_id}_end{number}") in bundle.breakouts:
        number += 1
    bundle.breakouts[made] = Breakout(made, title="end not in the file")
    return made


def _covering(context: Context, segment: Element) -> str | None:
    """Return the coverings of a segment in words; those that leave a good part of it bare are called partial."""
    shares: dict[str, float] = {}
    for area in segment.all("Protection_area"):
        protection = context.index.ref(area, "Associated_protection", "Wire_protection_occurrence")
        if protection is None or not context.selection.has(protection):
            continue
        part = context.part_of(protection, "Wire_protection")
        words = _covering_words(protection, part)
        shares[words] = shares.get(words, 0.0) + _share(area)
    return ", ".join(w if share >= _WHOLE else f"{w} (partial)" for w, share in shares.items()) or None


def _covering_words(protection: Element, part: Element | None) -> str:
    kind = said(part, "Protection_type")
    words = described(part) or described(protection) or part_number(part)
    if kind and words and kind.lower() not in words.lower():
        return f"{kind.lower()}: {words}"
    return words or (kind.lower() if kind else "covering")


def _share(area: Element) -> float:
    """Return the share of its segment that a protection covers; all of it where the file gives no numbers."""
    try:
        start, end = (float(said(area, name) or "") for name in ("Start_location", "End_location"))
    except ValueError:
        return 1.0
    return abs(end - start) if abs(end - start) <= 1.0 else 1.0


def _read_routing(context: Context, bundle: Bundle, routing: Element) -> None:
    connection = context.index.ref(routing, "Routed_wire", "Connection")
    segments = context.index.refs(routing, "Segments", "Segment")
    if connection is None:
        return
    if connection in bundle.routes:
        context.report.warn(routing, f"{named(connection)} is routed twice; the first routing is taken")
        return
    runs = dict.fromkeys(bundle.by_segment[s] for s in segments if s in bundle.by_segment)
    bundle.routes[connection] = tuple(runs)


def in_order(
    runs: tuple[str, ...], table: dict[str, Run], start: str | None, end: str | None
) -> tuple[str, ...] | None:
    """Return runs as a wire takes them, from breakout `start` to `end`, or None if they form no such way.

    The order of the file is kept where it is a way already; a set of runs without order is put in order.
    """
    if not runs:
        return ()
    anywhere = dict.fromkeys(e for run in runs for e in table[run].ends)
    for first in (start,) if start else () if end else tuple(anywhere):
        way = _walk(list(runs), table, first)
        if way is not None and (end is None or way[1] == end):
            return way[0]
    if start is None and end is not None:
        way = _walk(list(runs), table, end)
        return None if way is None else tuple(reversed(way[0]))
    return None


def _walk(left: list[str], table: dict[str, Run], at: str) -> tuple[tuple[str, ...], str] | None:
    """Return (all runs in the order of a way from `at`, where it ends), or None."""
    done: list[str] = []
    while left:
        following = next((r for r in left if at in table[r].ends), None)
        if following is None:
            return None
        left.remove(following)
        done.append(following)
        a, b = table[following].ends
        at = b if at == a else a
    return tuple(done), at
