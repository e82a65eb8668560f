"""Older project files → the form of this version, as pure functions on the tree of nodes.

A migration takes the top-level table of version n and returns that of version n + 1. Nodes keep the place they were
read from, so a mistake in an old file is still named by its line. Version 1 is the first, so none is registered yet.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping

from .nodes import Table

Migration = Callable[[Table], Table]
MIGRATIONS: Mapping[int, Migration] = {}
"""By the version they start from."""


def migrate(root: Table, version: int, newest: int, registry: Mapping[int, Migration] = MIGRATIONS) -> Table:
    """Return the tree in the form of the newest version.

    Raises
    ------
    LookupError
        If a step is missing: the file's version was never released.
    """
    for step in range(version, newest):
        if step not in registry:
            raise LookupError(f"there is no way from version {step} to {step + 1}")
        root = registry[step](root)
    return root


def with_pairs(table: Table, pairs: Mapping[str, tuple[object, object]]) -> Table:
    """Return a table at the same place that holds other pairs of key node and value node; for migrations."""
    changed = Table(table.flow, table.mark)
    changed.stop = table.stop
    changed.pairs = dict(pairs)  # type: ignore[arg-type]
    return changed


def renamed(table: Table, old: str, new: str) -> Table:
    """Return the table with one key renamed in its place; for migrations."""
    return with_pairs(table, {new if name == old else name: pair for name, pair in table.pairs.items()})
