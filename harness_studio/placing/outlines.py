"""The symbols of a harness: everything that is drawn, with its extent and the places where its wires leave."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from harness_studio.model.entities import Page
from harness_studio.model.harness import Harness

from .box_drafts import box_draft
from .connector_drafts import connector_draft
from .drafts import Draft
from .homes import homes, mated_groups
from .links import Link, far_ends, keys_by_point, links, owner
from .part_drafts import part_draft
from .return_drafts import body_draft, ground_draft, splice_draft
from .settle import settle
from .symbols import Key, Symbol


@dataclass(frozen=True, slots=True)
class Ends:
    """Where the lines of a harness end.

    Parameters
    ----------
    lines
        Wires and other links.
    at
        Line ends by point.
    points
        Points with line ends, by the id of the thing they belong to.
    far
        The other end of each.
    home
        Id of the symbol that draws each thing.
    """

    lines: list[Link]
    at: dict[str, list[Key]]
    points: dict[str, list[str]]
    far: Mapping[Key, Key | None]
    home: dict[str, str]

    def symbol_of(self, key: Key | None) -> str | None:
        """Return the symbol at which a line ends, or None if it is not drawn."""
        return self.home.get(owner(key[1])) if key else None


def ends_of(harness: Harness, page: Page | None = None) -> Ends:
    """Collect where the lines of a harness end; on a page, only what is placed there has a home."""
    lines = links(harness)
    at = keys_by_point(lines)
    points: dict[str, list[str]] = {}
    for point in at:
        points.setdefault(owner(point), []).append(point)
    return Ends(lines, at, points, far_ends(lines), homes(harness, page))


def symbols(harness: Harness, page: Page | None = None) -> dict[str, Symbol]:
    """Return every symbol by its id.

    Parameters
    ----------
    page
        Only what is placed on it is drawn, and what depends on positions follows them: the order of a comb's teeth, the
        legs of a splice, the sides of a ground's rings, the length of a body's bar. Without a page these are in the
        order of the harness.

    Notes
    -----
    A pure function of the harness and the page. Time grows with the number of wires: about 10,000 wire ends take some
    tenths of a second.
    """
    ends = ends_of(harness, page)
    drafts = draft_symbols(harness, ends)
    if page is not None:
        settle(harness, page, drafts, ends.far, ends.home)
    return {key: draft.finished() for key, draft in drafts.items()}


def draft_symbols(harness: Harness, ends: Ends) -> dict[str, Draft]:
    """Return the drafts of all symbols that have a home, in the order of the harness."""
    groups = mated_groups(harness)
    members: dict[str, list[str]] = {}
    for entity_id, home in ends.home.items():
        members.setdefault(home, []).append(entity_id)
    plugged = _plugged(harness, groups)
    standing: dict[str, int] = {}
    for ground in harness.grounds.values():
        if ground.place:
            standing[owner(ground.place)] = standing.get(owner(ground.place), 0) + 1
    found: dict[str, Draft] = {}
    for home in members:
        points = ends.points.get(home, [])
        if home in harness.parts:
            part = harness.parts[home]
            if part.kind == "box":
                found[home] = box_draft(harness, part, plugged, ends.points, ends.at)
            else:
                found[home] = part_draft(harness, part, plugged.get(home, []), ends.points, ends.at)
        elif home in harness.halves:
            found[home] = connector_draft(harness, home, groups[home], ends.points, ends.at)
        elif home in harness.splices:
            found[home] = splice_draft(harness.splices[home], points, ends.at)
        elif home in harness.grounds:
            found[home] = ground_draft(harness.grounds[home], points, ends.at)
        else:
            found[home] = body_draft(harness.bodies[home], points, ends.at, standing.get(home, 0))
    return found


def _plugged(harness: Harness, groups: Mapping[str, tuple[str, ...]]) -> dict[str, list[tuple[str, ...]]]:
    """Return for each part the groups of mated halves that are plugged onto it, the plugged half first."""
    found: dict[str, list[tuple[str, ...]]] = {}
    taken: set[str] = set()
    for half in harness.halves.values():
        if half.part is None or half.part not in harness.parts or half.id in taken:
            continue
        group = (half.id, *(h for h in groups[half.id] if h != half.id))
        taken.update(group)
        found.setdefault(half.part, []).append(group)
    return found
