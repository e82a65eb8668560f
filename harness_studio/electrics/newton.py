"""Newton's method with step limiting for the nodal equations of a network."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from harness_studio.base.errors import SolveError

from .laws import curves
from .matrix import sparse_factors
from .system import System

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]

MOST_STEPS = 80
STEP_V = 1e-9
"""A step below this many volts everywhere ends the iteration; one more is then kept as the low part."""
ABOUT_V, WORKING_V = 15.0, 12.0
PATIENCE = 15
"""Steps within which the mismatch must at least halve, or no solution is near."""
QUIET_A = 1e-14
"""A mismatch of less is no reason to give up: what stands without current (a fan at 0 V, I ∝ V²) is found slowly."""
ROUNDING = 1e-15
"""Relative error of a node's volts; times conductance it is the mismatch in amperes that cannot be told from none."""
CHORD_V = 1e-2
"""After a step below this the factored Jacobian is kept for the next one: it changes by less than a thousandth."""
STEP_LIMIT_V = 6.0
"""Longest step: from an idle harness to a working one in two or three."""
BOLD_V, BOLD_PATIENCE, BOLD_HALVINGS = 20.0, 6, 4
"""Longest bold step (what hung on a battery hangs on nothing), and the patience of one who can ask for less instead."""
SMALL_V = 1e-6
"""Over such a step every curve is straight."""
HALVINGS = 7
SOUND = 0.01
"""Part of the mismatch that a step by sound factors leaves at most."""
REFINEMENTS = 6
"""Most corrections of the low part; two or three do."""


@dataclass(slots=True)
class Settled:
    """A solved system: volts as high + low parts (shape (rows,)), and the factored Jacobian there.

    `exact` says that nothing is left to find but rounding.
    """

    high: Floats
    low: Floats
    lu: Any
    steps: int
    exact: bool = False


def factored(matrix: Any) -> Any:
    """Return SuperLU's factors of a system's Jacobian; pivots on the diagonal, with a second try that pivots freely."""
    try:
        return sparse_factors(matrix, ordered=True)
    except RuntimeError:
        from scipy.sparse.linalg import splu

        return splu(matrix)


def newton(
    system: System, start: Floats | None = None, step_v: float = STEP_V, lu: Any = None, bold: bool = False
) -> Settled:
    """Solve F(v) = 0.

    Parameters
    ----------
    system
        The equations.
    start
        Volts to start from; by default the solution with every load a resistance, that which it is at working volts.
    step_v
        A step below this many volts everywhere ends the iteration.
    lu
        Factors of a Jacobian near the start on the same unknowns, to be tried first.
    bold
        Try each step as it is before a cut one: for starts that differ by what a contact switched.

    Raises
    ------
    SolveError
        If no solution is found; names the element with the largest mismatch and the iteration.
    """
    import numpy as np

    if not len(system.kept):
        return Settled(np.zeros(len(system.alive)), np.zeros(len(system.alive)), None, 0, exact=True)
    volts = np.where(system.alive, _secant_start(system, WORKING_V) if start is None else start, 0.0)
    flow = system.residual(volts)[system.kept]
    floor = _rounding_floor(system)
    length, own = math.inf if lu is None else CHORD_V, lu is None
    patience, sizes = BOLD_PATIENCE if bold else PATIENCE, []
    for iteration in range(MOST_STEPS):
        sizes.append(_above(flow, floor))
        if iteration >= patience and sizes[-1] > max(0.5 * sizes[-1 - patience], QUIET_A):
            break
        if length > CHORD_V:
            lu, own = _factors(system, volts, iteration), True
        step = lu.solve(-flow)
        before, length = length, float(np.abs(step).max())
        if not math.isfinite(length):
            break
        if before <= CHORD_V and length > 0.1 * before:
            length = math.inf  # the kept factors no longer fit: step again with new ones
            continue
        if length < step_v or sizes[-1] == 0.0:
            low = np.zeros(len(volts))
            low[system.kept] = step
            if not own and (sizes[-1] > 0.0 or step_v <= STEP_V) and not _sound(system, volts, low, flow):
                length = math.inf  # factors of another state: a short step by them says nothing
                continue
            exact = step_v <= STEP_V
            low = _refined(system, volts, low, lu) if exact else low
            return Settled(volts, low, lu, iteration, exact)
        volts, flow = _stepped(system, volts, step, flow, floor, bold)
    raise _failure(system, flow, len(sizes))


def _sound(system: System, volts: Floats, low: Floats, flow: Floats) -> bool:
    """Tell whether a last step leaves next to nothing of the mismatch, as one by sound factors does."""
    import numpy as np

    rest = float(np.abs(system.residual(volts, low)[system.kept]).max())
    return rest <= SOUND * float(np.abs(flow).max())


def _refined(system: System, high: Floats, low: Floats, lu: Any) -> Floats:
    """Return what volts lie beside their leading digits, refined until the mismatch no longer shrinks.

    Factors without free pivoting, or of an earlier step, need more than one correction for the last digits.
    """
    import numpy as np

    flow = system.residual(high, low)[system.kept]
    size = float(np.abs(flow).max())
    for _ in range(REFINEMENTS):
        better = low.copy()
        better[system.kept] -= lu.solve(flow)
        flow = system.residual(high, better)[system.kept]
        now = float(np.abs(flow).max())
        if not now < size:
            break
        low, halved, size = better, now < 0.5 * size, now
        if not halved:
            break
    return low


def _factors(system: System, volts: Floats, iteration: int) -> Any:
    try:
        return factored(system.jacobian(volts))
    except RuntimeError as error:
        flow = system.residual(volts)[system.kept]
        raise _failure(system, flow, iteration, f"singular matrix ({error})") from error


def _rounding_floor(system: System) -> Floats:
    """Return for each unknown the mismatch in amperes that rounding alone may leave."""
    import numpy as np

    rows = len(system.alive)
    total = np.zeros(rows)
    np.add.at(total, system.reduced.a, system.edge_siemens)
    np.add.at(total, system.reduced.b, system.edge_siemens)
    for some, at in zip(system.stamps, system.stamp_rows, strict=True):
        own = np.abs(np.diagonal(some.siemens, axis1=1, axis2=2))
        np.add.at(total, np.asarray(at).ravel(), own.ravel())
    floor: Floats = ROUNDING * ABOUT_V * total[system.kept]
    return floor


def _above(flow: Floats, floor: Floats) -> float:
    """Return the size of what stands above the rounding floor."""
    import numpy as np

    return float(np.linalg.norm(np.maximum(np.abs(flow) - floor, 0.0)))


def _stepped(
    system: System, volts: Floats, step: Floats, flow: Floats, floor: Floats, bold: bool
) -> tuple[Floats, Floats]:
    """Return volts and residual after the longest part of a step that brings the residual down (Armijo's rule).

    First no unknown moves by more than `STEP_LIMIT_V`, each cut by itself: that is quick while the start is far off.
    Where this leads no further (a cut step loses the small differences across diodes) the whole step is shortened,
    which keeps its direction. Where no part of either brings the residual down (a flat stretch of a curve) the one
    with clearly the least residual is taken, the longest of about equals. A small step is not shortened for a residual
    that rounding alone may raise.
    """
    import numpy as np

    longest = float(np.abs(step).max(initial=0.0))
    directions = [np.clip(step, -STEP_LIMIT_V, STEP_LIMIT_V)]
    if longest > STEP_LIMIT_V:
        directions.append(step * (STEP_LIMIT_V / longest))
        if bold:
            directions.reverse()
            if longest < BOLD_V:
                directions[0] = step
    size = _above(flow, floor)
    noise = float(np.linalg.norm(floor)) if longest < SMALL_V else 0.0
    best: tuple[float, Floats, Floats] | None = None
    for limited in directions:
        for halving in range(BOLD_HALVINGS if bold else HALVINGS):
            part = 0.5**halving
            tried = volts.copy()
            tried[system.kept] += part * limited
            now_flow = system.residual(tried)[system.kept]
            now = _above(now_flow, floor)
            if now <= (1.0 - 0.25 * part) * size + noise:
                return tried, now_flow
            if math.isfinite(now) and (best is None or now < 0.9 * best[0]):
                best = (now, tried, now_flow)
    if best is None:
        return volts, flow
    return best[1], best[2]


def _secant_start(system: System, about_v: float) -> Floats:
    """Return the solution with each load as a resistance: that which it is at working volts.

    Batteries by their tangent, diodes blocked. (The tangent of a load of constant current would draw that current even
    through an open feed, and start the iteration kilovolts away.)
    """
    import numpy as np

    right = np.zeros(len(system.alive))
    slopes = []
    for some, rows in zip(system.stamps, system.stamp_rows, strict=True):
        np.add.at(right, rows.ravel(), -some.amperes.ravel())
    for poles, (plus, minus) in zip(system.poles, system.pole_rows, strict=True):
        at = np.full(len(plus), about_v)
        if poles.curve is curves.battery:
            at = poles.parameters[:, 0] - 0.1
        elif poles.curve is curves.diode:
            at = np.zeros(len(plus))
        amperes, slope = poles.curve(at, poles.parameters)
        if poles.curve not in (curves.battery, curves.diode):
            slope = amperes / at
        slopes.append(slope)
        offset = amperes - slope * at
        np.add.at(right, plus, -offset)
        np.add.at(right, minus, offset)
    volts = np.zeros(len(system.alive))
    try:
        volts[system.kept] = factored(system.jacobian(volts, slopes)).solve(right[system.kept])
    except RuntimeError:
        return volts
    return np.clip(np.nan_to_num(volts), -3.0 * about_v, 3.0 * about_v)


def _failure(system: System, flow: Floats, iteration: int, why: str = "no solution was found") -> SolveError:
    """Name the element at the node with the largest mismatch; a constant-power load with a mismatch goes before others.

    Such a load is the usual reason that there is no solution: it asks for more than its feed can give.
    """
    import numpy as np

    off = np.zeros(len(system.alive))
    off[system.kept] = np.nan_to_num(np.abs(flow), nan=np.inf)
    found: tuple[float, str] | None = None
    for some, rows in zip(system.stamps, system.stamp_rows, strict=True):
        found = _worse(found, some.addresses, off[rows].max(axis=1))
    for poles, (plus, minus) in zip(system.poles, system.pole_rows, strict=True):
        urgent = 1e6 if poles.curve is curves.constant_power else 1.0
        found = _worse(found, poles.addresses, np.maximum(off[plus], off[minus]) * urgent)
    name = found[1] if found else None
    return SolveError(
        f"{why} at {name or 'a node'} (iteration {iteration})", element=name, iteration=iteration
    )


def _worse(
    found: tuple[float, str] | None, addresses: tuple[str, ...], mismatch: Floats
) -> tuple[float, str] | None:
    at = int(mismatch.argmax())
    return (float(mismatch[at]), addresses[at]) if found is None or mismatch[at] > found[0] else found
