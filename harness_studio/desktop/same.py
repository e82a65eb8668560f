"""Whether a page has something new to show."""

from __future__ import annotations

PLAIN = (str, int, float, bool, tuple, frozenset, type(None))


def same(before: tuple[object, ...], now: tuple[object, ...]) -> bool:
    """Tell whether two states are one: plain values by their worth, results (which hold arrays) by what they are."""
    return len(before) == len(now) and all(
        a is b or (isinstance(a, PLAIN) and isinstance(b, PLAIN) and a == b)
        for a, b in zip(before, now, strict=True)
    )
