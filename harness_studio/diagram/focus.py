"""What comes to the front when a joint is chosen: the circuits that share it, and their labels."""

from __future__ import annotations

import math
import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from harness_studio.drawing.strokes import Text
from harness_studio.placing.links import thing_of

from .words import amperes, per_cent, volts

if TYPE_CHECKING:
    from harness_studio.electrics.shares import Share, Shares

    from .scene import Scene

LEAST_PX, MOST_PX = 1.5, 7.0
FOLDED = ("minor", "none")
SENSED, READERS = ("sender", "ntc"), ("gauge", "voltmeter", "control_unit")
"""What has no reading of its own, and what shows it: needles that move stay in front."""
LEAST_A = 0.0005
"""Less is no current: an imported harness has no loads yet."""
_SEPARATORS = re.compile(r"[./@:]")


@dataclass(frozen=True, slots=True)
class Focus:
    """What is in front.

    Parameters
    ----------
    joint, thing
        The joint's address, and the id of what it belongs to.
    wires
        Wire → width in pixels at natural size, by its amperes of the sharing circuits.
    symbols
        Ids of the symbols in front.
    ringed
        Points whose cavities get an accent ring.
    notes
        Symbol → what is written with it: share and amperes of its load.
    said
        What is written beside the joint.
    readers
        Symbols of what shows the readings of sharing senders: what they read stays written.
    """

    joint: str
    thing: str
    wires: Mapping[str, float]
    symbols: frozenset[str]
    ringed: frozenset[str]
    notes: Mapping[str, str] = field(default_factory=dict)
    said: tuple[Text, ...] = ()
    readers: frozenset[str] = frozenset()


def focus_on(scene: Scene, found: Shares) -> Focus:
    """Return what comes to the front for a joint on a page."""
    harness = scene.harness
    thing = _SEPARATORS.split(found.joint)[0]
    carried = {wire: abs(found.carriers.get(wire, 0.0)) for wire in found.sharing_wires}
    most = max(carried.values(), default=0.0)
    wires = {wire: width_px(amps, most) for wire, amps in carried.items()}
    points = {e.point for w in wires if w in harness.wires for e in harness.wires[w].ends if e.point}
    sharing = [row for row in found.rows if row.way not in FOLDED]
    things = {thing_of(point) for point in points} | {row.part for row in sharing} | {thing}
    readers = set(_readers(scene, sharing)) - {row.part for row in sharing}
    things |= readers
    ground = harness.grounds.get(thing)
    if ground is not None and ground.place:
        things.add(ground.place.partition(".")[0])
    homes = {scene.symbol_of(t) for t in things}
    return Focus(
        found.joint,
        thing,
        wires,
        frozenset(h for h in homes if h is not None),
        frozenset(p for p in points if p.partition(".")[0] in harness.halves),
        _notes(scene, sharing),
        tuple(_said(scene, thing, found)),
        frozenset(h for r in readers if (h := scene.symbol_of(r)) is not None),
    )


def _readers(scene: Scene, sharing: list[Share]) -> Iterator[str]:
    """Yield what shows the readings of sharing senders: the gauges and units of their circuits."""
    parts = scene.harness.parts
    circuits = {
        parts[r.part].circuit for r in sharing if r.part in parts and parts[r.part].kind in SENSED
    } - {None}
    for part in parts.values():
        if part.kind in READERS and part.circuit in circuits:
            yield part.id


def _said(scene: Scene, thing: str, found: Shares) -> Iterator[Text]:
    """Yield amperes and rise of a joint that stands by itself, below it (a ground: below the bar it stands on)."""
    box = scene.place_of(thing)
    if box is None or thing in scene.harness.halves or thing in scene.harness.wires:
        return
    if abs(found.joint_amperes) < LEAST_A:
        return
    said = amperes(abs(found.joint_amperes))
    if found.side == "return" and found.rise_v is not None:
        said = f"rise {volts(found.rise_v)} · {said}"
    ground = scene.harness.grounds.get(thing)
    bar = scene.place_of(ground.place.partition(".")[0]) if ground is not None and ground.place else None
    low = max(box.bottom_mm, bar.bottom_mm if bar is not None and bar.top_mm - box.bottom_mm < 4 else 0.0)
    yield Text(box.centre.x_mm, low + 5.6, said, 3.9, 600, "accent", "middle", 8.0, 0)


def width_px(amps: float, most: float) -> float:
    """Return how broad a wire is drawn: its current's area against that of the most, so that small ones still show."""
    if most <= 0.0:
        return 3.0
    return LEAST_PX + (MOST_PX - LEAST_PX) * math.sqrt(min(1.0, amps / most))


def _notes(scene: Scene, sharing: list[Share]) -> dict[str, str]:
    by_symbol: dict[str, list[Share]] = {}
    for row in sharing:
        home = scene.symbol_of(row.part)
        if home is not None:
            by_symbol.setdefault(home, []).append(row)
    return {
        home: f"{per_cent(max(abs(r.share) for r in rows))} · {amperes(sum(r.amperes for r in rows))}"
        for home, rows in by_symbol.items()
    }
