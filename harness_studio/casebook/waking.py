"""Which ways an alternator at idle is woken by: the charge lamp's, before there is any charge.

Once it charges, D+ has its volts from the machine and no current passes the lamp, so that the solved mode shows nothing
of that way. A fault in it was there before the engine ran: the machine then never began.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from harness_studio.base.errors import SolveError
from harness_studio.electrics.laws.discrete import initial
from harness_studio.electrics.lawset import FULL
from harness_studio.electrics.newton import factored
from harness_studio.electrics.one_pass import solve_states

from .state import State

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Ints = NDArray[np.int64]

LEAST_SHARE = 0.3
"""Part of the waking current from which an edge counts as one of its ways."""


def waking(state: State) -> dict[str, Ints]:
    """Return by alternator that waits for its charge lamp the edges of the solved mode through which that comes."""
    import numpy as np

    found: dict[str, Ints] = {}
    begun, done = initial(state.network), state.base.done
    for element in state.network.elements:
        asleep = begun.get(element.address) == "unexcited"
        if not asleep or done.states.get(element.address) == "unexcited":
            continue
        before = {**done.states, element.address: "unexcited"}
        try:
            first = solve_states(state.network, FULL, state.closed_ohm, before, done)
        except SolveError:
            continue
        if not np.array_equal(first.system.reduced.outer, state.base.system.reduced.outer):
            continue
        unknown = first.system.unknown
        ends = np.array([element.terminals["D+"], element.terminals["B-"]], dtype=np.int64)
        push = np.zeros(len(first.system.kept) + 1)
        for point, way in zip(ends.tolist(), (1.0, -1.0), strict=True):
            part = float(state.part[point])
            np.add.at(push, unknown[state.first[point]], way * part)
            np.add.at(push, unknown[state.second[point]], way * (1.0 - part))
        volts = np.append(factored(first.system.jacobian(first.settled.high)).solve(push[:-1]), 0.0)
        passed = np.abs(volts[unknown[state.a]] - volts[unknown[state.b]]) / state.ohm
        row = state.first[ends[0]]
        most = float(passed[(state.a == row) | (state.b == row)].max(initial=0.0))
        if most > 0.0:
            found[element.address] = np.flatnonzero(passed >= LEAST_SHARE * most)
    return found
