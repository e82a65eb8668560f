"""Where the wires of a page go on: a label beyond each end that is open or leaves the page."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace

from harness_studio.base.geometry import Box
from harness_studio.model.entities import Page
from harness_studio.model.harness import Harness

from .homes import homes
from .labels import Label, label_box, onward_label, where
from .links import owner
from .symbols import Route

SIZE_MM = 3.7
"""As large as the other labels of wires."""
_STEP_MM = 4.0
_TRIES = 10


@dataclass(frozen=True, slots=True)
class Onward:
    """One end of a wire that goes on elsewhere.

    Parameters
    ----------
    label
        What is written, and where.
    box
        The room it takes.
    page, thing
        Where the wire goes on: the first other page that its far point's thing stands on, and that thing; None for an
        end that is open, or whose thing stands on no page.
    down
        Whether an upright end points down.
    """

    label: Label
    box: Box
    page: str | None = None
    thing: str | None = None
    down: bool = False


def onward(harness: Harness, page: Page, routes: Iterable[Route]) -> list[Onward]:
    """Return where the wires of a page go on, by wire and end."""
    leaving = [r for r in routes if r.kind == "wire" and r.wire in harness.wires and any(r.open_ends)]
    if not leaving:
        return []
    pages = pages_of(harness, page)
    titles = {thing: harness.pages[other].title or other for thing, other in pages.items()}
    found = []
    for route in leaving:
        for end in (0, 1):
            if not route.open_ends[end] or len(route.points) < 2:
                continue
            there = harness.wires[route.wire].ends[end]
            thing = owner(there.point) if there.point is not None else None
            label = onward_label(route, end, f"{route.wire}: {where(there, titles)}")
            label = replace(label, size_mm=SIZE_MM)
            goes_on = pages.get(thing) if thing is not None else None
            last, before = (route.points[-1], route.points[-2]) if end == 1 else route.points[:2]
            found.append(
                Onward(
                    label,
                    label_box(label),
                    goes_on,
                    thing if goes_on is not None else None,
                    last.y_mm > before.y_mm,
                )
            )
    return _apart(found)


def _apart(found: list[Onward]) -> list[Onward]:
    """Move labels above and below upright ends on, until they stand on no other one; level ones keep their line."""
    kept = [one for one in found if one.label.align != "middle"]
    for one in found:
        if one.label.align != "middle":
            continue
        away = one
        for _ in range(_TRIES):
            if not any(away.box.meets(other.box) for other in kept):
                break
            by = _STEP_MM if one.down else -_STEP_MM
            label = replace(away.label, at=away.label.at.moved(0.0, by))
            away = replace(away, label=label, box=label_box(label))
        kept.append(away)
    return kept


def pages_of(harness: Harness, page: Page) -> Mapping[str, str]:
    """Return for each thing that is drawn on another page the first such page."""
    found: dict[str, str] = {}
    for other in harness.pages.values():
        if other.id != page.id:
            for thing in homes(harness, other):
                found.setdefault(thing, other.id)
    return found
