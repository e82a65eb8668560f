"""What the list of findings says, line by line: grouped by grade and rule, filtered by words, grade and id; Qt-free."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass

from harness_studio.checks.faults import fault
from harness_studio.checks.finding import GRADES, Finding
from harness_studio.model.harness import Harness

ACCEPTED = "accepted"
KINDS = (*GRADES, ACCEPTED)
"""What the list can be narrowed to."""
GRADE_WORDS = {
    "stop": "Stop: not to be used like this",
    "mend": "Mend: outside a limit",
    "note": "Note: to know, or not judged",
    ACCEPTED: "Accepted, with a reason",
}


@dataclass(frozen=True, slots=True)
class Row:
    """One line: a heading, or a finding with its number on the diagram."""

    title: str
    about: str = ""
    aside: str = ""
    kind: str = ""
    finding: Finding | None = None
    number: int = 0

    @property
    def spoken(self) -> str:
        """The line as it is read out."""
        said = (f"{self.kind} {self.number}" if self.finding else "", self.title, self.about, self.aside)
        return ", ".join(text for text in said if text)


def kind_of(found: Finding) -> str:
    """Return where a finding is listed: under its grade, or as accepted."""
    return ACCEPTED if found.accepted is not None else found.grade


def numbered(findings: Sequence[Finding]) -> list[tuple[int, Finding]]:
    """Return the findings with the numbers that they bear in the list and on the diagram, gravest first."""
    order = sorted(findings, key=lambda f: KINDS.index(kind_of(f)))
    return list(enumerate(order, 1))


def matches(found: Finding, words: str) -> bool:
    """Tell whether a finding has all the words: in its sentence, rule, ids, remedy or source."""
    text = " ".join(
        (found.sentence, found.rule, fault(found.rule), *found.ids, found.remedy, found.backing)
    ).lower()
    return all(word in text for word in words.lower().split())


def rows_of(
    harness: Harness, findings: Sequence[Finding], words: str = "", kinds: Collection[str] = KINDS
) -> list[Row]:
    """Return the lines of the list: a heading for each grade and rule, its findings below."""
    rows: list[Row] = []
    before: tuple[str, str] | None = None
    shown = [(n, f) for n, f in numbered(findings) if kind_of(f) in kinds and matches(f, words)]
    for number, found in shown:
        kind = kind_of(found)
        if (kind, found.rule) != before:
            count = sum((kind_of(f), f.rule) == (kind, found.rule) for _, f in shown)
            grade = GRADE_WORDS[kind].partition(":")[0].partition(",")[0]
            rows.append(Row(f"{grade} · {fault(found.rule)}", aside=str(count), kind=kind))
            before = kind, found.rule
        rows.append(Row(_title(harness, found), found.text, _numbers(found), kind, found, number))
    return rows


def _title(harness: Harness, found: Finding) -> str:
    if not found.ids:
        return fault(found.rule)
    first = found.ids[0]
    known = harness.title_of(first) if harness.section_of(first) else first
    more = f" and {len(found.also_of)} more" if found.also_of else ""
    return f"{known}{more}"


def _numbers(found: Finding) -> str:
    if found.value is None or found.limit is None:
        return ""
    return (
        f"{short(found.value)} > {short(found.limit)} {found.unit}"
        if found.value > found.limit
        else (f"{short(found.value)} < {short(found.limit)} {found.unit}")
    )


def short(value: float) -> str:
    """Return a number in three figures."""
    return f"{value:.3g}" if abs(value) < 1000 else f"{value:.0f}"
