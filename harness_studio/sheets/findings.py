"""Findings by grade, with the numbers, the limit and where it is from, and what to do."""

from __future__ import annotations

from harness_studio.checks.finding import GRADES, Finding
from harness_studio.drawing.fonts import STRONG

from .flow import Flow
from .job import Job
from .leaf import Leaf
from .lettering import plain
from .table import Band, Cell, Column, Row

SHEET = "Findings"
GRADE_WORDS = {
    "stop": "STOP: not to be used like this",
    "mend": "MEND: outside a limit",
    "note": "NOTE: to know, or not judged",
}


def findings(job: Job) -> list[Leaf]:
    """Return what the checks have to say about the harness in all modes of its file."""
    from harness_studio.checks.runner import check
    from harness_studio.checks.scope import scope_of

    if not job.harness.wires and not job.harness.parts:
        return []
    scope = scope_of(job.harness)
    found = check(scope)
    flow = Flow(job, SHEET)
    flow.title(SHEET)
    standing = [f for f in found if f.accepted is None]
    counts = ", ".join(f"{sum(f.grade == g for f in standing)} {g}" for g in GRADES)
    flow.paragraph(
        f"{counts}. Judged in all modes of the file, with the limit set named below; ampacity by {scope.how}.",
        colour="muted",
    )
    flow.gap(1.0)
    columns = [
        Column("No", grows=0), Column("Finding", grows=3), Column("What to do", grows=2),
        Column("Limit is from", grows=2), Column("Done", grows=0),
    ]  # fmt: skip
    rows: list[Row | Band] = []
    number = 0
    for grade in GRADES:
        some = [f for f in standing if f.grade == grade]
        rows += [Band(GRADE_WORDS[grade])] if some else []
        for one in some:
            number += 1
            rows.append(_row(str(number), one))
    accepted = [f for f in found if f.accepted is not None]
    rows += [Band("Accepted, with the reason")] if accepted else []
    rows += [_row("", one) for one in accepted]
    if not rows:
        flow.paragraph("Nothing was found. That is no proof: what is not recorded cannot be judged.")
        return flow.leaves
    flow.table(columns, rows)
    return flow.leaves


def _row(number: str, found: Finding) -> Row:
    todo = f"accepted: {found.accepted}" if found.accepted is not None else found.remedy
    return [
        Cell(number, STRONG), plain(found.sentence), plain(todo or ""), plain(found.backing),
        Cell(ticks=(found.accepted is not None,)),
    ]  # fmt: skip
