"""What is known of a harness whatever the case: its modes solved, its suspect groups, what was solved for them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

from harness_studio.electrics.sweep import prepare
from harness_studio.model.harness import Harness
from harness_studio.network.expand import Expansion
from harness_studio.network.network import Network

from .access import EFFORT, permitted, reach
from .changes import Sites, sites_of
from .groups import Group, suspect_groups
from .lumped import Lumped
from .predict import Solved
from .spread import Uncertain, at_their_mean, uncertain
from .state import State, state_of, with_sources, without_sources
from .waking import waking

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]
    Ints = NDArray[np.int64]

FED_V = 1.0
"""A wire with less than this in every mode does no harm where it touches metal."""


@dataclass(slots=True)
class Known:
    """A harness's modes as far as they were solved. One object serves one harness as it stands."""

    harness: Harness
    states: dict[str | None, State] = field(default_factory=dict)
    solved: dict[str | None, Solved] = field(default_factory=dict)
    uncertain: dict[str | None, Uncertain] = field(default_factory=dict)
    touchable: dict[str | None, tuple[bool, ...]] = field(default_factory=dict)
    grouped: dict[tuple[str | None, ...], tuple[Group, ...]] = field(default_factory=dict)
    numbers: dict[str, int] = field(default_factory=dict)
    numbered: dict[tuple[str, str | None, int], Ints] = field(default_factory=dict)
    offs: dict[tuple[str | None, tuple[int, ...]], State] = field(default_factory=dict)
    efforts: dict[str, float] = field(default_factory=dict)
    tips: dict[str | None, Ints] = field(default_factory=dict)
    lumped: dict[str | None, Lumped] = field(default_factory=dict)
    sites: dict[tuple[str | None, tuple[str | None, ...]], tuple[Sites, Ints]] = field(default_factory=dict)
    plain: Network | None = None
    expansion: Expansion | None = None

    def _expanded(self, mode: str | None) -> Network:
        if self.expansion is None:
            self.expansion = Expansion(self.harness)
        return self.expansion.network(mode)

    def state(self, mode: str | None) -> State:
        """Return a mode solved.

        Raises
        ------
        SolveError
            If it has no solution.
        """
        if mode not in self.states:
            network = at_their_mean(self.harness, with_sources(self._expanded(mode)))
            self.states[mode] = state_of(network, prepare(network), mode)
            self.states[mode].waits = waking(self.states[mode])
            self.solved[mode] = Solved()
        return self.states[mode]

    def spread(self, mode: str | None) -> Uncertain:
        """Return what is uncertain in a mode."""
        if mode not in self.uncertain:
            self.uncertain[mode] = uncertain(self.harness, self.state(mode))
        return self.uncertain[mode]

    def branch_numbers(self, mode: str | None) -> Ints:
        """Return numbers of a mode's branches that all modes share, by address, (branches,)."""
        return self._numbers("branches", mode, self.state(mode).network.branches.address)

    def element_numbers(self, mode: str | None) -> Ints:
        """Return numbers of what `spread` holds for elements, that all modes share, (elements,)."""
        return self._numbers("elements", mode, [f"element {n}" for n in self.spread(mode).names])

    def spread_off(self, state: State) -> Uncertain:
        """Return what is uncertain of a mode with the sources taken out."""
        return uncertain(self.harness, state)

    def _numbers(self, what: str, mode: str | None, names: Sequence[str]) -> Ints:
        import numpy as np

        key = (what, mode, len(names))
        if key not in self.numbered:
            some = [self.numbers.setdefault(n, len(self.numbers)) for n in names]
            self.numbered[key] = np.array(some, dtype=np.int64)
        return self.numbered[key]

    def permitted(self, mode: str | None) -> tuple[bool, ...]:
        """Return which points of a mode may be touched."""
        if mode not in self.touchable:
            network = self.state(mode).network
            self.touchable[mode] = permitted(self.harness, network)
        return self.touchable[mode]

    def effort(self, point: str) -> float:
        """Return the effort of touching a point."""
        if point not in self.efforts:
            self.efforts[point] = EFFORT[reach(self.harness, point)]
        return self.efforts[point]

    def tips_of(self, mode: str | None) -> Ints:
        """Return the points that may be touched in a mode, of those that are one metal the easiest to reach."""
        import numpy as np

        if mode not in self.tips:
            state = self.state(mode)
            best: dict[tuple[int, int, float], tuple[float, int]] = {}
            for index, yes in enumerate(self.permitted(mode)):
                if yes and state.first[index] >= 0 and state.base.system.alive[state.first[index]]:
                    key = (
                        int(state.first[index]),
                        int(state.edge_at[index]),
                        round(float(state.part[index]), 9),
                    )
                    point = state.network.points[index]
                    effort = 0.0 if point == state.network.grounded else self.effort(point)
                    if key not in best or effort < best[key][0]:
                        best[key] = (effort, index)
            self.tips[mode] = np.array(sorted(index for _, index in best.values()), dtype=np.int64)
        return self.tips[mode]

    def without_mode(self) -> Network:
        """Return the network in no mode, for what a case names."""
        if self.plain is None:
            self.plain = self._expanded(None)
        return self.plain

    def off(self, mode: str | None, tips: Sequence[int]) -> State:
        """Return a mode with the sources taken out, for readings in ohms between `tips`."""
        import numpy as np

        key = (mode, tuple(sorted(set(tips))))
        if key not in self.offs:
            network = without_sources(self.state(mode).network)
            worked = np.union1d(network.worked, np.array(key[1], dtype=np.int64))
            network = replace(network, worked=worked)
            self.offs[key] = state_of(network, prepare(network, warm=False), mode)
        return self.offs[key]

    def groups(self, modes: Sequence[str | None]) -> tuple[Group, ...]:
        """Return the groups of the mode in which most is joined, what other modes add to them, and chafed wires."""
        key = tuple(modes)
        if key not in self.grouped:
            states = sorted((self.state(m) for m in modes), key=lambda s: -len(s.network.branches))
            found: list[Group] = []
            told: set[str] = set()
            for state in states:
                for group in suspect_groups(state.network, self.permitted(state.mode)):
                    members = tuple(m for m in group.members if m not in told)
                    joint = next((m for m in members if m in state.network.joints), None)
                    if joint is not None:
                        found.append(
                            Group(members, group.joint if group.joint in members else joint, group.fault)
                        )
                    told.update(members)
            self.grouped[key] = (*found, *self._chafed(states[0], states))
        return self.grouped[key]

    def sites_in(self, mode: str | None, modes: Sequence[str | None]) -> tuple[Sites, Ints]:
        """Return the sites of the groups of some modes in one of them, and the site of each group."""
        key = (mode, tuple(modes))
        if key not in self.sites:
            self.sites[key] = sites_of(self.state(mode), self.groups(modes))
        return self.sites[key]

    def _chafed(self, most: State, states: Sequence[State]) -> list[Group]:
        """Return the live wires, together those of one way between branchings, each against the metal near it."""
        import numpy as np

        network = most.network
        live = np.zeros(network.size, dtype=bool)
        for state in states:
            volts = state.point_volts(np.arange(state.network.size))
            named = [n for n, v in zip(state.network.points, np.abs(volts) > FED_V, strict=True) if v]
            live[[network.index[n] for n in named if n in network.index]] = True
        by_edge: dict[int, list[str]] = {}
        branches = network.branches
        for number, kind in enumerate(branches.kind):
            edge = int(most.edge_of[number])
            if kind == "wire" and edge >= 0 and live[branches.a[number]]:
                by_edge.setdefault(edge, []).append(branches.address[number])
        metal = metal_near(self.harness, network)
        if metal is None:
            return []
        return [Group(tuple(w), w[len(w) // 2], "chafed", metal) for w in by_edge.values()]


def metal_near(harness: Harness, network: Network) -> str | None:
    """Return the point of the metal that wires lie along: the body with the most ground points (common practice)."""
    if not network.body_centres:
        return None
    counts: dict[str, int] = {}
    for ground in harness.grounds.values():
        body = (ground.place or "").split(".", 1)[0]
        counts[body] = counts.get(body, 0) + 1
    body = max(network.body_centres, key=lambda b: (counts.get(b, 0), b))
    return network.points[network.body_centres[body]]
