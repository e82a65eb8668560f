"""Case sheet: what was complained of, seen, provoked, measured and mended."""

from __future__ import annotations

from harness_studio.base.units import show_mohm
from harness_studio.drawing.fonts import STRONG
from harness_studio.model.cases import Case, Reading

from .cover import put_cautions
from .flow import Flow
from .job import Job
from .leaf import Leaf
from .lettering import plain
from .numbers import amperes, volts
from .table import Band, Cell, Column, Row

SHEET = "Case sheet"
_SPARE_ROWS = 6


def case_sheet(job: Job) -> list[Leaf]:
    """Return the pages of all cases, each from a new page on."""
    flow = Flow(job, SHEET)
    for case in job.harness.tables["cases"].values():
        flow.page(f"{case.id} {case.complaint}"[:90])
        _one(flow, job, case)
    return flow.leaves


def _one(flow: Flow, job: Job, case: Case) -> None:
    flow.title(plain(f"{case.id}: {case.complaint or 'complaint not recorded'}"))
    odometer = f"{case.odometer_km:g} km" if case.odometer_km is not None else ""
    state = "closed" if case.closed else "open"
    flow.facts(
        [("", state), ("state", case.state or ""), ("date", str(case.date or "")), ("odometer", odometer)]
    )
    if case.note:
        flow.paragraph(case.note)
    put_cautions(flow, "case")
    _seen(flow, job, case)
    for title, rows in (
        ("Readings before", [r for r in case.readings if not r.after_mend]),
        ("Readings after the mend", [r for r in case.readings if r.after_mend]),
    ):
        flow.heading(title, keep_mm=30.0)
        _readings(flow, job, rows)
    flow.heading("Disturbed and found good")
    flow.facts([("disturbed", ", ".join(case.disturbed)), ("found good", ", ".join(case.found_good))])
    flow.heading("Mended")
    columns = [Column("Did", grows=3), Column("On"), Column("Date", grows=0), Column("By")]
    mends: list[Row | Band] = [
        [plain(m.did), ", ".join(m.on), str(m.date or ""), plain(m.made_by or "")] for m in case.mends
    ]
    flow.table(columns, mends or [["", "", "", ""]])
    again = {True: "yes", False: "no", None: "not tried"}[case.fault_made_to_come_back]
    flow.facts([("fault made to come back", again)])
    flow.line_to_fill(("date", 2), ("signed", 4))


def _mode(job: Job, mode_id: str | None) -> str:
    mode = job.harness.modes.get(mode_id) if mode_id else None
    return plain(mode.title or mode.id) if mode else mode_id or ""


def _seen(flow: Flow, job: Job, case: Case) -> None:
    if case.sightings:
        flow.heading("Seen")
        columns = [
            Column("Thing", grows=2), Column("From mode"), Column("To mode"), Column("What it did"), Column("Strength"),
            Column("Times", grows=0), Column("Note", grows=2),
        ]  # fmt: skip
        rows: list[Row | Band] = []
        for s in case.sightings:
            times = f"{s.times[0]} of {s.times[1]}" if s.times else ""
            title = plain(job.harness.title_of(s.on.partition("/")[0]))
            rows.append(
                [
                    Cell(title, STRONG), _mode(job, s.from_mode), _mode(job, s.to_mode), s.seen, s.strength or "",
                    times, plain(s.note or ""),
                ]
            )  # fmt: skip
        flow.table(columns, rows)
    if case.provocations:
        flow.heading("Provoked")
        columns = [Column("By"), Column("At"), Column("Minutes", "right", grows=0), Column("It did", grows=3)]
        flow.table(
            columns,
            [
                [p.means, p.at or "", f"{p.minutes:g}" if p.minutes else "", plain(p.did or "")]
                for p in case.provocations
            ],
        )


def _readings(flow: Flow, job: Job, readings: list[Reading]) -> None:
    columns = [
        Column("What", grows=0), Column("Mode"), Column("+ tip or at", grows=0), Column("− tip", grows=0),
        Column("Value", "right", room_mm=20.0, grows=0), Column("Current confirmed", grows=0),
        Column("Symptom", grows=0), Column("Date", room_mm=18.0, grows=0), Column("Note", grows=2),
    ]  # fmt: skip
    rows: list[Row | Band] = []
    for r in readings:
        rows.append(
            [
                {"fuse_mv": "over fuse"}.get(r.kind, r.kind), _mode(job, r.mode), r.plus or r.at or "", r.minus or "",
                value_words(r), Cell(ticks=(r.current_confirmed,)), r.symptom_present, str(r.date or ""),
                plain(r.note or ""),
            ]
        )  # fmt: skip
    spare: list[Row | Band] = [["", "", "", "", "", Cell(ticks=(False,)), "", "", ""]] * (
        _SPARE_ROWS if not rows else 2
    )
    flow.table(columns, [*rows, *spare])


def value_words(reading: Reading) -> str:
    """Return the value of a reading with its unit, and its range over time."""

    def one(value: float | None) -> str:
        if value is None:
            return ""
        if reading.kind == "volts":
            return volts(value)
        if reading.kind == "fuse_mv":
            return f"{value:g} mV"
        return amperes(value) if reading.kind == "amperes" else show_mohm(value)

    span = f"{one(reading.least)} to {one(reading.greatest)}" if reading.least is not None else ""
    return " ".join(
        filter(None, (one(reading.value), f"({span})" if span and reading.value is not None else span))
    )
