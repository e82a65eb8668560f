"""What was taken from the stock last, kept from one time to the next."""

from __future__ import annotations

import json

from harness_studio.desktop.remembered import settings

MOST = 9
"""One for each number key."""
_KEY = "drawing/recent"


def recent() -> list[str]:
    """Return the short names of what was taken last, the latest first."""
    try:
        kept = json.loads(str(settings().value(_KEY, "[]")))
    except ValueError:
        return []
    return [str(key) for key in kept][:MOST] if isinstance(kept, list) else []


def taken(key: str) -> list[str]:
    """Take note of a thing that was taken.

    A thing keeps its place, and so its number key, until newer ones push it out.
    """
    now = recent()
    if key not in now:
        now = [key, *now][:MOST]
        settings().setValue(_KEY, json.dumps(now))
    return now
