"""A connector half on the bench: each cavity's colour, stripe, size and printed mark, as one edit a cavity.

An empty cavity gets a wire whose other end is open. A wire that is there and still open at its other end is corrected;
one that was designed keeps its design, and what differs is written down as found.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Any

from harness_studio.base.ids import is_id, is_name, point
from harness_studio.model.edits import Edit, Put, Together
from harness_studio.model.entities import Half, Wire
from harness_studio.model.harness import Harness
from harness_studio.model.values import AsFound, At, Cavity, End
from harness_studio.placing.faces import face_shape, natural

from .quantities import Refused, read_size, show_size
from .typed import read_colour

PLUGS = {"plug": "fitted", "plugged": "fitted", "empty": "missing", "open": "missing"}
"""What may be typed instead of a colour where no wire is."""
MOST_CAVITIES = 400
_BESIDE_MM = 60.0


@dataclass(frozen=True, slots=True)
class Seen:
    """What was typed for one cavity."""

    colour: str = ""
    stripe: str = ""
    size: str = ""
    mark: str = ""

    @property
    def nothing(self) -> bool:
        """Whether nothing was typed."""
        return not (self.colour or self.stripe or self.size or self.mark)


def cavities_of(harness: Harness, half_id: str) -> list[str]:
    """Return the cavities of a half in reading order, those that only wires name after the others."""
    used = [at.partition(".")[2] for at in _points(harness) if at.partition(".")[0] == half_id]
    shape = face_shape(harness.halves[half_id], sorted(dict.fromkeys(used), key=natural))
    return [cell.name for cell in shape.cells]


def _points(harness: Harness) -> Iterator[str]:
    for wire in harness.wires.values():
        for end in wire.ends:
            if end.point and "@" not in end.point:
                yield end.point


def wires_at(harness: Harness, half_id: str) -> dict[str, list[Wire]]:
    """Return the wires of a half by cavity."""
    found: dict[str, list[Wire]] = {}
    for wire in harness.wires.values():
        for end in wire.ends:
            owner, _, name = (end.point or "").partition(".")
            if owner == half_id:
                found.setdefault(name, []).append(wire)
    return found


def next_id(harness: Harness, letter: str) -> str:
    """Return the next free id of a letter: W91 after W90."""
    taken = harness.taken_ids()
    numbers = [int(m[1]) for i in taken if (m := re.fullmatch(rf"{letter}(\d{{1,9}})", i))]
    return f"{letter}{max(numbers, default=0) + 1}"


def read_seen(seen: Seen) -> dict[str, Any]:
    """Return the fields of a wire that were seen.

    Raises
    ------
    Refused
        If colour, stripe or size cannot be read.
    """
    found: dict[str, Any] = {}
    codes: list[str] = []
    for word in (seen.colour, seen.stripe):
        codes += read_colour(word).split("/") if word.strip() else []
    if seen.stripe.strip() and not seen.colour.strip():
        raise Refused("a stripe needs a colour to lie on: type the base colour first")
    if codes:
        found["colour"] = "/".join(dict.fromkeys(codes))
    if seen.size.strip():
        try:
            found["area_mm2"], found["awg"] = read_size(seen.size)
        except ValueError as error:
            raise Refused(str(error)) from None
    if seen.mark.strip():
        found["marked"] = seen.mark.strip()
    return found


def capture_edit(harness: Harness, half_id: str, cavity: str, seen: Seen) -> Edit | None:
    """Return the one edit that writes down what was seen at a cavity; None where nothing was typed.

    Raises
    ------
    Refused
        If something typed cannot be read.
    """
    plug = PLUGS.get(seen.colour.strip().lower())
    here = wires_at(harness, half_id).get(cavity, [])
    if plug:
        if here:
            raise Refused(f"{here[0].id} is in cavity {cavity}: move its end first")
        return Together((Put("halves", _with_cavity(harness, half_id, cavity, plug=plug)),),
                        f"{half_id} cavity {cavity}: {seen.colour.strip().lower()}")  # fmt: skip
    if seen.nothing:
        return None
    found = read_seen(seen)
    said = " ".join(filter(None, [found.get("colour"), show_size(found.get("area_mm2"), found.get("awg")),
                                  found.get("marked")]))  # fmt: skip
    wire = _seen_on(here[0], found) if here else _new_wire(harness, half_id, cavity, found)
    steps: list[Edit] = []
    if cavity not in harness.halves[half_id].cavity_names():
        steps.append(Put("halves", _with_cavity(harness, half_id, cavity)))
    return Together((*steps, Put("wires", wire)), f"{half_id} cavity {cavity}: {said}")


def _with_cavity(harness: Harness, half_id: str, name: str, **fields: Any) -> Half:
    half = harness.halves[half_id]
    cavity = replace(half.cavities.get(name, Cavity()), **fields)
    return replace(half, cavities={**half.cavities, name: cavity})


def _new_wire(harness: Harness, half_id: str, cavity: str, found: dict[str, Any]) -> Wire:
    ends = (End("point", point(half_id, cavity)), End("unknown"))
    return Wire(next_id(harness, "W"), ends, **found)


def _seen_on(wire: Wire, found: dict[str, Any]) -> Wire:
    """Return the wire with what was seen: written into what is not known, beside what is designed otherwise."""
    if any(end.point is None for end in wire.ends):
        return replace(wire, **found)
    as_found = wire.as_found or AsFound()
    for names in (("colour",), ("area_mm2", "awg"), ("marked",)):
        seen = {name: found[name] for name in names if name in found}
        held = {name: getattr(wire, name) for name in names}
        if not seen:
            continue
        if not any(held.values()):
            wire = replace(wire, **seen)
        elif seen != held:
            as_found = replace(as_found, **seen)
        else:
            as_found = replace(as_found, **dict.fromkeys(names))
    return replace(wire, as_found=None if as_found == AsFound() else as_found)


def new_half(harness: Harness, text: str) -> Half:
    """Read a new connector half: its id and how many cavities it has, as in 'X30 8' or 'X30 2x4'.

    Raises
    ------
    Refused
        If it is none, or the id is taken.
    """
    found = re.fullmatch(r"(\S+)\s+(\d{1,3})(?:\s*[x×*]\s*(\d{1,3}))?", text.strip())
    if not found or not is_id(found[1]):
        raise Refused(
            f"'{text}' is no connector here: to put a new one on the bench write its id and cavities: X30 8"
        )
    used = harness.section_of(found[1])
    if used:
        raise Refused(f"the id {found[1]} is already used in {used}")
    count = int(found[2]) * int(found[3] or 1)
    if not 0 < count <= MOST_CAVITIES:
        raise Refused(f"{count} cavities: a connector here has 1 to {MOST_CAVITIES}")
    names = [str(n) for n in range(1, count + 1)]
    assert all(is_name(n) for n in names)
    return Half(found[1], cavities={name: Cavity() for name in names})


def put_on_bench(harness: Harness, half: Half, page_id: str | None) -> Edit:
    """Return the one edit that adds a new half; on a page it stands to the right of everything."""
    steps: list[Edit] = [Put("halves", half)]
    page = harness.pages.get(page_id or "")
    if page is not None:
        x_mm = max((at.x_mm for at in page.items.values()), default=0.0) + _BESIDE_MM
        y_mm = min((at.y_mm for at in page.items.values()), default=0.0)
        steps.append(Put("pages", replace(page, items={**page.items, half.id: At(x_mm, y_mm)})))
    return Together(tuple(steps), f"put {half.id} on the bench")


def line_of(harness: Harness, half_id: str, cavity: str, wires: list[Wire]) -> str:
    """Return what is known of a cavity in one line."""
    known = harness.halves[half_id].cavities.get(cavity, Cavity())
    if not wires:
        plug = {"fitted": "plug", "missing": "empty"}.get(known.plug or "", "")
        return plug or known.function or ""
    said = []
    for wire in wires:
        far = next((e for e in wire.ends if e.point != point(half_id, cavity)), wire.ends[1])
        parts = [wire.colour or "?", show_size(wire.area_mm2, wire.awg), wire.marked or ""]
        found = f"(found {wire.as_found.colour})" if wire.as_found and wire.as_found.colour else ""
        said.append(" ".join(p for p in [*parts, found, f"{wire.id} to {far}"] if p))
    return ", ".join(said)
