"""What may stand as the key of an entry."""

from __future__ import annotations

from harness_studio.base.ids import is_id

FREE_KEYS = frozenset({"settings", "joints", "accepted", "revisions"})
"""Sections whose keys are no ids: addresses, rule and id, or the letters of a revision."""


def key_problem(section: str, key: str) -> str | None:
    """Return why `key` cannot be a key of the section, in one sentence, or None if it can.

    A body may be named `unknown`: only its places are points, so it is never taken for an unknown end.
    """
    if section in FREE_KEYS or is_id(key) or (section == "bodies" and key == "unknown"):
        return None
    return f"'{key}' cannot be an id: letters, digits, _ and - only; 'cut' and 'unknown' are reserved"
