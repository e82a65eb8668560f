"""What goes dead and what gets weaker when a joint is open: a fuse pulled, a splice come apart, a stud off."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from harness_studio.model.harness import Harness
from harness_studio.network.network import Network

from .other_grounds import branches_of
from .readings import Change, compare, one_each, readings
from .solve import solve
from .sweep import Base, prepare
from .sweep_rows import sweep_rows

DEAD_SHARE = 0.05
"""Part of its volts below which a load is dead."""


@dataclass(frozen=True, slots=True)
class Pulled:
    """Changes of an open joint, one for each part: what goes dead, and what else one would notice."""

    dead: tuple[Change, ...]
    changed: tuple[Change, ...]

    @property
    def dead_parts(self) -> tuple[str, ...]:
        """Ids of the parts that go dead."""
        return tuple(dict.fromkeys(part_of(c) for c in self.dead))


def part_of(change: Change) -> str:
    """Return the part whose reading changes."""
    return change.reading.partition(" ")[0].partition("/")[0]


def pulled(changes: Sequence[Change]) -> Pulled:
    """Sort the changes of an open joint; what nobody would notice is left out."""
    told = one_each([c for c in changes if c.weight >= 1.0])
    volts = {part_of(c): c for c in changes if c.reading.endswith(" volts")}
    dead = tuple(c for c in told if _dead(c) or (part_of(c) in volts and _dead(volts[part_of(c)])))
    return Pulled(dead, tuple(c for c in told if c not in dead))


def _dead(change: Change) -> bool:
    if change.bad is None:
        return True
    if change.clean is None:
        return False
    what = change.reading.rpartition(" ")[2]
    if what in ("light", "speed", "rate"):
        return change.bad < 0.5 <= change.clean
    return what == "volts" and abs(change.bad) < DEAD_SHARE * abs(change.clean)


def if_pulled(harness: Harness, network: Network, joint: str, base: Base | None = None) -> Pulled | None:
    """Return what an open joint does, or a splice with all its legs; None for what is no joint or is open already.

    Parameters
    ----------
    base
        The prepared state of the network, to use it again.

    Raises
    ------
    SolveError
        If there is no solution, as it is or with the joint open.
    """
    number = network.joints.get(joint)
    if network.grounded is None:
        return None
    if number is None:
        changes = changes_apart(harness, network, joint)
        return None if changes is None else pulled(changes)
    base = base or prepare(network)
    if math.isinf(float(base.done.ohm[number])):
        return None
    address = network.branches.address[number]
    row = next((r for r in sweep_rows(harness, base, [math.inf], [address]) if r.joint == address), None)
    return None if row is None or row.failed else pulled(row.changes)


def changes_apart(harness: Harness, network: Network, splice: str) -> list[Change] | None:
    """Return what changes when a splice or bus bar comes apart altogether; None for what has no legs.

    Raises
    ------
    SolveError
        If there is no solution, as it is or with the legs open.
    """
    legs = branches_of(network, splice)
    if not legs:
        return None
    ohm = network.branches.resistance_ohm.copy()
    ohm[legs] = math.inf
    after = solve(replace(network, branches=replace(network.branches, resistance_ohm=ohm)))
    return compare(readings(harness, solve(network)), readings(harness, after))
