"""What one harness has that another has not: as an edit that leads from one to the other, and in words."""

from __future__ import annotations

from harness_studio.base.changes import Changes
from harness_studio.model.edits import Edit, Put, Remove, Together
from harness_studio.model.harness import SECTIONS, Harness

NAMES = {
    "settings": ("settings", "settings"),
    "bodies": ("body", "bodies"),
    "bonds": ("stray bond", "stray bonds"),
    "zones": ("zone", "zones"),
    "breakouts": ("breakout", "breakouts"),
    "runs": ("run", "runs"),
    "parts": ("part", "parts"),
    "halves": ("connector half", "connector halves"),
    "splices": ("splice", "splices"),
    "grounds": ("ground", "grounds"),
    "wires": ("wire", "wires"),
    "multicores": ("multicore", "multicores"),
    "modes": ("mode", "modes"),
    "joints": ("joint", "joints"),
    "origins": ("origin", "origins"),
    "cases": ("case", "cases"),
    "accepted": ("accepted finding", "accepted findings"),
    "annotations": ("note", "notes"),
    "photos": ("photo", "photos"),
    "revisions": ("revision", "revisions"),
    "pages": ("page", "pages"),
}
"""What one and several things of a section are called."""

_NAMED_AT_MOST = 2


def difference(before: Harness, after: Harness) -> Changes:
    """Return which ids `after` has more, has no more, and has otherwise than `before`."""
    added, removed, updated = set(), set(), set()
    for section in SECTIONS:
        old, new = before.tables[section], after.tables[section]
        added |= {(section, key) for key in new if key not in old}
        removed |= {(section, key) for key in old if key not in new}
        updated |= {(section, key) for key in new if key in old and new[key] != old[key]}
    return Changes(frozenset(added), frozenset(removed), frozenset(updated))


def edit_to(before: Harness, after: Harness, words: str) -> Together:
    """Return the step that makes `before` hold what `after` holds. The order within sections is not taken over."""
    changes = difference(before, after)
    edits: list[Edit] = [Remove(section, key) for section, key in sorted(changes.removed)]
    for section in SECTIONS:
        table = after.tables[section]
        edits += [Put(section, table[key]) for key in table if (section, key) in changes.refs]
    return Together(tuple(edits), words)


def in_words(changes: Changes) -> str:
    """Return what changed in a line: '3 wires added, GP2 changed, 1 splice removed'; empty for nothing."""
    said = []
    for refs, what in ((changes.added, "added"), (changes.updated, "changed"), (changes.removed, "removed")):
        for section in SECTIONS:
            ids = sorted(key for where, key in refs if where == section)
            if not ids:
                continue
            one, many = NAMES[section]
            if section == "settings":
                said.append(f"settings {what}")
            elif len(ids) <= _NAMED_AT_MOST:
                said.append(f"{one if len(ids) == 1 else many} {' and '.join(ids)} {what}")
            else:
                said.append(f"{len(ids)} {many} {what}")
    return ", ".join(said)
