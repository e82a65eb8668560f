"""Everything that is drawn as a line between two points: wires, bonds, cases on bodies, studs on bodies."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Literal

from harness_studio.model.harness import Harness
from harness_studio.model.parts import Part

from .symbols import Key

LinkKind = Literal["wire", "bond", "mount", "stud"]


@dataclass(frozen=True, slots=True)
class Link:
    """A line from the first point to the second; None for an end that is open.

    `id` is a wire's or bond's id, or the joint's address of a case or stud that is fixed to a body.
    """

    id: str
    kind: LinkKind
    ends: tuple[str | None, str | None]


def owner(point: str) -> str:
    """Return the id of the thing a point belongs to: X7 for 'X7.3', GP2 for 'W40@GP2'."""
    return point.rpartition("@")[2].partition(".")[0]


def thing_of(address: str) -> str:
    """Return the id of the thing an id or any address belongs to: GP2 for 'GP2/W31' and 'W31@GP2', X7 for 'X7.3'."""
    thing = address.rpartition("@")[2]
    for mark in "/.:":
        thing = thing.partition(mark)[0]
    return thing


def links(harness: Harness) -> list[Link]:
    """Return all lines of a harness, wires first, in the harness's order. A wire open at both ends is none."""
    return [line for key in line_ids(harness) if (line := link(harness, key)) is not None]


def line_ids(harness: Harness) -> list[str]:
    """Return the ids of all lines, wires first, in the harness's order."""
    found = [*harness.wires, *harness.bonds]
    found += [_mount_id(part) for part in harness.parts.values() if part.mount]
    found += [g.id for g in harness.grounds.values() if g.place]
    return found


def is_line(harness: Harness, line_id: str) -> bool:
    """Tell whether `line_ids` gives an id."""
    if line_id in harness.wires or line_id in harness.bonds:
        return True
    ground = harness.grounds.get(line_id)
    if ground is not None:
        return bool(ground.place)
    part = harness.parts.get(owner(line_id.partition("@")[0]))
    return part is not None and part.mount is not None and _mount_id(part) == line_id


def link(harness: Harness, line_id: str) -> Link | None:
    """Return the line of an id that `line_ids` gives, or None for a wire that is open at both ends."""
    wire = harness.wires.get(line_id)
    if wire is not None:
        ends = wire.ends[0].point, wire.ends[1].point
        return Link(line_id, "wire", ends) if ends[0] or ends[1] else None
    if line_id in harness.bonds:
        return Link(line_id, "bond", harness.bonds[line_id].ends)
    ground = harness.grounds.get(line_id)
    if ground is not None:
        return Link(line_id, "stud", (line_id, ground.place))
    case, _, place = line_id.partition("@")
    return Link(line_id, "mount", (case, place))


def _mount_id(part: Part) -> str:
    assert part.mount is not None  # only such parts are asked for
    return f"{part.id}.{part.mount.terminal}@{part.mount.place}"


def keys_by_point(lines: Iterable[Link]) -> dict[str, list[Key]]:
    """Return the line ends at each point, in order."""
    found: dict[str, list[Key]] = {}
    for line in lines:
        for point in line.ends:
            if point is not None:
                found.setdefault(point, []).append((line.id, point))
    return found


def far_ends(lines: Iterable[Link]) -> Mapping[Key, Key | None]:
    """Return for each line end the end at the other side, or None where that is open."""
    found: dict[Key, Key | None] = {}
    for line in lines:
        first, second = line.ends
        if first is not None:
            found[line.id, first] = None if second is None else (line.id, second)
        if second is not None:
            found[line.id, second] = None if first is None else (line.id, first)
    return found
