"""What computes for a session: expansion, solver, readings, shares, outlook. Called on any thread."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Protocol

from harness_studio.model.harness import Harness
from harness_studio.network.network import Overrides

from .forecast import Outlook, outlook
from .results import Key

if TYPE_CHECKING:
    from collections.abc import Mapping

    from harness_studio.electrics.lawset import LawSet
    from harness_studio.electrics.passes import Trail
    from harness_studio.electrics.positions import Positions
    from harness_studio.electrics.readings import Reading
    from harness_studio.electrics.returns import Metal
    from harness_studio.electrics.shares import Shares
    from harness_studio.electrics.solution import Solution
    from harness_studio.electrics.sweep import Base
    from harness_studio.network.expand import Expansion
    from harness_studio.network.network import Network

    Readings = Mapping[str, Reading]


class Engine(Protocol):
    """What computes; called on any thread."""

    def load(self) -> None:
        """Load what is needed; does nothing a second time."""
        ...

    def solve(self, harness: Harness, key: Key) -> tuple[Network, Solution]:
        """Expand a harness in a mode and solve it."""
        ...

    def read(self, harness: Harness, key: Key, solution: Solution) -> tuple[Readings, Readings]:
        """Return the readings now, and those of the same harness with every joint clean."""
        ...

    def clean(self, harness: Harness, key: Key, solution: Solution) -> Solution:
        """Return the solution of the same harness with every joint clean."""
        ...

    def shares(self, network: Network, solution: Solution, joint: str) -> Shares:
        """Return who shares a joint; raise AddressError if there is no such joint."""
        ...

    def outlook(self, harness: Harness, network: Network, joint: str) -> tuple[Outlook, ...]:
        """Return what a joint would do; empty for what is no joint."""
        ...


class Electrics:
    """The engine: expansion and solver, loaded when first used.

    The factored metal of the latest solution is kept, so that another joint of it costs one solve. So is the network
    with no joint dialled, and the way through discrete states: while a joint is dialled only its resistance is another.
    What no mode and no position changes of the expansion is kept for each revision.
    """

    def __init__(self) -> None:
        self._as_found: tuple[Key, Solution] | None = None
        self._plain: tuple[Key, Network, Trail] | None = None
        self._laws: LawSet | None = None
        self._positions: tuple[int, Positions] | None = None
        self._expansions: dict[bool, tuple[int, Expansion]] = {}
        self._metal: tuple[Solution, Metal] | None = None
        self._clean: tuple[Key, Solution, Readings] | None = None
        self._base: tuple[Network, Base] | None = None

    def load(self) -> None:
        """Import the solver, which no computation's time should count."""
        import scipy.sparse.csgraph
        import scipy.sparse.linalg  # noqa: F401

        from harness_studio.electrics import shares, solve  # noqa: F401
        from harness_studio.electrics.remembered import remembering
        from harness_studio.network import expand  # noqa: F401

        self._laws = self._laws or remembering()

    def solve(self, harness: Harness, key: Key) -> tuple[Network, Solution]:
        """Expand a harness in a mode and solve it."""
        from harness_studio.electrics.solve import solve
        from harness_studio.network.dialling import dialled

        plain_key = _as_found(key)
        kept = self._plain  # read once: another thread may put another one there
        if kept is None or kept[0] != plain_key:
            network = self._expansion(harness, key).network(key.mode, plain_key.overrides)
            kept = self._plain = (plain_key, network, {})
        given = key.overrides.joint_ohm if key.overrides else ()
        if given:
            network = dialled(kept[1], given)
            return network, solve(network, self._laws_for(harness, key), known=kept[2])
        network = kept[1]
        solution = solve(network, self._laws_for(harness, key), trail=kept[2])
        self._as_found = (plain_key, solution)
        return network, solution

    def _laws_for(self, harness: Harness, key: Key) -> LawSet:
        """Return the laws with what the positions of a harness share; that is kept for each revision."""
        from harness_studio.electrics.lawset import FULL
        from harness_studio.electrics.positions import Positions

        kept = self._positions  # read once, as above
        if kept is None or kept[0] != key.revision:
            every = self._expansion(harness, key).network(key.mode, every_contact=True)
            kept = self._positions = (key.revision, Positions(every))
        return replace(self._laws or FULL, positions=kept[1])

    def _expansion(self, harness: Harness, key: Key, *, clean: bool = False) -> Expansion:
        """Return what expands a harness in one mode after the other."""
        from harness_studio.network.expand import Expansion

        kept = self._expansions.get(clean)  # read once, as above
        if kept is None or kept[0] != key.revision:
            kept = self._expansions[clean] = (key.revision, Expansion(harness, clean=clean))
        return kept[1]

    def read(self, harness: Harness, key: Key, solution: Solution) -> tuple[Readings, Readings]:
        """Return the readings now and clean; the clean ones are kept while only joints are dialled."""
        from harness_studio.electrics.readings import readings

        now = readings(harness, solution)
        found = self._cleaned(harness, key)
        return now, now if found is None else found[1]

    def clean(self, harness: Harness, key: Key, solution: Solution) -> Solution:
        """Return the solution with every joint clean: the given one where no joint is dialled or measured."""
        found = self._cleaned(harness, key)
        return solution if found is None else found[0]

    def _cleaned(self, harness: Harness, key: Key) -> tuple[Solution, Readings] | None:
        """Return solution and readings with every joint clean; None where all joints are clean as they are."""
        from harness_studio.electrics.readings import readings
        from harness_studio.electrics.solve import solve

        dialled = bool(key.overrides and key.overrides.joint_ohm)
        measured = any(j.mohm is not None for j in harness.joints.values())
        if not dialled and not measured:
            return None
        clean_key = _as_found(key)
        kept, found = self._clean, self._as_found
        if kept is None or kept[0] != clean_key:
            as_found = found[1] if found is not None and found[0] == clean_key and not measured else None
            solution = as_found or solve(
                self._expansion(harness, key, clean=True).network(key.mode, clean_key.overrides)
            )
            kept = self._clean = (clean_key, solution, readings(harness, solution))
        return kept[1], kept[2]

    def shares(self, network: Network, solution: Solution, joint: str) -> Shares:
        """Return who shares a joint."""
        from harness_studio.electrics.returns import metal_of
        from harness_studio.electrics.shares import shares

        kept = self._metal  # read once: another thread may put another one there
        if kept is None or kept[0] is not solution:
            at = self._positions
            metal = at[1].metal if at is not None else metal_of
            kept = self._metal = (solution, metal(network, solution.ohm))
        return shares(network, solution, joint, kept[1])

    def outlook(self, harness: Harness, network: Network, joint: str) -> tuple[Outlook, ...]:
        """Return what a joint would do; the prepared state is kept for the next joint of the same network."""
        from harness_studio.electrics.sweep import prepare

        if network.grounded is None:
            return ()
        kept = self._base  # read once, as above
        if kept is None or kept[0] is not network:
            kept = self._base = (network, prepare(network))
        return outlook(harness, network, joint, kept[1])


def _as_found(key: Key) -> Key:
    """Return the key of the same positions with no joint dialled."""
    overrides = key.overrides.joints_as_found if key.overrides else None
    return replace(key, overrides=overrides if overrides != Overrides() else None)
