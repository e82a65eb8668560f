"""What the rules look at: a harness, the limits in force, and its modes solved; what several rules need, once."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from functools import cached_property
from typing import TYPE_CHECKING

from harness_studio.base.errors import HarnessError
from harness_studio.electrics.returns import Metal, metal_of
from harness_studio.electrics.solution import Solution
from harness_studio.electrics.solve import solve
from harness_studio.model.harness import Harness
from harness_studio.network.expand import expand
from harness_studio.network.network import Network, Overrides
from harness_studio.standards.figures import NotJudged

from .carrying import Carried, carried
from .how import How
from .limits import LimitSet, in_force
from .loads import Load, Posts, loads_of, posts_of
from .protection import Protection, protection
from .shorts import Shorts
from .studs import Studs, studs_of
from .warmth import Warmth

if TYPE_CHECKING:
    from .causes import Causes


class NothingToJudge(HarnessError):
    """A harness that cannot be expanded: the modes without a solution say why, no rule needs to say it again."""


Neighbours = dict[int, list[tuple[int, int]]]
"""By point (branch, other point). Numbers of one network only: those of another mode differ."""


def neighbours_of(network: Network) -> Neighbours:
    """Return the metal that is closed in any mode: no fuses, switches and relays."""
    branches, found = network.branches, Neighbours()
    ends = zip(branches.a.tolist(), branches.b.tolist(), branches.kind, strict=True)
    for number, (a, b, kind) in enumerate(ends):
        if kind not in ("fuse", "switch", "relay"):
            found.setdefault(a, []).append((number, b))
            found.setdefault(b, []).append((number, a))
    return found


class State:
    """A harness solved in one mode, and what rules read off it, each computed when first asked for."""

    def __init__(self, scope: Scope, mode: str | None, solution: Solution) -> None:
        self.scope = scope
        self.mode = mode
        self.network: Network = solution.network
        self.solution = solution

    @property
    def cranking(self) -> bool:
        """Whether the engine is being cranked: heat is then judged over the time of cranking."""
        return self.network.mode.engine == "cranking"

    @property
    def running(self) -> bool:
        """Whether the engine runs."""
        return self.network.mode.engine in ("idling", "running")

    @cached_property
    def wires(self) -> dict[str, Carried]:
        """What each wire carries and may carry."""
        for_s = self.scope.limits.value("crank_s") if self.cranking else None
        return carried(self.scope.harness, self.solution, self.scope.how, for_s)

    @cached_property
    def metal(self) -> Metal:
        """The metal without loads and sources, for shares."""
        return metal_of(self.network, self.solution.ohm)

    @cached_property
    def posts(self) -> Posts | None:
        """The battery's posts."""
        return posts_of(self.network)

    @cached_property
    def loads(self) -> tuple[Load, ...]:
        """The loads that work."""
        return loads_of(self.network, self.solution, self.metal, self.posts) if self.posts else ()

    @cached_property
    def neighbours(self) -> Neighbours:
        """The metal of this mode's network without fuses, switches and relays."""
        return neighbours_of(self.network)

    @cached_property
    def studs(self) -> Studs:
        """Who returns through which stud."""
        return studs_of(self.network, self.solution, self.metal)

    @cached_property
    def causes(self) -> Causes:
        """What is beyond its own limit on the ways."""
        from .causes import Causes

        return Causes(self.scope, self)

    @cached_property
    def amperes(self) -> list[float]:
        """Current in each branch."""
        found: list[float] = self.solution.amperes.tolist()
        return found

    @cached_property
    def drops_v(self) -> list[float]:
        """Volts across each branch, 0 where it is open."""
        ohm = self.solution.ohm.tolist()
        return [i * r if r != float("inf") else 0.0 for i, r in zip(self.amperes, ohm, strict=True)]

    def branch_amperes(self, joint: str) -> float:
        """Return the size of the current in a joint, 0 where it is not in this network."""
        number = self.network.joints.get(joint)
        return 0.0 if number is None else abs(self.amperes[number])


class Scope:
    """A harness to be checked.

    Parameters
    ----------
    harness
        Not changed while it is checked.
    solved
        (mode, solution) of the modes that are looked at.
    unsolved
        (mode, why) of those without a solution.
    method, table
        How ampacity is found; None takes what the limit set says.
    """

    def __init__(
        self,
        harness: Harness,
        solved: Iterable[tuple[str | None, Solution]],
        unsolved: Sequence[tuple[str | None, str]] = (),
        how: How | None = None,
        whole: Protection | None = None,
    ) -> None:
        self.harness = harness
        self.limits: LimitSet = in_force(harness.settings.limits, harness.settings.system_v)
        self.how = self._how(how)
        self.states = tuple(State(self, mode, solution) for mode, solution in solved)
        self.unsolved = tuple(unsolved)
        self._whole = whole

    def _how(self, wanted: How | None) -> How:
        how = wanted or How(self.limits.method, self.limits.table)
        return replace(how, altitude_m=self.limits["altitude_m"].value or 0.0)

    @property
    def whole(self) -> bool:
        """Whether every mode of the file was looked at and has a solution."""
        return not self.unsolved and {s.mode for s in self.states} >= set(self.harness.modes or [None])

    @cached_property
    def network(self) -> Network:
        """The network in one mode, for what holds in any.

        Raises
        ------
        NothingToJudge
            If the harness cannot be expanded.
        """
        if self.states:
            return self.states[0].network
        try:
            return expand(self.harness)
        except (HarnessError, ValueError) as error:
            raise NothingToJudge(str(error)) from error

    @cached_property
    def protection(self) -> Protection:
        """Which fuse protects which wire."""
        return self._whole or protection(self.harness, self.network)

    @cached_property
    def least(self) -> dict[str, Carried]:
        """By wire what it carries in the mode in which it may carry least; a wire not judged in one mode stays so."""
        found: dict[str, Carried] = {}
        for state in self.states:
            for wire, row in state.wires.items():
                if wire not in found or _less(row, found[wire]):
                    found[wire] = row
        return found

    @cached_property
    def rising(self) -> frozenset[str]:
        """The grounds that are told for their rise in some mode."""
        return frozenset(g for state in self.states if state.posts for g in state.causes.rising.values())

    @cached_property
    def joined(self) -> frozenset[str]:
        """The points that have a way to the grounded post with every contact closed and every load on."""
        near: dict[str, set[str]] = {}

        def join(first: str, *others: str) -> None:
            for other in others:
                near.setdefault(first, set()).add(other)
                near.setdefault(other, set()).add(first)

        for network in (state.network for state in self.states):
            points, branches = network.points, network.branches
            for a, b in zip(branches.a.tolist(), branches.b.tolist(), strict=True):
                join(points[a], points[b])
            for element in network.elements:
                join(*(points[at] for at in element.terminals.values()))
        for part in self.harness.parts.values():
            for groups in getattr(part.ratings, "positions", {}).values():
                for group in groups:
                    join(*(f"{part.id}.{terminal}" for terminal in group))
        start = self.states[0].network.grounded if self.states else None
        seen, waiting = ({start}, [start]) if start is not None else (set(), [])
        while waiting:
            fresh = near.get(waiting.pop(), set()) - seen
            seen |= fresh
            waiting.extend(fresh)
        return frozenset(seen)

    @cached_property
    def wire_branch(self) -> dict[str, int]:
        """Branch of each wire by its id."""
        branches = self.network.branches
        return {branches.address[b]: b for b in self.network.conductors.branch.tolist()}

    @cached_property
    def neighbours(self) -> Neighbours:
        """The metal of `network` without fuses, switches and relays."""
        return neighbours_of(self.network)

    def here(self, state: State, point: int) -> int | None:
        """Return the index in `network` of a point of a mode: contacts that close make the numbers differ."""
        return self.network.index.get(state.network.points[point])

    @cached_property
    def shorts(self) -> Shorts:
        """What a dead short draws."""
        return Shorts(self.network, self.protection)

    @cached_property
    def warmth(self) -> Warmth:
        """How warm wires get in sizes that are tried."""
        return Warmth()

    @cached_property
    def clean(self) -> Network:
        """The network with every joint clean."""
        return expand(self.harness, self.network.mode.id, clean=True)

    def solve_with(self, mode: str | None, overrides: Overrides, before: State | None = None) -> Solution:
        """Return the solution with something set beside the file.

        Raises
        ------
        HarnessError
            If there is none.
        """
        states = before.solution.states if before else None
        network = expand(self.harness, mode, overrides)
        return solve(network, before=states)


def _less(row: Carried, before: Carried) -> bool:
    if isinstance(before.may, NotJudged):
        return False
    return isinstance(row.may, NotJudged) or row.may.figure.value < before.may.figure.value


def scope_of(
    harness: Harness,
    modes: Sequence[str | None] | None = None,
    how: How | None = None,
    *,
    clean: bool = False,
) -> Scope:
    """Return a harness solved in modes (None: all of the file, or its resting state where it has none).

    `clean` takes every joint as clean, whatever was found at it. A mode without a solution is kept with the reason,
    for a finding.
    """
    wanted: list[str | None] = list(modes) if modes is not None else [*harness.modes] or [None]
    solved: list[tuple[str | None, Solution]] = []
    unsolved: list[tuple[str | None, str]] = []
    for mode in wanted:
        found = solved_in(harness, mode, clean=clean)
        if isinstance(found, str):
            unsolved.append((mode, found))
        else:
            solved.append((mode, found))
    return Scope(harness, solved, unsolved, how)


def solved_in(harness: Harness, mode: str | None, *, clean: bool = False) -> Solution | str:
    """Return the solution of one mode, or why there is none."""
    try:
        return solve(expand(harness, mode, clean=clean))
    except (HarnessError, ValueError, ArithmeticError) as error:
        return " ".join(str(error).split())
