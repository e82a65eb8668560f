"""Cover: the harness, what holds for it, cautions, revisions, contents."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache
from typing import Any

import yaml

from harness_studio.base import resources
from harness_studio.checks.how import How
from harness_studio.checks.limits import in_force
from harness_studio.drawing.fonts import STRONG

from .flow import Flow
from .job import Job
from .leaf import Leaf
from .lettering import SMALL_MM, plain
from .table import Cell, Column, Row

SHEET = "Cover"


@cache
def _cautions() -> list[dict[str, Any]]:
    return list(yaml.safe_load(resources.text("sheets", "cautions.yaml"))["cautions"])


def cautions(sheet: str | None = None) -> list[str]:
    """Return the cautions that a sheet carries; all for None."""
    return [str(c["text"]) for c in _cautions() if sheet is None or sheet in c["sheets"]]


def put_cautions(flow: Flow, sheet: str | None = None) -> None:
    """Add the cautions of a sheet."""
    flow.heading("Cautions")
    for text in cautions(sheet):
        flow.item(text, sign="!", size_mm=SMALL_MM)


def alone(job: Job) -> list[Leaf]:
    """Return a cover without contents."""
    return cover(job, [])


def cover(job: Job, contents: Sequence[tuple[str, int]]) -> list[Leaf]:
    """Return the cover; `contents` are sheets with the page each begins on."""
    flow = Flow(job, SHEET)
    harness, settings = job.harness, job.harness.settings
    flow.title(plain(settings.title))
    polarity = f"{settings.grounded} ground"
    flow.facts([("", f"{settings.system_v:g} V system, {polarity}"), ("printed", job.day)])
    counts = {
        "wires": len(harness.wires), "connector halves": len(harness.halves), "grounds": len(harness.grounds),
        "splices": len(harness.splices), "parts": len(harness.parts),
    }  # fmt: skip
    flow.facts([("", f"{number} {name}") for name, number in counts.items()])
    if settings.note:
        flow.paragraph(settings.note)
    _in_force(flow, job)
    _revisions(flow, job)
    put_cautions(flow)
    if contents:
        flow.heading("Contents")
        flow.table(
            [Column("Sheet"), Column("Page", "right", grows=0)],
            [[Cell(name, STRONG), str(page)] for name, page in contents],
        )
    return flow.leaves


def _in_force(flow: Flow, job: Job) -> None:
    limits = job.harness.settings.limits
    flow.heading("In force")
    flow.item(f"Limit set: {limits.set.replace('_', ' ')}")
    found = in_force(limits, job.harness.settings.system_v)
    if found.own_way is not None:
        how = How(found.method, found.table)
        flow.item(f"Ampacity by {str(how).replace('_', ' ')}, this project's own choice")
    for own in found.overridden:
        value = "off" if own.value is None else f"{own.value:g} {own.unit}"
        flow.item(f"Own limit: {own.what} {value}, because {plain(own.reason or '')}")
    for mode in job.modes:
        engine = mode.network.mode.engine
        loads = ", ".join(f"{k} {v}" for k, v in mode.network.mode.loads.items())
        set_to = ", ".join(f"{k} {v}" for k, v in mode.network.mode.positions.items())
        facts = "; ".join(filter(None, (f"engine {engine}", set_to, loads)))
        flow.item(f"Volts for '{plain(mode.title)}': {plain(facts)}")
    flow.item("Volts are against the grounded battery post. A dash stands where there is no value.")


def _revisions(flow: Flow, job: Job) -> None:
    revisions = list(job.harness.tables["revisions"].values())
    if not revisions:
        return
    flow.heading("Revisions")
    columns = [
        Column("Revision", grows=0),
        Column("Date", grows=0),
        Column("By"),
        Column("What and why", grows=3),
    ]
    rows: list[Row] = [
        [Cell(plain(r.id), STRONG), str(r.date or ""), plain(r.author or ""), plain(r.note or "")]
        for r in revisions
    ]
    flow.table(columns, rows)
