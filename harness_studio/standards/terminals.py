"""Terminal numbers of vehicle electrics (DIN 72552) → what they mean."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from harness_studio.standards import provenance, tables


@dataclass(frozen=True, slots=True)
class TerminalMeaning:
    """What a terminal number says, and where that is from."""

    number: str
    meaning: str
    source: str
    sureness: str


@cache
def entry(number: str) -> TerminalMeaning | None:
    """Return the entry of a terminal number, or None if the list has none.

    Upper and lower case are tried as written first: '87A' is read as 87a.
    """
    data = tables.load("terminals.yaml")
    rows: dict[str, dict[str, str]] = data["terminals"]
    text = number.strip()
    if text not in rows:
        text = next((known for known in rows if known.lower() == text.lower()), "")
    if not text:
        return None
    mark = provenance.of(rows[text], data)
    return TerminalMeaning(text, rows[text]["meaning"], mark.source, mark.sureness)


def meaning(number: str) -> str | None:
    """Return what a terminal number means in words (DIN 72552), or None: ``meaning("31")``."""
    found = entry(number)
    return found.meaning if found else None


def numbers() -> tuple[str, ...]:
    """Return all terminal numbers of the list, in its order."""
    return tuple(tables.load("terminals.yaml")["terminals"])
