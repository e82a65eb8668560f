"""Older project files → the form of this version, as pure functions on the tree of nodes.

A migration takes the top-level table of version n and returns that of version n + 1. Nodes keep the place they were
read from, so a mistake in an old file is still named by its line. Version 1 is the first, so none is registered yet.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping

from .nodes import Node, Scalar, Table

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


def with_pairs(table: Table, pairs: Iterable[tuple[Scalar, Node]]) -> Table:
    """Return a table at the same place that holds other keys and values; for migrations."""
    changed = Table(table.flow, table.mark)
    changed.stop = table.stop
    changed.pairs = {key.text: (key, value) for key, value in pairs}
    return changed


def renamed(table: Table, old: str, new: str) -> Table:
    """Return the table with one key renamed in its place; for migrations."""

    def key(node: Scalar) -> Scalar:
        return Scalar(new, node.plain, node.mark, node.stop) if node.text == old else node

    return with_pairs(table, ((key(node), value) for node, value in table.pairs.values()))
