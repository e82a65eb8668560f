"""Suspect groups: joints and wire lengths that no permitted pair of points can tell apart."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

from harness_studio.network.network import Network

from .state import SOURCE

SOURCE_KINDS = frozenset({"battery", "alternator", "dynamo"})


@dataclass(frozen=True, slots=True)
class Group:
    """Branches in series between two points that can be touched or at which ways meet.

    `members` are addresses of joints and wires; `joint` is the joint whose added resistance stands for them all. A
    'chafed' group holds wires of one way that may be through to the metal `metal`; a 'source' has grown weak.
    """

    members: tuple[str, ...]
    joint: str
    fault: Literal["series", "chafed", "source"] = "series"
    metal: str | None = None


def suspect_groups(network: Network, touchable: tuple[bool, ...]) -> tuple[Group, ...]:
    """Return the groups of a network.

    Two branches are one group if they meet at a point nobody can touch and nothing else does: no third branch, no
    element. Then the same current passes both, and every pair of permitted points has both or neither between them.
    """
    meet: dict[int, list[int]] = {}
    branches = network.branches
    usable = [n for n in range(len(branches)) if not math.isinf(branches.resistance_ohm[n])]
    for number in usable:
        for end in (int(branches.a[number]), int(branches.b[number])):
            meet.setdefault(end, []).append(number)
    carried = {index for element in network.elements for index in element.terminals.values()}
    parent = list(range(len(branches)))
    for point, numbers in meet.items():
        if not touchable[point] and point not in carried and len(numbers) == 2:
            parent[_root(parent, numbers[0])] = _root(parent, numbers[1])
    for first, second in _through_elements(network, meet, touchable):
        parent[_root(parent, first)] = _root(parent, second)
    together: dict[int, list[int]] = {}
    for number in usable:
        together.setdefault(_root(parent, number), []).append(number)
    found = []
    for numbers in together.values():
        members = tuple(branches.address[n] for n in numbers)
        joint = next((m for m in members if m in network.joints), None)
        if joint is not None:
            kinds = {branches.kind[n] for n in numbers}
            found.append(Group(members, joint, "source" if SOURCE in kinds else "series"))
    return tuple(found)


def _through_elements(
    network: Network, meet: Mapping[int, Sequence[int]], touchable: tuple[bool, ...]
) -> Iterator[tuple[int, int]]:
    """Yield the two branches at an element of two hidden terminals: what passes the one contact passes the other."""
    at: dict[int, int] = {}
    for element in network.elements:
        for index in element.terminals.values():
            at[index] = at.get(index, 0) + 1
    for element in network.elements:
        points = list(element.terminals.values())
        lone = all(at[p] == 1 and not touchable[p] and len(meet.get(p, ())) == 1 for p in points)
        if len(points) == 2 and lone and element.kind not in SOURCE_KINDS:
            yield meet[points[0]][0], meet[points[1]][0]


def _root(parent: list[int], at: int) -> int:
    while parent[at] != at:
        parent[at] = parent[parent[at]]
        at = parent[at]
    return at
