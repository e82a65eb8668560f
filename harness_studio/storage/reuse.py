"""A line that changed: the values on it that did not change keep the form they were typed in, and their order."""

from __future__ import annotations

from .nodes import Node, Table
from .trees import Fields, Tree, Typed, same


def reused(text: str, node: Node, old: Tree, new: Tree) -> Tree:
    """Return the new tree with values of a flow that stay the same as they were typed (`1.0` stays `1.0`).

    Parameters
    ----------
    text
        The whole source.
    node
        The node of the entry.
    old, new
        What it said and what it is to say.
    """
    if not (isinstance(node, Table) and node.flow and isinstance(old, dict) and isinstance(new, dict)):
        return new
    tree: dict[str, Tree] = Fields() if isinstance(new, Fields) else {}
    for key in source_order(list(node.pairs), old, new):
        pair = node.pairs.get(key)
        if pair is None:
            tree[key] = new[key]
        elif key not in new or (key in old and same(old[key], new[key])):
            typed = _typed(text, pair[1])
            if typed is not None or key in new:
                tree[key] = new[key] if typed is None else typed
        else:
            tree[key] = reused(text, pair[1], old.get(key), new[key])
    return tree


def source_order(in_source: list[str], old: dict[str, Tree] | None, new: dict[str, Tree]) -> list[str]:
    """Return the keys to write: the order of a table is the new one, that of a record the source's.

    A key of the source that neither the old nor the new tree has says what holds anyway: it stays if `old` is known.
    So does a key that the source leaves out because it holds anyway: it is not added unless its value changed.
    """
    if not isinstance(new, Fields):
        return list(new)
    order = [key for key in in_source if key in new or (old is not None and key not in old)]
    kept = set(order)
    at = 0
    for key in new:
        if key in kept:
            at = max(at, order.index(key) + 1)
        elif old is None or key not in old or not same(old[key], new[key]):
            order.insert(at, key)
            at += 1
    return order


def _typed(text: str, node: Node) -> Typed | None:
    typed = text[node.mark.index : node.stop.index]
    return None if "\n" in typed or "\r" in typed or not typed.strip() else Typed(typed)
