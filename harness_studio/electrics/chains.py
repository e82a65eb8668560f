"""Chains walked from end to end: in which order their points lie, and which way their branches point."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]
    Ints = NDArray[np.int64]
    Bools = NDArray[np.bool_]


@dataclass(frozen=True, slots=True)
class Walk:
    """All chains of k inner nodes, from the first end on: nodes (chains, k) and branches (chains, k + 1) in order."""

    nodes: Ints
    branches: Ints

    def parts(self, ohm: Floats) -> Floats:
        """Return what is left of each chain from its nodes to its second end, over the whole: (chains, k).

        A step too small for the digits still turns the last of them, so that the direction along the chain is kept.
        Nodes before a branch that is open hang on the first end (1), those behind it on the second (0).
        """
        import numpy as np

        left = np.cumsum(ohm[self.branches][:, ::-1], axis=1)[:, ::-1]
        with np.errstate(invalid="ignore"):
            part: Floats = left[:, 1:] / left[:, :1]
        broken = np.isinf(left[:, 0])
        if broken.any():
            part[broken] = np.isinf(left[broken, 1:])
        falls = np.diff(part, axis=1, prepend=1.0) < 0.0
        if not falls.all():
            above = np.ones(len(part))
            for k in range(part.shape[1]):
                turned = np.minimum(part[:, k], np.nextafter(above, -1.0))
                part[:, k] = above = np.where(broken, part[:, k], turned)
        return part


@dataclass(frozen=True, slots=True)
class Chains:
    """The chains of a network.

    Parameters
    ----------
    walks
        Those with two ends, by their number of inner nodes.
    dangling
        Inner nodes of those with one end.
    sign
        +1 for a branch that points along its chain (from the first end to the second), or is none of a chain; else -1.
    """

    walks: tuple[Walk, ...]
    dangling: Ints
    sign: Floats


def walked(inner: Bools, a: Ints, b: Ints, starts: Ints) -> Chains:
    """Walk every chain.

    Parameters
    ----------
    inner
        Whether a node lies within a chain: it has two branches at most.
    a, b
        Nodes at the ends of each branch.
    starts
        The first branch of each chain.
    """
    import numpy as np

    slots = _slots(inner, a, b)
    sign = np.ones(len(a))
    at = np.where(inner[a[starts]], a[starts], b[starts])
    sign[starts] = np.where(a[starts] == at, -1.0, 1.0)
    nodes, branches, dangling = [at], [starts], [np.zeros(0, dtype=np.int64)]
    walks: list[Walk] = []
    while len(at):
        here = slots[at]
        onward = np.where(here[:, 0] == branches[-1], here[:, 1], here[:, 0])
        leads = onward >= 0
        if not leads.all():
            dangling += [column[~leads] for column in nodes]
            nodes, branches = [c[leads] for c in nodes], [c[leads] for c in branches]
            at, onward = at[leads], onward[leads]
        along = a[onward] == at
        sign[onward] = np.where(along, 1.0, -1.0)
        at = np.where(along, b[onward], a[onward])
        branches.append(onward)
        ends = ~inner[at]
        if ends.any():
            walks.append(
                Walk(*(np.column_stack([c[ends] for c in columns]) for columns in (nodes, branches)))
            )
            nodes, branches, at = [c[~ends] for c in nodes], [c[~ends] for c in branches], at[~ends]
        nodes.append(at)
    return Chains(tuple(walks), np.concatenate(dangling), sign)


def _slots(inner: Bools, a: Ints, b: Ints) -> Ints:
    """Return the branches of each inner node, -1 for none: (nodes, 2)."""
    import numpy as np

    node, branch = np.concatenate((a, b)), np.tile(np.arange(len(a)), 2)
    within = inner[node]
    node, branch = node[within], branch[within]
    order = np.argsort(node, kind="stable")
    node, branch = node[order], branch[order]
    first = np.ones(len(node), dtype=bool)
    first[1:] = node[1:] != node[:-1]
    slots = np.full((len(inner), 2), -1, dtype=np.int64)
    slots[node[first], 0] = branch[first]
    slots[node[~first], 1] = branch[~first]
    return slots
