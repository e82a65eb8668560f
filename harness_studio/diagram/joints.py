"""Which joint is meant by a click, or by the thing that is selected."""

from __future__ import annotations

from typing import TYPE_CHECKING

from harness_studio.model.harness import Harness

if TYPE_CHECKING:
    from .scene import Hit

JOINING_KINDS = frozenset({"fuse", "breaker", "link", "bus_bar"})
"""Kinds of part that are a joint as a whole."""


def joint_of(harness: Harness, hit: Hit, chosen: str | None = None) -> str | None:
    """Return the address of the joint that a click means, or None if the thing is none.

    A ground is its stud; a ring of it when the ground, or a ring of it, is chosen already.
    """
    if hit.kind == "wire":
        return None
    member, point = hit.member, hit.point
    if member in harness.grounds:
        ring = point if point and "/" in point else None
        here = chosen is not None and chosen.partition("/")[0] == member
        return ring if ring and here and ring != chosen else member
    if point is not None and _is_contact(harness, point):
        return point
    mounted = _mount(harness, point)
    return mounted or joint_of_thing(harness, member)


def joint_of_thing(harness: Harness, thing: str) -> str | None:
    """Return the joint that a thing as a whole is: a splice, ground, fuse, bus bar, or a wire."""
    if thing in harness.splices or thing in harness.grounds or thing in harness.wires:
        return thing
    part = harness.parts.get(thing)
    return thing if part is not None and part.kind in JOINING_KINDS else None


def _is_contact(harness: Harness, point: str) -> bool:
    owner, _, name = point.rpartition("@")[2].partition(".")
    half = harness.halves.get(owner)
    if half is None or not name:
        return False
    wired = {end.point for wire in harness.wires.values() for end in wire.ends}
    others = [f"{other}.{(pairs or {}).get(name, name)}" for other, pairs in half.mates.items()]
    stating = [f"{other.id}.{name}" for other in harness.halves.values() if owner in other.mates]
    return any(p in wired for p in (f"{owner}.{name}", *others, *stating))


def _mount(harness: Harness, point: str | None) -> str | None:
    part = harness.parts.get(point.partition(".")[0]) if point else None
    if part is None or part.mount is None or point != f"{part.id}.{part.mount.terminal}":
        return None
    return f"{point}@{part.mount.place}"
