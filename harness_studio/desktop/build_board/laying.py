"""What of the build board is drawn at a scale: strokes in millimetres of a paper, and the flags round it."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

from harness_studio.base.geometry import Box, Point
from harness_studio.placing.build_board.flags import Key, Put, place
from harness_studio.placing.build_board.plan import Plan, plan
from harness_studio.placing.build_board.tags import Tag, tags

if TYPE_CHECKING:
    from harness_studio.model.harness import Harness

ROOM_MM = 160.0
"""Room round the bundle for flags, in mm as they are seen."""
_RANKS = {"breakout": 0, "run": 1}


@dataclass(frozen=True, slots=True)
class Bundle:
    """The bundle of a harness as it lies: one layout for paper and window."""

    plan: Plan
    tags: Mapping[Key, Tag]


@dataclass(frozen=True, slots=True)
class Flagged:
    """Flags at a scale. `missed` counts those that find no place before one looks nearer."""

    scale: float
    puts: Mapping[Key, Put] = field(default_factory=dict)
    missed: int = 0


def bundle_of(harness: Harness) -> Bundle | None:
    """Lay the bundle out; None where no run is recorded."""
    made = plan(harness)
    return Bundle(made, {tag.key: tag for tag in tags(harness, made)}) if made.stretches else None


def at_scale(p: Point, scale: float) -> Point:
    """Return a place of the bundle in mm of the drawing at 1:`scale`."""
    return Point(p.x_mm / scale, p.y_mm / scale)


def flagged(bundle: Bundle, scale: float, seen: Box | None) -> Flagged:
    """Place the flags at 1:`scale`: within what is seen (mm of the drawing), or round the whole bundle for None.

    Breakouts and lengths of runs come first: they are what is looked for from afar.
    """
    from harness_studio.sheets import build_board_art as art

    made = bundle.plan
    flags = [
        replace(art.flag_of(tag, [at_scale(p, scale) for p in tag.at]), rank=_RANKS.get(tag.kind, 2))
        for tag in bundle.tags.values()
    ]
    bars = [
        (
            (at_scale(s.start, scale), at_scale(s.end, scale)),
            (art.RUN_MM if s.kind == "run" else art.TAIL_MM) / 2 + 0.15,
        )
        for s in made.stretches
    ]
    discs = [(at_scale(p, scale), art.BREAKOUT_MM + 0.2) for p in made.nodes.values()]
    discs += [(at_scale(p, scale), art.SPLICE_MM + 0.2) for p in made.splices.values()]
    if seen is None:
        whole = made.extent
        corner = at_scale(Point(whole.left_mm, whole.top_mm), scale)
        seen = Box(corner.x_mm, corner.y_mm, whole.width_mm / scale, whole.height_mm / scale).grown(ROOM_MM)
    puts, lost = place(flags, bars, discs, seen)
    return Flagged(scale, puts, len(lost))


def wires_in(harness: Harness, run: str) -> set[str]:
    """Return the wires that lie in a run."""
    return {wire.id for wire in harness.wires.values() if run in wire.runs}


def marked(bundle: Bundle, harness: Harness, selected: Collection[str], pressed: str = "") -> frozenset[Key]:
    """Return what to mark: the things that are selected, and the runs that selected wires lie in.

    Parameters
    ----------
    pressed
        The run that was pressed: while all its wires are what is selected it alone is marked, not where they go on.
    """
    if pressed and set(selected) == wires_in(harness, pressed):
        runs = {pressed}
    else:
        wires = (harness.wires[key] for key in selected if key in harness.wires)
        runs = {run for wire in wires for run in wire.runs} | {key for key in selected if key in harness.runs}
    return frozenset(
        key
        for key, tag in bundle.tags.items()
        if (key[1] in runs if key[0] == "run" else not {tag.name, *tag.name.split(" ")}.isdisjoint(selected))
    )


def words_of(tag: Tag) -> str:
    """Return in words what is known of a thing of the build board."""
    strong, words = tag.words[0]
    return f"{strong} {words}".strip()
