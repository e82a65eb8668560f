"""Findings as the diagram marks them, with the numbers that they bear in the list."""

from __future__ import annotations

from collections.abc import Sequence

from harness_studio.checks.faults import fault
from harness_studio.checks.finding import Finding
from harness_studio.diagram.finding_marks import FindingMark, FindingMarks

from .rows import ACCEPTED, kind_of, numbered, short


def marks_of(findings: Sequence[Finding], chosen: str | None) -> FindingMarks:
    """Return the marks of what stands, gravest first, and of the chosen one whether it stands or not."""
    return tuple(
        FindingMark(
            kind_of(found),
            number,
            found.ids,
            numbers(found) if found.key == chosen else "",
            found.key == chosen,
        )
        for number, found in numbered(findings)
        if kind_of(found) != ACCEPTED or found.key == chosen
    )


def numbers(found: Finding) -> str:
    """Return '0.405 V, limit 0.1 V', or what is wrong where there are no numbers."""
    if found.value is None:
        return fault(found.rule)
    said = f"{short(found.value)} {found.unit}".rstrip()
    return said if found.limit is None else f"{said}, limit {short(found.limit)} {found.unit}".rstrip()
