"""What must hold for every solution, whatever the network: Kirchhoff, Ohm, and no watt lost.

Nothing here uses the solver's matrices; only what a `Solution` tells.
"""

from dataclasses import dataclass
from typing import Any

import numpy as np

from harness_studio.electrics.lawset import FULL, LawSet
from harness_studio.electrics.solution import Solution
from harness_studio.electrics.solve import solve
from harness_studio.model.harness import Harness
from harness_studio.network.expand import expand
from harness_studio.network.network import Network, Overrides

KIRCHHOFF = 1e-11
"""Of the greatest current at the point."""
FLOOR_A = 1e-12
"""The last digit of an EMF of 12 V behind some milliohms."""
IDEAL_SOURCE_A = 1e-8
"""The floor where sources stand behind 1 µΩ: the last digit of 28 V, divided by that."""
EPS = float(np.finfo(np.float64).eps)
VOLT_DIGITS = 16.0
"""A branch's volts are a difference of two numbers of about 12, each good to half a unit in its last place: Ohm's law
is checked to so many such units. Currents are not (the solver keeps more digits of them than of volts)."""


def floor_of(solution: Solution) -> float:
    """Return the last digit of the greatest volts behind the least resistance of a source, in amperes."""
    floor_a = FLOOR_A
    for element in solution.network.elements:
        if element.kind == "battery" and element.ratings.internal_mohm is not None:
            ohm = max(element.ratings.internal_mohm / 1000.0, 1e-6)
            floor_a = max(floor_a, IDEAL_SOURCE_A * 1e-6 / ohm)
    return floor_a


@dataclass(frozen=True, slots=True)
class Margins:
    """How near to its tolerance each law came: 1 would be on it."""

    kirchhoff: float
    ohm: float
    power: float


def assert_physics(solution: Solution, floor_a: float = FLOOR_A) -> Margins:
    """Assert Kirchhoff's current law at every point, Ohm's law in every branch, and the balance of power.

    Current into each point sums to zero within 1e-11 of the greatest current there (and `floor_a`, 1 pA). Watts lost
    in branches and loads are those that sources give, within 1e-9. An island carries nothing.
    """
    network = solution.network
    a, b = network.branches.a, network.branches.b
    amperes, ohm = solution.amperes, solution.ohm
    assert np.isfinite(amperes).all()
    assert not amperes[np.isinf(ohm)].any(), "an open branch carries current"
    dead = np.isnan(solution.volts)
    assert not amperes[dead[a] | dead[b]].any(), "a branch in an island carries current"
    return Margins(
        _kirchhoff(solution, network, a, b, amperes, floor_a),
        _ohms_law(solution, network, a, b),
        _power(solution, amperes, ohm, floor_a),
    )


def _kirchhoff(solution: Solution, network: Network, a: Any, b: Any, amperes: Any, floor_a: float) -> float:
    total = np.zeros(network.size)
    most = np.zeros(network.size)
    np.add.at(total, a, -amperes)
    np.add.at(total, b, amperes)
    np.maximum.at(most, a, np.abs(amperes))
    np.maximum.at(most, b, np.abs(amperes))
    for element in solution.elements:
        for point, into in zip(element.points, element.amperes, strict=True):
            total[point] -= into
            most[point] = max(most[point], abs(into))
    part = np.abs(total) / (KIRCHHOFF * most + floor_a)
    worst = int(part.argmax()) if len(part) else 0
    assert not len(part) or part[worst] <= 1.0, (
        f"Kirchhoff at {network.points[worst]}: {total[worst]:.3e} A are left over of {most[worst]:.6g} A"
    )
    return float(part.max(initial=0.0))


def _ohms_law(solution: Solution, network: Network, a: Any, b: Any) -> float:
    live = np.isfinite(solution.ohm) & ~np.isnan(solution.volts[a])
    va, vb = solution.volts[a[live]], solution.volts[b[live]]
    lost = solution.amperes[live] * solution.ohm[live]
    size = np.maximum(np.abs(va), np.abs(vb))
    # A point within a chain is a part of the volts at its end: a gigaohm from a battery its last digit is theirs.
    floor = max(1e-15, EPS * float(np.abs(va).max(initial=0.0)))
    part = np.abs(va - vb - lost) / (VOLT_DIGITS * EPS * size + KIRCHHOFF * np.abs(lost) + floor)
    worst = int(part.argmax()) if len(part) else 0
    assert not len(part) or part[worst] <= 1.0, (
        f"Ohm's law in {network.branches.address[int(np.flatnonzero(live)[worst])]}: "
        f"{va[worst] - vb[worst]:.12e} V across, {lost[worst]:.12e} V by its current"
    )
    return float(part.max(initial=0.0))


def _power(solution: Solution, amperes: Any, ohm: Any, floor_a: float) -> float:
    live = np.isfinite(ohm)
    lost = float((amperes[live] ** 2 * ohm[live]).sum())
    taken, given = 0.0, 0.0
    for element in solution.elements:
        watts = sum(
            i * float(solution.volts[p]) for p, i in zip(element.points, element.amperes, strict=True) if i
        )
        taken, given = (taken + watts, given) if watts > 0.0 else (taken, given - watts)
    floor_w = floor_a * float(np.nanmax(np.abs(solution.volts), initial=1.0))
    part = abs(lost + taken - given) / (1e-9 * max(given, lost + taken) + floor_w)
    assert part <= 1.0, f"power: {given:.12g} W given, {taken:.12g} W taken and {lost:.12g} W lost on the way"
    return part


def solved(
    harness: Harness,
    mode: str | None = None,
    overrides: Overrides | None = None,
    laws: LawSet = FULL,
    *,
    floor_a: float = FLOOR_A,
    **how: Any,
) -> Solution:
    """Expand a harness in a mode, solve it, and assert the physics of the solution."""
    solution = solve(expand(harness, mode, overrides), laws, **how)
    assert_physics(solution, floor_a)
    return solution
