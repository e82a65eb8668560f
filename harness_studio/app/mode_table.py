"""Two modes side by side, as text and as JSON: only what differs."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from harness_studio.model.harness import Harness

from .output import table
from .solving import mode_words

if TYPE_CHECKING:
    from harness_studio.electrics.mode_changes import Differs, ModeChanges


def lines(harness: Harness, found: ModeChanges) -> list[str]:
    """Return the differences as a table, heading first."""
    first, second = mode_words(harness, found.first), mode_words(harness, found.second)
    if not found.rows:
        return [f"{first} against {second}: nothing differs"]
    rows = [
        (_of(harness, row), shown(row.first, row.unit), shown(row.second, row.unit)) for row in found.rows
    ]
    head = ("", found.first or "no mode", found.second or "no mode")
    return [f"{first} against {second}; what is alike is left out", "", *table(head, rows, right=(1, 2))]


def _of(harness: Harness, row: Differs) -> str:
    if row.what == "set":
        return f"set: {harness.title_of(row.thing) if row.thing else row.name}"
    if row.what == "state":
        return f"state of {harness.title_of(row.thing)}"
    name = row.name.removeprefix(row.thing).strip(" /")
    return f"{harness.title_of(row.thing)}, {name}"


def shown(value: float | str | None, unit: str) -> str:
    """Return one side of a difference."""
    if value is None:
        return "-"
    return value if isinstance(value, str) else f"{value:.3g} {unit}".strip()


def as_json(found: ModeChanges) -> dict[str, Any]:
    """Return the differences."""
    return {
        "mode": found.first,
        "against": found.second,
        "differs": [
            {
                "what": r.what,
                "thing": r.thing,
                "name": r.name,
                "first": r.first,
                "second": r.second,
                "unit": r.unit,
            }
            for r in found.rows
        ],
    }
