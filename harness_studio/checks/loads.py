"""Loads as the drop rules see them: where each is fed and where it returns, and what is lost on the way."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING

from harness_studio.electrics.rated import SOURCE_KINDS
from harness_studio.electrics.returns import Metal
from harness_studio.electrics.sinks import POSTS
from harness_studio.electrics.solution import ElementCurrents, Solution
from harness_studio.network.network import Network

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]

LEAST_A = 1e-3
"""Current below which a load does not work and loses nothing worth judging."""


@dataclass(frozen=True, slots=True)
class Posts:
    """The battery's posts (an alternator's where there is no battery): indices of points.

    `sign` is 1 with negative ground, -1 with positive: volts times sign fall on the way from `hot` to `grounded`.
    """

    source: str
    hot: int
    grounded: int
    sign: float

    def volts(self, solution: Solution) -> float:
        """Return the volts between the posts."""
        return abs(float(solution.volts[self.hot] - solution.volts[self.grounded]))


@dataclass(frozen=True, slots=True)
class Load:
    """A load that works in the mode.

    `feed` and `back` are the points where it is joined to the metal of the hot and of the grounded side; None where
    that side leads through another load or a driver. The drops are those from the battery's post to `feed` and from
    `back` to the grounded post.
    """

    element: str
    part: str
    kind: str
    state: str | None
    amperes: float
    feed: int | None
    back: int | None
    feed_drop_v: float | None
    back_drop_v: float | None

    @property
    def path_drop_v(self) -> float | None:
        """Volts lost there and back; None where one side is not known."""
        if self.feed_drop_v is None or self.back_drop_v is None:
            return None
        return self.feed_drop_v + self.back_drop_v


def posts_of(network: Network) -> Posts | None:
    """Return the posts that drops are measured from: those of the grounded battery, else of a generator."""
    negative = network.grounded is None or network.grounded.endswith(".31")
    sources = [e for e in network.elements if e.kind in SOURCE_KINDS]
    sources.sort(key=lambda e: (network.grounded or "").rpartition(".")[0] != e.part)
    for element in sources:
        plus, minus = (element.terminals[t] for t in POSTS[element.kind])
        return (
            Posts(element.address, plus, minus, 1.0)
            if negative
            else Posts(element.address, minus, plus, -1.0)
        )
    return None


def sides(network: Network, metal: Metal) -> tuple[set[int], set[int]]:
    """Return the labels of the metal on the hot and on the grounded side."""
    hot: set[int] = set()
    grounded: set[int] = set()
    negative = network.grounded is None or network.grounded.endswith(".31")
    for element in network.elements:
        if element.kind in SOURCE_KINDS:
            plus, minus = (int(metal.label[metal.node[element.terminals[t]]]) for t in POSTS[element.kind])
            hot.add(plus if negative else minus)
            grounded.add(minus if negative else plus)
    return hot - grounded, grounded


def loads_of(network: Network, solution: Solution, metal: Metal, posts: Posts) -> tuple[Load, ...]:
    """Return the loads that work, in the order of the file; sources are none."""
    hot, grounded = sides(network, metal)
    states = {e.address: e.state for e in network.elements}
    return tuple(_loads(network, solution, metal, posts, hot, grounded, states))


def _loads(
    network: Network,
    solution: Solution,
    metal: Metal,
    posts: Posts,
    hot: set[int],
    grounded: set[int],
    states: dict[str, str | None],
) -> Iterator[Load]:
    volts = solution.volts
    for element in solution.elements:
        if element.kind in SOURCE_KINDS:
            continue
        amperes = max((abs(i) for i in element.amperes), default=0.0)
        if not amperes >= LEAST_A:
            continue
        feed = _joined(element, metal, hot)
        back = _joined(element, metal, grounded)
        yield Load(
            element.address,
            element.part,
            element.kind,
            states[element.address],
            amperes,
            feed,
            back,
            None if feed is None else posts.sign * float(volts[posts.hot] - volts[feed]),
            None if back is None else posts.sign * float(volts[back] - volts[posts.grounded]),
        )


def _joined(element: ElementCurrents, metal: Metal, labels: set[int]) -> int | None:
    """Return the terminal that carries most current on one side, or None."""
    here = [
        (abs(i), -at)
        for at, i in zip(element.points, element.amperes, strict=True)
        if int(metal.label[metal.node[at]]) in labels and abs(i) >= LEAST_A
    ]
    return -max(here)[1] if here else None
