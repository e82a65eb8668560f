"""Parts list: devices, connectors, contacts, seals, plugs, rings, splices, fuses and coverings, counted."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterator

from harness_studio.drawing import looks
from harness_studio.drawing.fonts import STRONG
from harness_studio.model.entities import Wire
from harness_studio.model.values import Contact

from .flow import Flow
from .job import Job
from .leaf import Leaf
from .lettering import plain
from .load_list import rated_words
from .pinout import contact_words
from .table import Band, Cell, Column, Row

SHEET = "Parts list"
_MOST_NAMED = 40


def parts_list(job: Job) -> list[Leaf]:
    """Return what a harness is made of, counted by what is bought."""
    groups = [(title, rows) for title, rows in _groups(job) if rows]
    if not groups:
        return []
    flow = Flow(job, SHEET)
    flow.title(SHEET)
    flow.paragraph(
        "Wire by the metre stands on the cut list. What is not recorded is said so, not guessed.",
        colour="muted",
    )
    columns = [
        Column("Count", "right", grows=0), Column("What", grows=2), Column("Part number", grows=0),
        Column("Where used", grows=2), Column("Got", grows=0),
    ]  # fmt: skip
    rows: list[Row | Band] = []
    for title, counted in groups:
        rows.append(Band(title))
        rows += [
            [Cell(str(n), STRONG), what, number, where, Cell(ticks=(False,))]
            for n, what, number, where in counted
        ]
    flow.table(columns, rows)
    return flow.leaves


Counted = list[tuple[int, str, str, str]]


def _groups(job: Job) -> Iterator[tuple[str, Counted]]:
    yield "Devices", _devices(job, fuses=False)
    yield "Fuses and breakers", _devices(job, fuses=True)
    yield "Connector halves", _halves(job)
    yield "Contacts", _contacts(job)
    yield "Seals and plugs", _seals(job)
    yield "Rings", _rings(job)
    yield "Splices", _splices(job)
    yield "Coverings, by length of run", _coverings(job)


def _count(items: list[tuple[tuple[str, str], str]]) -> Counted:
    """Return (count, what, part number, where used) of ((what, part number), where) items, in the order they came."""
    where: dict[tuple[str, str], list[str]] = defaultdict(list)
    for key, at in items:
        where[key].append(at)
    return [(len(at), plain(what), plain(number), _named(at)) for (what, number), at in where.items()]


def _named(at: list[str]) -> str:
    names = list(Counter(at))
    more = f" and {len(names) - _MOST_NAMED} more" if len(names) > _MOST_NAMED else ""
    return plain(", ".join(names[:_MOST_NAMED]) + more)


def _devices(job: Job, *, fuses: bool) -> Counted:
    items = []
    for part in job.harness.parts.values():
        if (part.kind in ("fuse", "breaker", "link")) != fuses:
            continue
        style = (getattr(part.ratings, "style", None) or "").replace("_", " ") if fuses else ""
        title = "" if fuses or part.title == part.about.title else part.title or ""
        what = ", ".join(filter(None, (part.about.title, title, style, rated_words(part))))
        items.append(((what, part.part_number or ""), part.id))
    return _count(items)


def _halves(job: Job) -> Counted:
    items = []
    for half in job.harness.halves.values():
        count = len(half.cavity_names())
        facts = (
            f"{count} cavities" if count else "cavities not recorded",
            f"holds {half.gender}s" if half.gender else "",
            "sealed" if half.sealed else "",
        )
        items.append(((", ".join(filter(None, facts)), half.part_number or ""), half.id))
    return _count(items)


def _contacts(job: Job) -> Counted:
    items = []
    for wire, point in _crimped(job):
        half_id, _, name = point.partition(".")
        half = job.harness.halves.get(half_id)
        if half is None:
            continue
        cavity = half.cavities.get(name)
        contact = (cavity.contact if cavity else None) or half.contact or Contact()
        words = (
            contact_words(Contact(contact.tab_mm, contact.plating, contact.rated_a)) or "contact not recorded"
        )
        what = ", ".join(filter(None, (words, half.gender or "", f"for {looks.size_words(wire)}")))
        items.append(((what, contact.part_number or ""), half_id))
    return _count(items)


def _crimped(job: Job) -> Iterator[tuple[Wire, str]]:
    """Yield (wire, point) of the wire that decides the contact at each point: the first one that ends there."""
    for point, wires in job.ends.items():
        yield job.harness.wires[wires[0]], point


def _seals(job: Job) -> Counted:
    items = []
    for half in job.harness.halves.values():
        for name in half.cavity_names():
            cavity = half.cavities.get(name)
            wired = job.ends.get(f"{half.id}.{name}", ())
            if wired and half.sealed:
                wire = job.harness.wires[wired[0]]
                seal = (
                    cavity.seal if cavity else None
                ) or f"seal for {looks.size_words(wire)}, type not recorded"
                items.append(((seal, ""), half.id))
            elif not wired and (half.sealed or (cavity is not None and cavity.plug)):
                items.append((("cavity plug", ""), half.id))
    return _count(items)


def _rings(job: Job) -> Counted:
    items = []
    for ground in job.harness.grounds.values():
        listed = [w for ring in ground.stack for w in ring]
        rings = [*ground.stack, *((w,) for w in job.ends.get(ground.id, ()) if w not in listed)]
        for ring in rings:
            sizes = [looks.size_words(job.harness.wires[w]) for w in ring if w in job.harness.wires]
            what = f"ring {ground.stud or 'of unknown stud'} for {' + '.join(sizes) or 'no wire'}"
            items.append(((what, ""), ground.id))
    return _count(items)


def _splices(job: Job) -> Counted:
    items = []
    for splice in job.harness.splices.values():
        sizes = sorted(looks.size_words(job.harness.wires[w]) for w in job.ends.get(splice.id, ()))
        how = f"{splice.method or 'method not recorded'}, {splice.sleeve or 'sleeve not recorded'}"
        what = f"{how}: {' + '.join(sizes)}"
        items.append(((what, ""), splice.id))
    return _count(items)


def _coverings(job: Job) -> Counted:
    sums: dict[str, list[tuple[str, float | None]]] = defaultdict(list)
    for run in job.harness.runs.values():
        sums[run.covering or "covering not recorded"].append((run.id, run.length_mm))
    found = []
    for covering, runs in sums.items():
        known = sum(mm for _, mm in runs if mm is not None)
        lost = sum(mm is None for _, mm in runs)
        what = f"{covering}, {known / 1000:.2f} m" + (f" and {lost} runs of unknown length" if lost else "")
        found.append((len(runs), plain(what), "", _named([r for r, _ in runs])))
    return found
