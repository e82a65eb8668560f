"""What a load of the ground map reads, now and clean, in a few words; and which other grounds it returns by."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

from harness_studio.diagram.search import pages_with_each
from harness_studio.diagram.words import signed, volts

if TYPE_CHECKING:
    from harness_studio.electrics.readings import Reading
    from harness_studio.electrics.shares import Share, Shares
    from harness_studio.model.harness import Harness
    from harness_studio.session.session import Session

    Readings = Mapping[str, Reading]

ORDER = ("needle", "light", "rate", "measured", "volts", "speed")
"""Which reading of a load is told first: what a person sees before what a meter shows."""
READERS = ("gauge", "voltmeter", "control_unit")


def readings_of(session: Session, part: str, element: str | None, circuit: str | None) -> list[str]:
    """Return the keys of a load's readings, the one that is told first in front.

    A sender has none of its own: it is read by the gauge of its circuit.
    """
    now = session.computed.readings
    found = [key for key, r in now.items() if r.id == element]
    found = found or [key for key, r in now.items() if r.id.split("/", 1)[0] == part]
    if not found and circuit:
        readers = {p.id for p in session.harness.parts.values() if p.kind in READERS and p.circuit == circuit}
        found = [key for key, r in now.items() if r.id.split("/", 1)[0] in readers]
    return sorted(found, key=lambda key: ORDER.index(now[key].what))


def short_words(value: float | None, what: str, unit: str) -> str:
    """Return a value as it stands in a narrow column: '11.2 V', '65 % light', '0.75', 'none'."""
    if value is None:
        return "none"
    if what == "light":
        return f"{value:.0f} % light" if value >= 0.5 else "dark"
    if what == "speed":
        return f"{value:.0f} % speed" if value >= 0.5 else "stands"
    if what == "volts":
        return volts(value)
    if what == "needle":
        return f"{signed(value, 2)} of scale"
    if what == "rate":
        return f"{value:.0f} /min"
    return f"{signed(value, 1)} {unit}"


def now_and_clean(session: Session, row: Share) -> tuple[str, str, bool]:
    """Return a load's reading now and clean, and whether a person notices the difference."""
    from harness_studio.electrics.readings import compare

    keys = readings_of(session, row.part, row.element, row.circuit)
    if not keys:
        return "", "", False
    key, computed = keys[0], session.computed
    now, clean = computed.readings[key], computed.clean_readings.get(key)
    said = short_words(now.value, now.what, now.unit)
    if clean is None:
        return said, "", False
    changes = compare({key: clean}, {key: now})
    noticed = bool(changes) and changes[0].weight >= 1.0
    return said, short_words(clean.value, clean.what, clean.unit), noticed


def read_by(session: Session, row: Share) -> str | None:
    """Return the part that shows a load's reading, where that is not the load itself."""
    keys = readings_of(session, row.part, row.element, row.circuit)
    reader = session.computed.readings[keys[0]].id.split("/", 1)[0] if keys else row.part
    return reader if reader != row.part else None


def other_grounds(session: Session, found: Shares) -> Mapping[str, str]:
    """Return by return point the other grounds that take what the joint does not, in words: 'GP5, page Rear'.

    A ground in series with the joint carries the joint's part once more and is none.
    """
    from harness_studio.electrics.other_grounds import also_by

    network, solution = session.computed.network, session.solution
    if network is None or solution is None:
        return {}
    harness = session.harness
    own = found.joint.partition("/")[0]
    also = also_by(harness, network, solution, found)
    pages = pages_with_each(harness, {own, *(g for grounds in also.values() for g in grounds)})
    said = {g: _with_page(harness, g, pages[g], set(pages[own])) for g in pages}
    return {point: ", ".join(said[g] for g in grounds) for point, grounds in also.items() if grounds}


def _with_page(harness: Harness, ground: str, pages: list[str], here: set[str]) -> str:
    if not pages or not here or here & set(pages):
        return ground
    return f"{ground}, page {harness.pages[pages[0]].title or pages[0]}"


def titled(harness: Harness, key: str) -> str:
    """Return whose reading it is: 'M2 fuel pump'."""
    return harness.title_of(key.split(" ", 1)[0].split("/", 1)[0])
