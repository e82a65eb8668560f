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


class Table:
    """Takes the rows of a test."""

    def add(self, case: str, measured: float, unit: str, most: float | None = None, note: str = "") -> None:
        """Add a row: what was measured, and the most it may be (None: no target); a missed one is printed as missed."""
        missed = most is not None and measured > most
        shown = f"{measured:.3g} {unit}" + (f", {note}" if note else "") + (" (missed)" if missed else "")
        _rows.append(Row(case, f"{most:g} {unit}" if most is not None else "", shown, missed))


@pytest.fixture
def table() -> Table:
    """Return the table to add rows to."""
    return Table()


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter) -> None:
    """Print the table as it stands in the contributor's guide, with date, machine and load."""
    if not _rows:
        return
    load = f", load {os.getloadavg()[0]:.1f}" if hasattr(os, "getloadavg") else ""
    where = f"{date.today()}, Python {platform.python_version()}, {os.cpu_count()} cores{load}"
    terminalreporter.section(f"benchmark table ({where})")
    terminalreporter.write_line("| case | target | measured |")
    terminalreporter.write_line("| --- | --- | --- |")
    for row in _rows:
        terminalreporter.write_line(f"| {row.case} | {row.target} | {row.measured} |")
