"""Load list, and the budget of battery and alternator."""

from __future__ import annotations

from typing import Any

from harness_studio.drawing.fonts import STRONG
from harness_studio.model.parts import Part
from harness_studio.placing.faces import natural

from .flow import Flow
from .job import InMode, Job
from .leaf import Leaf
from .lettering import plain
from .numbers import NONE, amperes, watts
from .sharing import sharers, shares_at
from .table import Band, Cell, Column, Row

LOADS, BUDGET = "Load list", "Battery and alternator budget"
_STRONG = ("only", "main")


def loads_of(job: Job) -> list[Part]:
    """Return the parts that turn current into something, in the natural order of their names."""
    from harness_studio.electrics.rated import SOURCE_KINDS

    found = {p for m in job.modes for p, _ in m.solution.parts()}
    parts = [job.harness.parts[p] for p in found if p in job.harness.parts]
    return sorted((p for p in parts if p.kind not in SOURCE_KINDS), key=lambda p: natural(p.id))


def load_list(job: Job) -> list[Leaf]:
    """Return every load with its rating, fuse, ground, and what it takes in each mode."""
    loads = loads_of(job)
    if not loads:
        return []
    fed, returned = _fed_by(job), _returns_to(job)
    flow = Flow(job, LOADS)
    flow.title(LOADS)
    columns = [
        Column("Load", grows=0), Column("Name"), Column("Circuit"), Column("Rated"), Column("Fuse"), Column("Ground"),
        *(Column(f"{plain(m.title)}, A", "right", grows=0) for m in job.modes),
        *(Column(f"{plain(m.title)}, W", "right", grows=0) for m in job.modes),
    ]  # fmt: skip
    taken = [dict(m.solution.parts()) for m in job.modes]
    rows: list[Row | Band] = []
    for part in loads:
        results = [t.get(part.id) for t in taken]
        flows = [
            amperes(max(abs(a) for a in r.terminals.values())) if r and r.terminals else NONE for r in results
        ]
        powers = [watts(r.watts) if r else NONE for r in results]
        rows.append(
            [
                Cell(part.id, STRONG), plain(part.title or ""), plain(part.circuit or ""), rated_words(part),
                ", ".join(fed.get(part.id, ())), ", ".join(returned.get(part.id, ())), *flows, *powers,
            ]
        )  # fmt: skip
    flow.table(columns, rows)
    flow.paragraph(
        "A fuse or ground stands here when the load's only or main way passes it in a mode shown.",
        colour="muted",
    )
    return flow.leaves


def rated_words(part: Part) -> str:
    """Return what is read off a part: volts, amperes, watts."""
    ratings: Any = part.ratings
    said = []
    for name, unit in (("rated_v", "V"), ("rated_w", "W"), ("rated_a", "A"), ("stall_a", "A stalled")):
        value = getattr(ratings, name, None)
        if value is not None:
            said.append(f"{value:g} {unit}")
    for name, element in getattr(ratings, "elements", {}).items():
        if element.rated_w is not None:
            said.append(f"{name} {element.rated_w:g} W")
    return ", ".join(said)


def _fed_by(job: Job) -> dict[str, list[str]]:
    fuses = [p.id for p in job.harness.parts.values() if p.kind in ("fuse", "breaker", "link")]
    return _through(job, fuses, "feed")


def _returns_to(job: Job) -> dict[str, list[str]]:
    return _through(job, list(job.harness.grounds), "return")


def _through(job: Job, joints: list[str], side: str) -> dict[str, list[str]]:
    found: dict[str, list[str]] = {}
    for joint, shared in shares_at(job, joints).items():
        for sharer in sharers(shared):
            rows = [r for r in sharer.rows if r is not None and r.side == side]
            if any(r.way in _STRONG for r in rows) and joint not in found.setdefault(sharer.part, []):
                found[sharer.part].append(joint)
    return found


def budget(job: Job) -> list[Leaf]:
    """Return for each mode what loads take, what the alternator gives, and what is left for the battery."""
    parts = job.harness.parts.values()
    batteries = [p for p in parts if p.kind == "battery"]
    generators = [p for p in parts if p.kind in ("alternator", "dynamo")]
    if not job.modes or not (batteries or generators):
        return []
    flow = Flow(job, BUDGET)
    flow.title(BUDGET)
    for part in (*batteries, *generators):
        flow.facts([(plain(job.harness.title_of(part.id)), _source_words(part))])
    flow.gap(1.0)
    columns = [Column("", grows=2), *(Column(plain(m.title), "right") for m in job.modes)]
    loads = loads_of(job)
    power, current, given, margin, charge, lasts = [], [], [], [], [], []
    for mode in job.modes:
        taken = dict(mode.solution.parts())
        used = sum(taken[p.id].watts for p in loads if p.id in taken)
        made = _out_of(taken, [(g.id, "B+") for g in generators])
        into_battery = -_out_of(taken, [(b.id, "30") for b in batteries])
        power.append(watts(used))
        current.append(amperes(made - into_battery))
        given.append(amperes(made) if made > 1e-6 else NONE)
        margin.append(_margin(mode, generators, made))
        charge.append(amperes(into_battery))
        lasts.append(_lasts(batteries, into_battery))
    rows: list[Row | Band] = [
        [Cell("Loads take", STRONG), *power],
        [Cell("Current of all loads", STRONG), *current],
        [Cell("Alternator gives", STRONG), *given],
        [Cell("Left of what it can give hot at this engine state", STRONG), *margin],
        [Cell("Into the battery (− out of it)", STRONG), *charge],
        [Cell("Battery lasts, half its capacity used", STRONG), *lasts],
    ]
    flow.table(columns, rows)
    flow.paragraph(
        "Steady currents of the modes shown; inrush and duty are not in them. Half the capacity is a planning figure: "
        "a starter battery suffers from more (common practice, no source), and cold takes its part.",
        colour="muted",
    )
    return flow.leaves


def _out_of(taken: Any, points: list[tuple[str, str]]) -> float:
    """Return the current out of terminals, in amperes."""
    return -sum(taken[p].terminals.get(f"{p}.{t}", 0.0) for p, t in points if p in taken)


def _source_words(part: Part) -> str:
    ratings: Any = part.ratings
    names = (
        ("rest_v", "V at rest"), ("capacity_ah", "A·h"), ("cranking_a", "A cranking"), ("set_v", "V set"),
        ("max_a", "A at most"), ("idle_hot_a", "A hot at idle"),
    )  # fmt: skip
    said = [f"{getattr(ratings, n):g} {unit}" for n, unit in names if getattr(ratings, n, None) is not None]
    return ", ".join(said) or "no rating recorded"


def _margin(mode: InMode, generators: list[Part], made: float) -> str:
    name = {"idling": "idle_hot_a", "running": "max_a"}.get(mode.network.mode.engine)
    limits = [getattr(g.ratings, name, None) for g in generators] if name else []
    if not limits or any(v is None for v in limits):
        return NONE
    return amperes(sum(v for v in limits if v is not None) - made)


def _lasts(batteries: list[Part], into_battery: float) -> str:
    capacity = [b.ratings.capacity_ah for b in batteries]
    if into_battery > -1e-3 or not capacity or any(c is None for c in capacity):
        return NONE
    hours = sum(capacity) / 2 / -into_battery
    return f"{hours:.0f} h" if hours >= 10 else f"{int(hours)} h {hours % 1 * 60:.0f} min"
