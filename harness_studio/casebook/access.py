"""Which points a meter's tip may touch, and how much trouble each is."""

from __future__ import annotations

from harness_studio.base.ids import split_point
from harness_studio.model.harness import Harness
from harness_studio.network.network import Network

EFFORT = {"at hand": 1.0, "cover off": 1.25, "under the vehicle": 1.75, "unplug": 2.0, "dismantle": 5.0}
"""Effort of a reading by reach class, in readings at hand (common practice, no source).

Most of it is the reading itself: setting the mode, placing both tips, reading off and writing down; taking a cover off
adds less than another reading would.
"""
SCREWED = frozenset(
    {"battery", "fuse", "link", "breaker", "alternator", "dynamo", "starter", "box", "bus_bar", "cut_off"}
)
"""Parts whose terminals are studs, or whose metal shows on top (common practice, no source)."""
COVERS, BARE = frozenset({"terminal", "mated", "bus"}), frozenset({"ring", "stud", "mount"})
"""Kinds of joints that hide what they sit on, and that leave it bare."""
USUAL_REACH = "cover off"
"""Reach of a point that does not say it."""


def permitted(harness: Harness, network: Network) -> tuple[bool, ...]:
    """Tell for each point whether a tip may touch it.

    Posts, clamps, studs, ring tongues, fuse tops, places of bodies and back-probed cavities, yes; splices, wire cores,
    insides of parts and blades hidden by a plugged connector or a pushed-on terminal, no: insulation is never pierced.
    """
    plugged = {half.part for half in harness.halves.values() if half.part}
    centres = set(network.body_centres.values())
    covered = _covered(harness, network)
    found = []
    for index, point in enumerate(network.points):
        owner = _owner(point)
        hidden = point.startswith("~") or index in centres or owner in harness.splices or index in covered
        behind = owner in plugged and owner in harness.parts
        found.append(not hidden and not behind)
    return tuple(found)


def _covered(harness: Harness, network: Network) -> set[int]:
    """Return the blades of parts on which something is pushed, or which sit in a box; screwed ones stay bare."""
    covers: set[int] = set()
    bare: set[int] = set()
    branches = network.branches
    ends = zip(branches.kind, branches.a.tolist(), branches.b.tolist(), strict=True)
    for kind, first, second in ends:
        if kind in COVERS:
            covers.update((first, second))
        elif kind in BARE:
            bare.update((first, second))
    found = set()
    for index in covers - bare:
        point = network.points[index]
        part = harness.parts.get(_owner(point))
        if part is not None and "@" not in point and part.kind not in SCREWED:
            found.add(index)
    return found


def reach(harness: Harness, point: str) -> str:
    """Return the reach class of a point: that of the connector, splice, ground or part it belongs to."""
    owner = _owner(point)
    for table in (harness.halves, harness.grounds):
        if owner in table:
            return getattr(table[owner], "reach", None) or USUAL_REACH
    part = harness.parts.get(owner)
    return "at hand" if part is not None and part.kind == "battery" else USUAL_REACH


def _owner(point: str) -> str:
    at = point.rsplit("@", 1)[-1].lstrip("~")
    return split_point(at)[0] if "." in at else at
