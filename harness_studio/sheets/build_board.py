"""Build board: the bundle in true lengths at 1:n with a list of its pieces, and tiled at 1:1 with match marks."""

from __future__ import annotations

from harness_studio.drawing.fonts import STRONG
from harness_studio.placing.build_board.plan import Plan, known_as, plan
from harness_studio.placing.faces import natural

from .build_board_strips import NAME, arranged, leaves_of
from .flow import Flow
from .job import Job
from .leaf import Leaf
from .lettering import plain
from .table import Band, Cell, Column, Row


def to_scale(job: Job) -> list[Leaf]:
    """Return the build board at the largest round scale at which it fits, and the list of its runs and tails."""
    made = plan(job.harness)
    if not made.stretches:
        return []
    return [*leaves_of(arranged(job, made)), *_lists(job, made)]


def _lists(job: Job, made: Plan) -> list[Leaf]:
    flow = Flow(job, NAME)
    flow.page()
    flow.leaf.marks.clear()
    flow.heading("Runs, tails and splices")
    columns = [
        Column("Name", grows=0), Column("From"), Column("To"), Column("Length", "right", grows=0), Column("Covering"),
        Column("Laid", grows=0),
    ]  # fmt: skip
    rows: list[Row | Band] = [Band("Runs")]
    for run in sorted(job.harness.runs.values(), key=lambda r: natural(r.id)):
        long = f"{run.length_mm:g} mm" if run.length_mm is not None else "not known"
        ends = [_breakout(job, e) for e in run.ends]
        rows.append([Cell(run.id, STRONG), *ends, long, plain(run.covering or ""), Cell(ticks=(False,))])
    tails = [s for s in made.stretches if s.kind == "tail"]
    if tails:
        rows.append(Band("Tails: from the breakout to the contact, the longest wire"))
    for tail in sorted(tails, key=lambda s: natural(s.id)):
        node = next((n for n, p in made.nodes.items() if p == tail.start), "")
        name = known_as(tail.id)
        title = plain(job.harness.title_of(name).partition(" ")[2])
        rows.append(
            [
                Cell(name, STRONG),
                _breakout(job, node),
                title,
                f"{tail.length_mm:g} mm",
                "",
                Cell(ticks=(False,)),
            ]
        )
    if made.splices:
        rows.append(Band("Splices: from the first breakout of their run"))
    for splice in made.splices:
        spot = job.harness.splices[splice].at
        assert spot is not None
        where = f"{spot.mm:g} mm" if spot.mm is not None else ""
        start = job.harness.runs[spot.run].ends[0] if spot.run in job.harness.runs else spot.breakout or ""
        rows.append(
            [Cell(splice, STRONG), _breakout(job, start), spot.run or "", where, "", Cell(ticks=(False,))]
        )
    flow.table(columns, rows)
    if made.unplaced:
        flow.paragraph(
            f"Not on the build board, since no run is recorded for them: {', '.join(made.unplaced)}.",
            colour="mend",
        )
    return flow.leaves


def _breakout(job: Job, node: str) -> str:
    found = job.harness.tables["breakouts"].get(node)
    return f"{node} {plain(found.title)}" if found and found.title else node
