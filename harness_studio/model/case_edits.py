"""Edits of cases: each entry of a case book is one step of the history."""

from __future__ import annotations

from dataclasses import replace
from typing import Any, Literal

from harness_studio.base.errors import EditError

from .cases import Case, Reading
from .edits import Remove, Together, change, put
from .entities import JointRecord
from .harness import Harness

Entries = Literal["sightings", "provocations", "readings", "disturbed", "found_good", "mends"]
"""What a case holds several of."""
ONE: dict[str, str] = {
    "sightings": "sighting", "provocations": "provocation", "readings": "reading", "disturbed": "disturbed thing",
    "found_good": "thing found good", "mends": "mend",
}  # fmt: skip


def case_of(harness: Harness, case_id: str) -> Case:
    """Return a case; EditError if there is none of that id."""
    found: Case | None = harness.tables["cases"].get(case_id)
    if found is None:
        raise EditError(f"there is no case '{case_id}'")
    return found


def new_case(harness: Harness, complaint: str = "", **fields: Any) -> tuple[str, Together]:
    """Return (id, step) of a new case with the first free number."""
    taken = harness.tables["cases"]
    number = len(taken) + 1
    while f"case_{number}" in taken:
        number += 1
    case = Case(f"case_{number}", complaint, **fields)
    return case.id, put("cases", case, words=f"new case {case.id}")


def set_case(harness: Harness, case_id: str, words: str = "", /, **fields: Any) -> Together:
    """Return the step that sets what a case holds one of: complaint, state, date, closed ..."""
    case_of(harness, case_id)
    return change(harness, "cases", case_id, words or f"change {case_id}", **fields)


def remove_case(harness: Harness, case_id: str) -> Together:
    """Return the step that takes a whole case out."""
    case_of(harness, case_id)
    return Together((Remove("cases", case_id),), f"take out {case_id}")


def add_entry(harness: Harness, case_id: str, what: Entries, entry: Any) -> Together:
    """Return the step that adds an entry at the end."""
    kept = getattr(case_of(harness, case_id), what)
    return change(
        harness, "cases", case_id, f"keep a {ONE[what]} in {case_id}", **{what: (*kept, entry)}
    )  # fmt: skip


def replace_entry(harness: Harness, case_id: str, what: Entries, number: int, entry: Any) -> Together:
    """Return the step that puts an entry in the place of another; numbers start at 0."""
    kept = _kept(harness, case_id, what, number)
    return change(
        harness, "cases", case_id, f"change a {ONE[what]} of {case_id}",
        **{what: (*kept[:number], entry, *kept[number + 1 :])},
    )  # fmt: skip


def remove_entry(harness: Harness, case_id: str, what: Entries, number: int) -> Together:
    """Return the step that takes an entry out; numbers start at 0."""
    kept = _kept(harness, case_id, what, number)
    return change(
        harness, "cases", case_id, f"take a {ONE[what]} out of {case_id}",
        **{what: (*kept[:number], *kept[number + 1 :])},
    )  # fmt: skip


def _kept(harness: Harness, case_id: str, what: Entries, number: int) -> tuple[Any, ...]:
    kept: tuple[Any, ...] = getattr(case_of(harness, case_id), what)
    if not 0 <= number < len(kept):
        raise EditError(f"{case_id} has no {ONE[what]} number {number + 1}")
    return kept


def again(reading: Reading, date: str | None = None) -> Reading:
    """Return the same reading to be taken after the mend: same tips and mode, no value yet."""
    return replace(
        reading, value=None, least=None, greatest=None, over_s=None, current_confirmed=False,
        symptom_present="not watched", note=None, date=date, after_mend=True,
    )  # fmt: skip


def same_pair(first: Reading, second: Reading) -> bool:
    """Tell whether two readings are of the same thing in the same mode."""
    return (first.kind, first.mode, first.plus, first.minus, first.at) == (
        second.kind, second.mode, second.plus, second.minus, second.at,
    )  # fmt: skip


def say_maker(harness: Harness, joint: str, maker: str | None) -> Together:
    """Return the step that says who made a joint, None for not known; what else is recorded of it stays."""
    record = harness.joints.get(joint) or JointRecord(joint)
    return put("joints", replace(record, made_by=maker), words=f"say who made {joint}")  # type: ignore[arg-type]
