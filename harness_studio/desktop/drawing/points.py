"""Points a wire may end on, as rows of a list: what is typed need not be there yet on a part that takes any name."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from harness_studio.base.errors import EditError
from harness_studio.base.ids import is_name
from harness_studio.desktop.finder import Row
from harness_studio.model.drawing.laying import check_end
from harness_studio.model.harness import Harness
from harness_studio.model.values import End

MOST = 60


def points_of(harness: Harness, thing: str) -> list[str]:
    """Return the points of a thing that a wire may end on."""
    if thing in harness.splices or thing in harness.grounds:
        return [thing]
    if thing in harness.parts:
        return [f"{thing}.{name}" for name in harness.parts[thing].terminals() or ("1",)]
    if thing in harness.halves:
        return [f"{thing}.{name}" for name in harness.halves[thing].cavity_names() or ("1",)]
    return list(harness.body_places(thing)) if thing in harness.bodies else []


def rows_of(harness: Harness, text: str, first: Sequence[str]) -> list[Row]:
    """Return the points that hold every word of a text, some of them first; one that is typed in full before all."""
    words = text.lower().split()
    typed = _typed(harness, text.strip())
    rows = [Row(typed, typed, "", "as typed")] if typed else []
    wired = _wired(harness)
    for point in dict.fromkeys([*first, *(_points(harness) if words or not first else ())]):
        thing = point.partition(".")[0]
        said = f"{point} {harness.title_of(thing)}"
        if point != typed and all(word in said.lower() for word in words):
            title = harness.title_of(thing).removeprefix(thing).strip()
            count = wired.get(point, 0)
            rows.append(
                Row(point, point, title, f"{count} wires" if count > 1 else "1 wire" if count else "")
            )
        if len(rows) >= MOST:
            break
    return rows


def _typed(harness: Harness, text: str) -> str | None:
    thing, _, name = text.partition(".")
    if not text or (name and not is_name(name)):
        return None
    try:
        check_end(harness, End("point", text))
    except EditError:
        return None
    return text if thing in harness.taken_ids() else None


def _points(harness: Harness) -> Iterator[str]:
    for section in ("parts", "halves", "splices", "grounds", "bodies"):
        for thing in harness.tables[section]:
            yield from points_of(harness, thing)


def _wired(harness: Harness) -> dict[str, int]:
    found: dict[str, int] = {}
    for wire in harness.wires.values():
        for end in wire.ends:
            if end.point is not None:
                found[end.point] = found.get(end.point, 0) + 1
    return found
