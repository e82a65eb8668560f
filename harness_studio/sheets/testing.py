"""Test sheet: readings to take, ordered so that one walks round the vehicle once, with what to expect."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from harness_studio.casebook.known import Known
from harness_studio.casebook.tolerance import tolerances_v
from harness_studio.drawing.fonts import STRONG
from harness_studio.model.harness import Harness
from harness_studio.placing.faces import natural
from harness_studio.placing.links import owner

from .cover import put_cautions
from .flow import Flow
from .job import InMode, Job
from .leaf import Leaf
from .lettering import plain
from .numbers import amperes, volts
from .table import Band, Cell, Column, Row
from .testing_more import put_ready_made

if TYPE_CHECKING:
    from harness_studio.electrics.solution import Solution

SHEET = "Test sheet"
_LEAST_A = 0.02
"""A load or ground that carries less in every mode is not read under load."""


@dataclass(frozen=True, slots=True)
class Step:
    """One reading: why, where the tips go, in which mode, what flows then."""

    zone: str | None
    purpose: str
    mode: InMode
    plus: str
    minus: str
    amperes: float | None
    limit: str = ""
    """Name of the limit in force, empty where none is named for such a reading."""


def test_sheet(job: Job) -> list[Leaf]:
    """Return the test sheet of a harness."""
    posts = battery_posts(job.harness)
    if posts is None or not job.modes:
        return []
    steps = [*_battery(job, posts), *_grounds(job, posts), *_fuses(job), *_loads(job)]
    flow = Flow(job, SHEET)
    flow.title(SHEET)
    put_cautions(flow, "testing")
    flow.line_to_fill(("vehicle", 4), ("odometer", 3), ("date", 2), ("by", 2))
    flow.line_to_fill(
        ("meter and leads", 4), ("ambient, °C", 2), ("battery at rest, V", 3), ("running, V", 3)
    )
    flow.heading("Readings under load")
    flow.paragraph(
        "Confirm the current before the reading counts: a drop without current says nothing. "
        "'Now' is with the joints as found, 'clean' with every joint clean; ± is what wires, contacts, loads and the "
        "meter may make of it with nothing wrong (two standard deviations)."
    )
    flow.gap(1.0)
    flow.table(_columns(), list(_rows(job, steps)))
    put_ready_made(flow, job)
    return flow.leaves


def battery_posts(harness: Harness) -> tuple[str, str] | None:
    """Return (plus, minus) posts of the first battery; None without one."""
    battery = next((p for p in harness.parts.values() if p.kind == "battery"), None)
    return (f"{battery.id}.30", f"{battery.id}.31") if battery else None


def _columns() -> list[Column]:
    return [
        Column("No", grows=0), Column("Purpose", grows=2), Column("Mode"), Column("+ tip", grows=0),
        Column("− tip", grows=0), Column("Current confirmed", "right", grows=0), Column("Now", "right", grows=0),
        Column("Clean", "right", grows=0), Column("±", "right", grows=0), Column("Limit, rule", room_mm=14.0, grows=1),
        Column("Reading", room_mm=15.0, grows=0), Column("Pass", grows=0),
        Column("Date, initials", room_mm=18.0, grows=0),
    ]  # fmt: skip


def _rows(job: Job, steps: Sequence[Step]) -> Iterator[Row | Band]:
    """Yield the rows zone by zone, in the order in which the harness names its zones."""
    order = {zone: n for n, zone in enumerate(job.harness.zones)}
    clean = {id(m): clean_solution(job, m) for m in job.modes}
    allowed = _allowed(job, steps)
    ordered = sorted(steps, key=lambda s: order.get(s.zone or "", len(order)))
    last: object = ()
    for number, step in enumerate(ordered, 1):
        if step.zone != last:
            zone = job.harness.zones.get(step.zone) if step.zone else None
            yield Band(plain(zone.title or zone.id) if zone else "Zone not recorded")
            last = step.zone
        yield [
            Cell(str(number), STRONG), step.purpose, plain(step.mode.title), step.plus, step.minus,
            Cell(amperes(step.amperes), ticks=(False,)), volts(between(step.mode.solution, step.plus, step.minus)),
            volts(between(clean[id(step.mode)], step.plus, step.minus)), volts(allowed[id(step)]),
            limit_words(job, step.limit), "", Cell(ticks=(False,)), "",
        ]  # fmt: skip


def _allowed(job: Job, steps: Sequence[Step]) -> dict[int, float | None]:
    """Return for each step by how much its reading may lie beside the clean value."""
    known = Known(job.harness)
    found: dict[int, float | None] = {}
    for mode in job.modes:
        mine = [s for s in steps if s.mode is mode]
        pairs = [(s.plus, s.minus) for s in mine]
        found.update(zip(map(id, mine), tolerances_v(job.harness, mode.id, pairs, known), strict=True))
    return found


def between(solution: Solution, plus: str, minus: str) -> float | None:
    """Return the volts from one point to another; None where one of them has none."""
    index = solution.network.index
    if plus not in index or minus not in index:
        return None
    high, low = solution.volt(plus), solution.volt(minus)
    return None if high is None or low is None else high - low


def limit_words(job: Job, name: str) -> str:
    """Return a limit of the set in force and what it is for; empty for no name or where the set has it off."""
    from harness_studio.checks.limits import in_force

    if not name:
        return ""
    settings = job.harness.settings
    limit = in_force(settings.limits, settings.system_v)[name]
    return f"≤ {limit.value:g} {limit.unit}, {limit.what}" if limit.value is not None else ""


def clean_solution(job: Job, mode: InMode) -> Solution:
    """Return the solution of a mode with every joint clean."""
    from harness_studio.electrics.solve import solve
    from harness_studio.network.expand import expand

    if not any(j.mohm is not None for j in job.harness.joints.values()):
        return mode.solution
    return solve(expand(job.harness, mode.id, clean=True))


def _zone(harness: Harness, thing: str) -> str | None:
    """Return the zone of a part, of the box that holds it, or of a ground."""
    found = harness.parts.get(thing) or harness.grounds.get(thing)
    if found is None or found.zone:
        return found.zone if found else None
    box = harness.boxes_of_parts().get(thing)
    return harness.parts[box].zone if box else None


def _most(job: Job, current: dict[int, float]) -> InMode | None:
    """Return the mode in which most flows; None where next to nothing does in any."""
    best = max(job.modes, key=lambda m: abs(current.get(id(m), 0.0)))
    return best if abs(current.get(id(best), 0.0)) >= _LEAST_A else None


def _battery(job: Job, posts: tuple[str, str]) -> Iterator[Step]:
    part = owner(posts[0])
    for mode in job.modes:
        found = dict(mode.solution.parts()).get(part)
        flow = found.terminals.get(posts[0]) if found else None
        yield Step(_zone(job.harness, part), "battery, post to post", mode, *posts, flow)


def _grounded(job: Job, posts: tuple[str, str]) -> str:
    return posts[1] if job.harness.settings.grounded == "negative" else posts[0]


def _grounds(job: Job, posts: tuple[str, str]) -> Iterator[Step]:
    currents: dict[str, dict[int, float]] = {g: {} for g in job.harness.grounds}
    for mode in job.modes:
        for ground in job.harness.grounds:
            if ground in mode.network.joints:
                currents[ground][id(mode)] = mode.solution.joint(ground).amperes
    for ground in sorted(job.harness.grounds, key=natural):
        best = _most(job, currents[ground])
        if best:
            title = plain(job.harness.title_of(ground))
            flow = abs(currents[ground][id(best)])
            limit = "rise_ground_cranking_v" if best.network.mode.engine == "cranking" else "rise_ground_v"
            to = _grounded(job, posts)
            yield Step(_zone(job.harness, ground), f"rise of ground {title}", best, ground, to, flow, limit)


def _fuses(job: Job) -> Iterator[Step]:
    for fuse in sorted(
        (p for p in job.harness.parts.values() if p.kind == "fuse"), key=lambda p: natural(p.id)
    ):
        currents = {
            id(m): m.solution.joint(fuse.id).amperes for m in job.modes if fuse.id in m.network.joints
        }
        best = _most(job, currents)
        if best:
            flow = currents[id(best)]
            plus, minus = (
                (f"{fuse.id}.in", f"{fuse.id}.out") if flow >= 0 else (f"{fuse.id}.out", f"{fuse.id}.in")
            )
            title = plain(job.harness.title_of(fuse.id))
            yield Step(_zone(job.harness, fuse.id), f"drop over fuse {title}", best, plus, minus, abs(flow))


def _loads(job: Job) -> Iterator[Step]:
    from harness_studio.electrics.rated import SOURCE_KINDS

    by_mode = {id(m): dict(m.solution.parts()) for m in job.modes}
    for part in sorted(job.harness.parts.values(), key=lambda p: natural(p.id)):
        if part.kind in SOURCE_KINDS:
            continue
        currents = {
            key: max((abs(a) for a in found[part.id].terminals.values()), default=0.0)
            for key, found in by_mode.items()
            if part.id in found
        }
        best = _most(job, currents) if currents else None
        if best is None:
            continue
        terminals = by_mode[id(best)][part.id].terminals
        plus, minus = max(terminals, key=lambda t: terminals[t]), min(terminals, key=lambda t: terminals[t])
        title = plain(job.harness.title_of(part.id))
        yield Step(_zone(job.harness, part.id), f"volts at {title}", best, plus, minus, currents[id(best)])
