"""Before and after the mend: the same pair side by side, and the milliohms that both imply."""

from __future__ import annotations

from dataclasses import dataclass

from harness_studio.model.case_edits import same_pair
from harness_studio.model.cases import Case, Reading


@dataclass(frozen=True, slots=True)
class Pair:
    """A reading before the mend and the same one after it, None while it was not taken again."""

    before: Reading
    after: Reading | None


def value_of(reading: Reading | None) -> float | None:
    """Return the value, or the middle of least and greatest."""
    if reading is None:
        return None
    if reading.value is not None:
        return reading.value
    if reading.least is None or reading.greatest is None:
        return None
    return (reading.least + reading.greatest) / 2.0


def pairs(case: Case) -> list[Pair]:
    """Return every reading from before the mend with the latest one of the same pair after it."""
    after = [r for r in case.readings if r.after_mend]
    found = []
    seen: list[Reading] = []
    for reading in case.readings:
        if reading.after_mend or any(same_pair(reading, other) for other in seen):
            continue
        seen.append(reading)
        latest = [r for r in case.readings if not r.after_mend and same_pair(r, reading)][-1]
        again = [r for r in after if same_pair(reading, r)]
        found.append(Pair(latest, again[-1] if again else None))
    return found
