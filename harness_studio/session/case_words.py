"""What a case holds, in words: one line for each entry."""

from __future__ import annotations

from collections.abc import Sequence

from harness_studio.model.cases import Case, Mend, Provocation, Reading, Sighting
from harness_studio.model.harness import Harness

UNITS = {"volts": "V", "amperes": "A", "ohms": "Ω", "fuse_mv": "mV"}
KINDS = {
    "volts": "volts", "amperes": "amperes in a wire", "ohms": "ohms, power off", "fuse_mv": "mV across a fuse",
}  # fmt: skip


def mode_words(harness: Harness, mode: str | None) -> str:
    """Return a mode as a person reads it; a mode that is gone keeps its id and is told so."""
    if mode is None:
        return ""
    found = harness.modes.get(mode)
    return (found.title or found.id) if found is not None else f"{mode} (no such mode any more)"


def thing_words(harness: Harness, address: str) -> str:
    """Return a part, or one element of it, as a person reads it: 'E5 rear lamp left, stop'."""
    part, _, element = address.partition("/")
    return harness.title_of(part) + (f", {element}" if element else "")


def tips_words(harness: Harness, plus: str, minus: str) -> str:
    """Return on what two tips are put: 'X18 trailer socket to GB1 battery'; empty where no title tells more."""
    things = []
    for point in (plus, minus):
        thing = point.rpartition("@")[2].partition("/")[0].partition(":")[0]
        things.append(thing if thing in harness.taken_ids() else thing.partition(".")[0])
    said = [harness.title_of(thing) for thing in things]
    return f"{said[0]} to {said[1]}" if said != things else ""


def sighting_words(harness: Harness, sighting: Sighting) -> tuple[str, str]:
    """Return (what it did, under which circumstances)."""
    about = []
    if sighting.from_mode or sighting.to_mode:
        ends = [mode_words(harness, m) for m in (sighting.from_mode, sighting.to_mode)]
        about.append(f"{ends[0]} → {ends[1]}" if all(ends) else f"in {ends[0] or ends[1]}")
    if sighting.strength:
        about.append(sighting.strength)
    if sighting.times:
        about.append(f"{sighting.times[0]} of {sighting.times[1]}")
    if sighting.note:
        about.append(sighting.note)
    return f"{thing_words(harness, sighting.on)}: {sighting.seen}", " · ".join(about)


def provocation_words(provocation: Provocation) -> tuple[str, str]:
    """Return (what was done, what it did)."""
    means: str = provocation.means
    if provocation.minutes is not None and means == "after minutes":
        means = f"after {provocation.minutes:g} min"
    where = f" at {provocation.at}" if provocation.at else ""
    return f"{means}{where}", provocation.did or "what it did is not known"


def where_words(reading: Reading) -> str:
    """Return where a reading is taken: '+ GP9 − GB1.31', 'in W5', 'across F3'."""
    if reading.kind == "amperes":
        return f"in {reading.at or '?'}"
    if reading.kind == "fuse_mv":
        return f"across {reading.at or '?'}"
    return f"+ {reading.plus or '?'}  − {reading.minus or '?'}"


def value_words(reading: Reading) -> str:
    """Return the value with its unit, or least and greatest; 'no value yet'."""
    unit = UNITS[reading.kind]
    if reading.value is not None:
        return f"{number_words(reading.value)} {unit}"
    ends = [number_words(v) if v is not None else "?" for v in (reading.least, reading.greatest)]
    if ends == ["?", "?"]:
        return "no value yet"
    over = f" over {reading.over_s:g} s" if reading.over_s else ""
    return f"{ends[0]} to {ends[1]} {unit}{over}"


def number_words(value: float) -> str:
    """Return a measured number as it was typed, with a true minus sign."""
    return f"{value:.6g}".replace("-", "−")


def reading_words(harness: Harness, reading: Reading) -> tuple[str, str]:
    """Return (where and what, under which circumstances)."""
    about = [mode_words(harness, reading.mode)] if reading.mode else []
    if reading.accuracy is not None:
        about.append(f"± {number_words(reading.accuracy)} {UNITS[reading.kind]}")
    if reading.current_confirmed:
        about.append("current confirmed")
    about.append({"yes": "symptom present", "no": "symptom absent"}.get(reading.symptom_present, ""))
    about += [reading.date or "", reading.note or ""]
    return f"{where_words(reading)}: {value_words(reading)}", " · ".join(a for a in about if a)


def mend_words(mend: Mend) -> tuple[str, str]:
    """Return (what was done, on what, when and by whom)."""
    about = [", ".join(mend.on), str(mend.date or ""), mend.made_by or ""]
    return mend.did, " · ".join(a for a in about if a)


def left_out(notes: Sequence[str], what: str) -> tuple[dict[int, str], list[str]]:
    """Return why entries of a kind ('reading') were left out of the sum, by number from 0, and the other notes."""
    by_number: dict[int, str] = {}
    rest = []
    for note in notes:
        head, found, why = note.partition(" left out: ")
        kind, _, number = head.partition(" ")
        if found and kind == what and number.isdigit():
            by_number[int(number) - 1] = f"left out: {why}"
        else:
            rest.append(note)
    return by_number, rest


def standing(case: Case) -> str:
    """Return how far a case is: 'new', 'open' or 'closed'."""
    if case.closed:
        return "closed"
    return "open" if case.sightings or case.readings or case.provocations or case.mends else "new"


CAUTION = "Back-probe, never pierce; a reading of 0.00 V counts only while the current flows."
