"""One discrete state of a network solved, from the volts of what was solved before where that helps."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import TYPE_CHECKING, Any

from harness_studio.base.errors import SolveError
from harness_studio.network.network import Network

from .again import NEAR_V, Again
from .lawset import LawSet
from .newton import STEP_V, Settled, newton
from .passes import Pass, same_branches
from .states import branch_ohm
from .system import System, build_system

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    from .laws.pieces import Pieces
    from .positions import Positions

    Floats = NDArray[np.float64]

ROUGH_V = 1e-4
"""Accuracy while states are still turning; the states that fit are then judged again on the exact volts."""


def solve_states(
    network: Network,
    laws: LawSet,
    ohm: Floats,
    states: Mapping[str, str],
    last: Pass | None,
    step_v: float = STEP_V,
) -> Pass:
    """Return the pass of a network in given states at given resistances with every contact of a relay closed.

    Parameters
    ----------
    last
        A pass of the same network to start from.
    step_v
        A step below this many volts everywhere ends the iteration.

    Raises
    ------
    SolveError
        If no solution is found.
    """
    again = last.again if last is not None else None
    if last is not None and again is not None:
        return again.once(states, ohm, lambda: _solve_again(network, ohm, states, last, again))
    at = branch_ohm(network, states, ohm)
    if last is not None and last.states == states and same_branches(last.ohm, at):
        pieces = last.pieces
        system = replace(last.system, edge_siemens=1.0 / last.system.reduced.edge_ohm(at))
    elif laws.positions is not None and (found := laws.positions.system(network, states, at, laws.pieces)):
        return _solve_position(network, laws.positions, states, at, found, last, step_v)
    else:
        pieces = laws.pieces(network, states)
        if network.grounded is None:
            pieces.poles.clear()
            pieces.stamps.clear()
        system = build_system(network, at, pieces)
    settled = _iterated(system, last, step_v)
    memo = last.memo if last is not None and last.states == states else {}
    return Pass(dict(states), at, pieces, system, settled, _point_volts(system, settled), memo)


def _solve_position(
    network: Network,
    positions: Positions,
    states: Mapping[str, str],
    at: Floats,
    found: tuple[System, Pieces, dict[str, Any]],
    last: Pass | None,
    step_v: float,
) -> Pass:
    """Solve a position from the volts of what was solved before that lies nearest, of another position too."""
    system, pieces, memo = found
    settled = _iterated(system, positions.near(system, states, last), step_v, bold=True)
    volts = _point_volts(system, settled)
    done = Pass(dict(states), at, pieces, system, settled, volts, memo)
    positions.keep(done)
    return done


def _iterated(system: System, last: Pass | None, step_v: float, *, bold: bool = False) -> Settled:
    """Return the settled system from the volts of a pass, or from nothing where those lead nowhere."""
    start, lu = _near(system, last)
    try:
        return newton(system, start, step_v=step_v, lu=lu, bold=bold and start is not None)
    except SolveError:
        if start is None:
            raise
        return newton(system, None, step_v=step_v)


def _near(system: System, last: Pass | None) -> tuple[Floats | None, Any]:
    """Return volts to start from and factors, as far as those of the last pass are of the same rows."""
    import numpy as np

    if last is None or not np.array_equal(last.system.reduced.outer, system.reduced.outer):
        return None, None
    same = np.array_equal(last.system.kept, system.kept)
    return last.settled.high, last.settled.lu if same else None


def _point_volts(system: System, settled: Settled) -> Floats:
    """Return the volts of all points that are rows, NaN for others: (points,)."""
    import numpy as np

    rows = np.where(system.alive, settled.high + settled.low, np.nan)
    found: Floats = np.append(rows, np.nan)[system.reduced.point_row]
    return found


def _solve_again(network: Network, ohm: Floats, states: Mapping[str, str], last: Pass, again: Again) -> Pass:
    at = branch_ohm(network, states, ohm)
    system, pieces, memo = again.system(states, at)
    start, lu = _near(system, last)
    settled = newton(system, start, step_v=NEAR_V, lu=lu, bold=True)
    volts = _point_volts(system, settled)
    return Pass(dict(states), at, pieces, system, settled, volts, memo, again)
