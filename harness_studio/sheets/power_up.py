"""Ring-out sheet and first power-up."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping
from functools import cache
from typing import TYPE_CHECKING, Any

import yaml

from harness_studio.base import resources
from harness_studio.drawing import looks
from harness_studio.drawing.fonts import STRONG
from harness_studio.model.entities import Wire
from harness_studio.model.values import End
from harness_studio.placing.faces import natural

from .cover import put_cautions
from .flow import Flow
from .fuse_card import feeds
from .job import Job
from .leaf import Leaf
from .lettering import plain
from .numbers import NONE, amperes
from .sharing import Sharer, sharers, shares_at
from .table import Band, Cell, Column, Row
from .wire_list import end_words, in_order

if TYPE_CHECKING:
    from harness_studio.electrics.shares import Shares

RING_OUT, POWER_UP = "Ring-out", "First power-up"
_MOST_NEIGHBOURS = 6


def ring_out(job: Job) -> list[Leaf]:
    """Return a line for each wire: it rings to its end, not to ground, not to its neighbours."""
    if not job.harness.wires:
        return []
    flow = Flow(job, RING_OUT)
    flow.title(RING_OUT)
    flow.paragraph(
        "Battery off, fuses out, loads and control units unplugged. Airbag circuits are not rung out."
    )
    flow.paragraph("Tick: rings to its end · does not ring to ground · does not ring to its neighbours.")
    flow.gap(1.0)
    columns = [
        Column("Wire", grows=0), Column("Colour"), Column("From", grows=2), Column("To", grows=2),
        Column("Neighbours"), Column("End, ground, neighbours", grows=0),
        Column("Date, initials", room_mm=20.0, grows=0),
    ]  # fmt: skip
    groups: dict[str, list[Wire]] = defaultdict(list)
    for wire in in_order(job):
        at = wire.ends[0].point or wire.ends[1].point or ""
        groups[at.partition(".")[0] if "." in at else at].append(wire)
    rows: list[Row | Band] = []
    for place in sorted(groups, key=natural):
        rows.append(Band(plain(job.harness.title_of(place)) if place else "Both ends open"))
        rows += [_ring(job, w) for w in groups[place]]
    flow.table(columns, rows)
    return flow.leaves


def _ring(job: Job, wire: Wire) -> Row:
    ends = {e.point for e in wire.ends if e.point}
    rung = {r.point for r in wire.rings_to}
    ticks = Cell(ticks=(bool(ends) and ends <= rung, False, False))
    grounded = any(e.point in job.harness.grounds or _on_body(job, e) for e in wire.ends)
    beside = _neighbours(job, wire)
    if grounded:
        beside = "goes to ground: ring it before it is bolted on" + (f"; {beside}" if beside else "")
    return [
        Cell(wire.id, STRONG), Cell(wire.colour or "", codes=looks.codes(wire)), end_words(job, wire.ends[0]),
        end_words(job, wire.ends[1]), beside, ticks, "",
    ]  # fmt: skip


def _on_body(job: Job, end: End) -> bool:
    return end.point is not None and end.point.partition(".")[0] in job.harness.bodies


def _neighbours(job: Job, wire: Wire) -> str:
    """Return the cavities beside a wire's own in the rows of its connectors' faces."""
    found: list[str] = []
    for end in wire.ends:
        half_id, _, name = (end.point or "").partition(".")
        half = job.harness.halves.get(half_id)
        rows = half.face.rows if half and half.face else ()
        for y, row in enumerate(rows):
            if name in row:
                x = row.index(name)
                near = [(x - 1, y), (x + 1, y), (x, y - 1), (x, y + 1)]
                there = [rows[b][a] for a, b in near if 0 <= b < len(rows) and 0 <= a < len(rows[b])]
                found += [f"{half_id}.{n}" for n in there if n is not None]
    return ", ".join(found[: 2 * _MOST_NEIGHBOURS])


@cache
def _steps() -> dict[str, Any]:
    return dict(yaml.safe_load(resources.text("sheets", "power_up.yaml")))


def power_up(job: Job) -> list[Leaf]:
    """Return the steps of the first power-up, with a line for each fuse: what feeds others first, then the smallest."""
    if not job.harness.wires:
        return []
    flow = Flow(job, POWER_UP)
    flow.title(POWER_UP)
    put_cautions(flow, "power_up")
    for part, heading in (("before", "Before"), ("feed", "Feed"), ("fuses", "Fuses in, one by one")):
        flow.heading(heading)
        for text in _steps()[part]:
            flow.item(text, sign="☐")
    fuses = [p for p in job.harness.parts.values() if p.kind in ("fuse", "breaker")]
    if fuses:
        found = shares_at(job, [f.id for f in fuses])
        columns = [
            Column("Fuse", grows=0), Column("Feeds", grows=2), Column("Rating", "right", grows=0),
            *(Column(f"{plain(m.title)}, A", "right", grows=0) for m in job.modes),
            Column("Lamp dark", grows=0), Column("Current, A", room_mm=18.0, grows=0),
            Column("Date, initials", room_mm=22.0, grows=0),
        ]  # fmt: skip
        rows: list[Row | Band] = []
        before = _fuses_before(found)
        order = sorted(fuses, key=lambda p: (before[p.id], p.ratings.rated_a or 0.0, natural(p.id)))
        for fuse in order:
            rated = f"{fuse.ratings.rated_a:g} A" if fuse.ratings.rated_a else "not known"
            flows = [amperes(abs(s.joint_amperes)) if s is not None else NONE for s in found[fuse.id]]
            what = plain(feeds(job, fuse, found[fuse.id]))
            rows.append([Cell(fuse.id, STRONG), what, rated, *flows, Cell(ticks=(False,)), "", ""])
        flow.table(columns, rows)
    flow.heading("After")
    for text in _steps()["after"]:
        flow.item(text, sign="☐")
    flow.line_to_fill(("battery, V", 3), ("draw, all off, mA", 4), ("date", 2), ("by", 3))
    return flow.leaves


def _fuses_before(found: Mapping[str, tuple[Shares | None, ...]]) -> dict[str, int]:
    """Return for each fuse how many others feed it: those whose loads are all of its own and more."""
    fed = {
        fuse: {(s.part, s.element) for s in sharers(shares) if s.listed and s.rows and _feeds_only(s)}
        for fuse, shares in found.items()
    }
    return {fuse: sum(loads < others for others in fed.values()) for fuse, loads in fed.items()}


def _feeds_only(sharer: Sharer) -> bool:
    return all(row is None or row.side == "feed" for row in sharer.rows)
