"""Temporary."""

from __future__ import annotations

from .layout import section
from .nodes import Table
from .trees import Fields


def patched(text: str, root: Table | None, old: Fields | None, new: Fields) -> str:
    """Return the text of the new tree."""
    lines: list[str] = []
    for name, tree in new.items():
        lines += section(name, tree)
    return "\n".join(lines) + "\n"
