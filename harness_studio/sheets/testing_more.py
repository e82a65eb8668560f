"""More of the test sheet: the tests that every vehicle gets, and what decides the open cases."""

from __future__ import annotations

from collections.abc import Iterator

from harness_studio.base.errors import HarnessError
from harness_studio.casebook.ready_made import TESTS, Step
from harness_studio.drawing.fonts import STRONG
from harness_studio.model.cases import Case
from harness_studio.session.ready_tests import guide_of

from .cover import put_cautions
from .flow import Flow
from .job import Job
from .leaf import Leaf
from .lettering import plain
from .numbers import NONE, amperes, volts
from .table import Band, Cell, Column, Row

CASE_TESTS = "Test sheet of open cases"
SHOWN = 3
"""So many suspects have their own expected value."""


def put_ready_made(flow: Flow, job: Job) -> None:
    """Add the tests that every vehicle gets: cranking, charging, key-off drain."""
    flow.heading("Ready-made tests", keep_mm=45.0)
    columns = [
        Column("Reading", grows=3), Column("+ tip", grows=0), Column("− tip", grows=0),
        Column("Expected", "right", grows=0), Column("Limit, rule", grows=1), Column("Reading", room_mm=18.0, grows=0),
        Column("Pass", grows=0), Column("Date, initials", room_mm=18.0, grows=0),
    ]  # fmt: skip
    rows: list[Row | Band] = []
    for test in TESTS:
        try:
            guide = guide_of(job.harness, test)
        except HarnessError as error:
            rows += [
                Band(test.capitalize()),
                [plain(str(error)), "", "", NONE, "", "", Cell(ticks=(False,)), ""],
            ]
            continue
        mode = job.harness.modes[guide.mode].title or guide.mode if guide.mode else "no mode"
        rows.append(Band(f"{test.capitalize()}: {plain(mode)}"))
        rows += [_step(step, job) for step in guide.steps]
    flow.table(columns, rows)


def _step(step: Step, job: Job) -> Row:
    from harness_studio.checks.limits import in_force

    limit = ""
    if step.limit is not None:
        settings = job.harness.settings
        limit = (
            f"≤ {step.limit:g} {step.unit}, {in_force(settings.limits, settings.system_v)[step.rule].what}"
        )
    tips = (step.plus, step.minus) if step.plus else (f"in {step.at}", "")
    return [plain(step.what), *tips, _expected(step), limit, "", Cell(ticks=(False,)), ""]


def _expected(step: Step) -> str:
    if step.expected is None:
        return NONE
    if step.unit == "V":
        return volts(step.expected)
    return amperes(step.expected) if step.unit == "A" else f"{step.expected:.3g} {step.unit}"


def case_tests(job: Job) -> list[Leaf]:
    """Return for each open case the readings that decide it, with what each leading suspect would give."""
    open_cases = [case for case in job.harness.tables["cases"].values() if not case.closed]
    if not open_cases:
        return []
    flow = Flow(job, CASE_TESTS)
    flow.title(CASE_TESTS)
    put_cautions(flow, "testing")
    flow.line_to_fill(("vehicle", 4), ("odometer", 3), ("date", 2), ("by", 2))
    for case in open_cases:
        _case(flow, job, case)
    return flow.leaves


def _case(flow: Flow, job: Job, case: Case) -> None:
    from harness_studio.casebook.next_reading import next_readings
    from harness_studio.casebook.suspects import suspects

    try:
        found = suspects(job.harness, case)
        proposals = next_readings(job.harness, found)
    except HarnessError as error:
        flow.heading(plain(f"To decide case {case.id}"))
        flow.paragraph(plain(str(error)))
        return
    if not proposals:
        flow.heading(plain(f"Case {case.id}"))
        flow.paragraph("Nothing more can be told apart by a reading between points that may be touched.")
        return
    flow.heading(plain(f"To decide case {case.id}"), keep_mm=30.0)
    if case.complaint:
        flow.paragraph(plain(case.complaint))
    columns = [
        Column("No", grows=0), Column("+ tip", grows=0), Column("− tip", grows=0), Column("Mode"),
        Column("Current confirmed", grows=0), Column("Expected if this is it", grows=2),
        Column("If none fits", "right", grows=0), Column("Reading", room_mm=18.0, grows=0),
        Column("Date, initials", room_mm=18.0, grows=0),
    ]  # fmt: skip
    rows: list[Row | Band] = []
    for number, one in enumerate(proposals, 1):
        mode = job.harness.modes[one.mode].title or one.mode if one.mode else NONE
        rows.append(
            [
                Cell(str(number), STRONG),
                one.plus,
                one.minus,
                plain(mode),
                Cell(ticks=(False,)),
                "; ".join(_words(one.expected)),
                volts(one.if_none_fits),
                "",
                "",
            ]
        )
        if one.caution:
            rows.append(["", "", "", "", "", plain(f"Mind: {one.caution}"), "", "", ""])
    flow.table(columns, rows)


def _words(expected: object) -> Iterator[str]:
    for joint, value in list(dict(expected).items())[:SHOWN]:  # type: ignore[call-overload]
        yield f"{joint}: {volts(value)}"
