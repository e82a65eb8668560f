"""Whether what was read fits together: every reference names something, and nothing contradicts itself."""

from __future__ import annotations

from harness_studio.base.errors import AddressError
from harness_studio.model.conflicts import conflicts
from harness_studio.model.references import Reference, problem_with, references

from .nodes import Listing, Node, Scalar, Table
from .reading import Reader
from .sections import Read


def judge(read: Read, reader: Reader) -> None:
    """Note every reference that names nothing and every contradiction, each at its place in the file.

    A reference to an entry that could not be read is passed over: that entry's own mistake is noted already.
    """
    harness = read.harness
    failed = {key for _, key in read.failed}
    for section, table in harness.tables.items():
        for key, entity in table.items():
            for reference in references(section, entity):
                problem = problem_with(harness, reference)
                if problem and not (failed and _target(reference) in failed):
                    node = place_of(read, section, key, reference.path, reference.text)
                    reader.note(node, problem, (section, key, *words(reference.path)))
    for conflict in conflicts(harness):
        node = place_of(read, conflict.section, conflict.key, conflict.path, str(conflict.path[-1]))
        reader.note(node, conflict.text, (conflict.section, conflict.key, *words(conflict.path)))


def _target(reference: Reference) -> str:
    try:
        return reference.target
    except AddressError:
        return reference.text


def words(path: tuple[str | int, ...]) -> list[str]:
    """Return the names in a path; positions in lists are found by line and column."""
    return [step for step in path if isinstance(step, str)]


def place_of(read: Read, section: str, key: str, path: tuple[str | int, ...], text: str) -> Node:
    """Return the node of a reference: as far down the path as the file spells it out.

    Where the last step is a key that itself is the reference (`set: {S1: released}`), that key's node.
    """
    node = read.nodes[section][key][1]
    if section == "origins":
        path = path[1:]
    for position, step in enumerate(path):
        if isinstance(node, Table) and isinstance(step, str) and step in node.pairs:
            key_node, value = node.pairs[step]
            if position == len(path) - 1 and step == text:
                return key_node
            node = value
        elif isinstance(node, Listing) and isinstance(step, int) and step < len(node.items):
            node = node.items[step]
        elif isinstance(node, Listing):
            named = (item for item in node.items if isinstance(item, Scalar) and item.text == step)
            node = next(named, node)
    return node
