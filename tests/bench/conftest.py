"""The table that the benchmarks print: one row a case, with its target and what was measured."""

import os
import platform
from dataclasses import dataclass
from datetime import date

import pytest


@dataclass(frozen=True, slots=True)
class Row:
    """One line of the table."""

    case: str
    target: str
    measured: str
    missed: bool


_rows: list[Row] = []
_told: set[str] = set()
"""Benchmarks that put rows of their own into the table; the others stand in it by their names."""


class Table:
    """Takes the rows of a test."""

    def __init__(self, test: str) -> None:
        self._test = test

    def add(self, case: str, measured: float, unit: str, most: float | None = None, note: str = "") -> None:
        """Add a row: what was measured, and the most it may be (None: no target); a missed one is printed as missed."""
        _told.add(self._test)
        missed = most is not None and measured > most
        shown = f"{measured:.3g} {unit}" + (f", {note}" if note else "") + (" (missed)" if missed else "")
        _rows.append(Row(case, f"{most:g} {unit}" if most is not None else "", shown, missed))


@pytest.fixture
def table(request: pytest.FixtureRequest) -> Table:
    """Return the table to add rows to."""
    return Table(request.node.nodeid)


def _rows_by_name(config: pytest.Config) -> list[Row]:
    """Return a row for each benchmark that gave none itself: its fastest round."""
    session = getattr(config, "_benchmarksession", None)
    found = []
    for bench in getattr(session, "benchmarks", ()):
        if bench.fullname not in _told and bench.stats.data:
            case = bench.name.removeprefix("test_").replace("_", " ")
            found.append(Row(case, "", f"{1e3 * bench.stats.min:.3g} ms", False))
    return found


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter) -> None:
    """Print the table as it stands in the contributor's guide, with date, machine and load."""
    rows = [*_rows, *_rows_by_name(terminalreporter.config)]
    if not rows:
        return
    load = f", load {os.getloadavg()[0]:.1f}" if hasattr(os, "getloadavg") else ""
    where = f"{date.today()}, Python {platform.python_version()}, {os.cpu_count()} cores{load}"
    terminalreporter.section(f"benchmark table ({where})")
    terminalreporter.write_line("| case | target | measured |")
    terminalreporter.write_line("| --- | --- | --- |")
    for row in rows:
        terminalreporter.write_line(f"| {row.case} | {row.target} | {row.measured} |")
