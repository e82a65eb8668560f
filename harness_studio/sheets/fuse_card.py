"""Fuse and relay card: what sits where in each box, what it feeds, and which colour to look for."""

from __future__ import annotations

from functools import cache
from typing import TYPE_CHECKING, Any

import yaml

from harness_studio.base import resources
from harness_studio.drawing.fonts import STRONG
from harness_studio.model.parts import Part
from harness_studio.placing.faces import natural

from .flow import Flow
from .job import Job
from .leaf import Leaf
from .lettering import plain
from .numbers import NONE, amperes
from .sharing import sharers, shares_at
from .table import Band, Cell, Column, Row

if TYPE_CHECKING:
    from harness_studio.electrics.shares import Shares

SHEET = "Fuse and relay card"
_FUSES = ("fuse", "breaker", "link")
_RELAYS = ("relay", "flasher")


def fuse_card(job: Job) -> list[Leaf]:
    """Return the card of all fuses and relays, box by box."""
    parts = job.harness.parts.values()
    fuses = [p for p in parts if p.kind in _FUSES]
    relays = [p for p in parts if p.kind in _RELAYS]
    if not fuses and not relays:
        return []
    flow = Flow(job, SHEET)
    flow.title(SHEET)
    flow.paragraph(
        "The rating printed on the fuse decides; a fuse is never replaced by a bigger one.", colour="muted"
    )
    if fuses:
        found = shares_at(job, [f.id for f in fuses])
        columns = [
            Column("Position", grows=0), Column("Feeds", grows=2), Column("Rating", "right", grows=0),
            Column("Fuse colour"), Column("Form"), Column("Fed from"),
            *(Column(f"{plain(m.title)}, A", "right", grows=0) for m in job.modes),
        ]  # fmt: skip
        flow.table(columns, _by_box(job, fuses, lambda p: _fuse(job, p, found[p.id])))
    if relays:
        flow.heading("Relays and flashers")
        columns = [
            Column("Position", grows=0),
            Column("Name"),
            Column("Contacts"),
            Column("Switches", grows=2),
        ]
        columns += [Column(plain(m.title)) for m in job.modes]
        flow.table(columns, _by_box(job, relays, lambda p: _relay(job, p)))
    return flow.leaves


def _by_box(job: Job, parts: list[Part], row: Any) -> list[Row | Band]:
    homes = job.harness.boxes_of_parts()
    groups: dict[str, list[Part]] = {}
    for part in parts:
        groups.setdefault(homes.get(part.id, ""), []).append(part)
    rows: list[Row | Band] = []
    for box in sorted(groups, key=lambda b: (not b, natural(b))):
        rows.append(Band(plain(job.harness.title_of(box)) if box else "Not in a box"))
        rows += [row(p) for p in sorted(groups[box], key=lambda p: natural(p.id))]
    return rows


def _fuse(job: Job, part: Part, found: tuple[Shares | None, ...]) -> Row:
    rated = part.ratings.rated_a
    style = getattr(part.ratings, "style", None)
    word, srgb = fuse_colour(style, rated)
    form = "fusible link" if part.kind == "link" else (style or "form not known").replace("_", " ")
    if part.kind == "breaker":
        form = f"breaker, {form}"
    blown = ", BLOWN" if getattr(part.ratings, "blown", False) else ""
    return [
        Cell(part.id, STRONG),
        Cell(plain(feeds(job, part, found))),
        Cell((f"{rated:g} A" if rated else "not known") + blown, STRONG),
        Cell(word, codes=(srgb,) if srgb else None),
        form,
        _source(job, part),
        *(amperes(abs(s.joint_amperes)) if s is not None else NONE for s in found),
    ]


def feeds(job: Job, part: Part, found: tuple[Shares | None, ...]) -> str:
    """Return what a fuse feeds: its title, and the circuits and loads that take current through it."""
    fed = [s for s in sharers(found) if s.listed and all(r is None or r.side == "feed" for r in s.rows)]
    names = dict.fromkeys(s.circuit or job.harness.title_of(s.part) for s in fed)
    wired = [job.harness.wires[w] for w in job.ends.get(f"{part.id}.out", ())]
    names.update(dict.fromkeys(w.circuit for w in wired if w.circuit))
    said = ", ".join(n for n in names if n and n != part.title)
    if not said and not wired and not _bused(job, part):
        said = "spare"
    return ": ".join(filter(None, (part.title or "", said)))


def _bused(job: Job, part: Part) -> bool:
    point = f"{part.id}.out"
    return any(point in bus for p in job.harness.parts.values() if p.kind == "box" for bus in p.ratings.buses)


def _source(job: Job, part: Part) -> str:
    """Return what a fuse is fed from: the wire, or the neighbours on its bus."""
    point = f"{part.id}.in"
    said = list(job.ends.get(point, ()))
    for box in job.harness.parts.values():
        for bus in box.ratings.buses if box.kind == "box" else ():
            if point in bus:
                said += [p for p in bus if p != point and not p.endswith(".in")] or ["bus"]
    return ", ".join(dict.fromkeys(said))


def _relay(job: Job, part: Part) -> Row:
    switched = [t for t in part.terminals() or () if t in ("87", "87a", "87b", "49a")]
    wires = [job.harness.wires[w] for t in switched for w in job.ends.get(f"{part.id}.{t}", ())]
    fed = dict.fromkeys(w.circuit or w.id for w in wires)
    states = [m.solution.states.get(part.id, NONE) for m in job.modes]
    kind = getattr(part.ratings, "contacts", part.about.title)
    rated = f", {part.ratings.rated_a:g} A" if getattr(part.ratings, "rated_a", None) else ""
    title = plain(part.title or "")
    return [Cell(part.id, STRONG), title, f"{kind}{rated}", plain(", ".join(fed)) or "spare", *states]


@cache
def _colours() -> dict[str, Any]:
    return dict(yaml.safe_load(resources.text("sheets", "fuse_colours.yaml")))


def fuse_colour(style: str | None, rated_a: float | None) -> tuple[str, str | None]:
    """Return (word, '#rrggbb') of the colour that ISO 8820-3 gives a fuse; no colour where it gives none."""
    data = _colours()
    word = data["styles"].get(style, {}).get(rated_a) if rated_a else None
    return (word, data["colours"][word]) if word else ("", None)
