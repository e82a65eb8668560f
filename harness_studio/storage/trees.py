"""The harness as it is to be written: plain dicts, lists and texts, before anybody thinks of lines and quotes."""

from __future__ import annotations

from typing import TypeAlias

Tree: TypeAlias = "str | list[Tree] | dict[str, Tree] | None"
"""A text, nothing, a list, or values by key."""


class Fields(dict[str, Tree]):
    """Values by key where the keys are those of a record: their order says nothing."""

    __slots__ = ()


class Typed(str):
    """A value as it was typed in a file, quotes and all; it is written as it is."""

    __slots__ = ()


def same(one: Tree, other: Tree) -> bool:
    """Tell whether two trees say the same; the order of a table counts, that of a record does not."""
    if isinstance(one, dict) and isinstance(other, dict):
        if isinstance(one, Fields) != isinstance(other, Fields) or len(one) != len(other):
            return False
        if isinstance(one, Fields):
            return all(key in other and same(value, other[key]) for key, value in one.items())
        return all(
            k1 == k2 and same(v1, v2) for (k1, v1), (k2, v2) in zip(one.items(), other.items(), strict=True)
        )
    if isinstance(one, list) and isinstance(other, list):
        return len(one) == len(other) and all(same(a, b) for a, b in zip(one, other, strict=True))
    return one == other


def number_text(value: float) -> str:
    """Return the shortest text that reads back as the same number: 1400, 0.2, 1e-07; 'open' for infinity."""
    number = float(value)
    if number == float("inf"):
        return "open"
    if abs(number) < 1e15 and number == int(number):
        return str(int(number))
    return repr(number)
