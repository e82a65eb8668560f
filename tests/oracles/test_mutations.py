"""Comparisons that cannot pass by themselves: each is shown a solution that is a little wrong and must say so."""

from collections.abc import Callable
from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from harness_studio.electrics import chained, rated, returns, system
from harness_studio.electrics.laws import curves, poles
from harness_studio.electrics.lawset import FULL, RATED
from harness_studio.electrics.shares import shares
from harness_studio.electrics.solution import Solution
from harness_studio.electrics.solve import solve
from harness_studio.electrics.stamps import Stamp
from harness_studio.network import wires
from harness_studio.network.expand import expand
from harness_studio.network.network import Network
from tests.oracles.test_resistance_distance import by_networkx, driven, near, resistance_ohm
from tests.support import physics
from tests.support.builders import ladder_resistances, parallel_returns, shared_stud
from tests.support.physics import assert_physics, solved
from tests.support.return_graph import ReturnGraph
from tests.support.spice import (
    assert_agrees,
    assert_ngspice_agrees,
    circuit_of,
    circuit_of_solution,
    run_batch,
)


@pytest.fixture
def stud() -> Solution:
    return solved(shared_stud(3))


def fails(check: Callable[[], Any], match: str) -> None:
    with pytest.raises(AssertionError, match=match):
        check()


def test_kirchhoff_misses_no_microampere(stud: Solution) -> None:
    amperes = stud.amperes.copy()
    amperes[stud.network.joints["GP1/W4"]] += 1e-6
    fails(lambda: assert_physics(replace(stud, amperes=amperes)), "Kirchhoff")


def test_kirchhoff_misses_no_load(stud: Solution) -> None:
    fails(lambda: assert_physics(replace(stud, elements=stud.elements[:-1])), "Kirchhoff")


def test_ohms_law_misses_no_nanovolt(stud: Solution) -> None:
    volts = stud.volts.copy()
    volts[stud.network.index["GP1"]] += 1e-9
    fails(lambda: assert_physics(replace(stud, volts=volts)), "Ohm's law")


def test_the_balance_misses_no_watt(stud: Solution) -> None:
    # By itself: where Kirchhoff and Ohm hold, it holds too (Tellegen).
    battery = stud.elements[0]
    given = replace(battery, amperes=tuple((1.0 + 1e-8) * i for i in battery.amperes))
    wrong = replace(stud, elements=(given, *stud.elements[1:]))
    fails(lambda: physics._power(wrong, wrong.amperes, wrong.ohm, physics.FLOOR_A), "power")


def test_an_open_branch_that_carries_current_is_seen(stud: Solution) -> None:
    ohm = stud.ohm.copy()
    ohm[stud.network.joints["GP1"]] = np.inf
    fails(lambda: assert_physics(replace(stud, ohm=ohm)), "open branch")


@pytest.mark.parametrize("laws", [RATED, FULL], ids=["rated", "full"])
def test_ngspice_sees_a_wire_that_is_one_percent_off(monkeypatch: pytest.MonkeyPatch, laws: Any) -> None:
    sound = expand(shared_stud(3))
    true_ohm = solve(sound, laws).ohm
    metal = wires.metal
    monkeypatch.setattr(
        wires, "metal", lambda *given: (lambda area, length, ohm: (area, length, 1.01 * ohm))(*metal(*given))
    )
    wrong = solve(expand(shared_stud(3)), laws)
    assert_physics(wrong)  # it is a sound solution of another harness
    circuit = circuit_of(sound, true_ohm, laws.pieces(sound, wrong.states))
    fails(lambda: assert_agrees(wrong, circuit, run_batch(circuit)), "in ngspice")


def test_ngspice_sees_a_stamp_that_is_one_percent_off(monkeypatch: pytest.MonkeyPatch) -> None:
    network = expand(shared_stud(3))
    circuit = circuit_of_solution(solve(network, RATED), RATED)
    resistor = rated.resistor

    def wrong(address: str, first: int, second: int, ohm: float) -> Stamp:
        return resistor(address, first, second, 1.01 * ohm)

    monkeypatch.setattr(rated, "resistor", wrong)
    found = solve(network, RATED)
    assert_physics(found)
    fails(lambda: assert_agrees(found, circuit, run_batch(circuit)), "in ngspice")


def test_ngspice_sees_a_curve_that_is_one_percent_off(monkeypatch: pytest.MonkeyPatch) -> None:
    network = expand(shared_stud(3))
    circuit = circuit_of_solution(solve(network, FULL), FULL)
    monkeypatch.setattr(curves, "RERATING", 1.01 * curves.RERATING)
    found = solve(network, FULL)
    assert_physics(found)
    fails(lambda: assert_agrees(found, circuit, run_batch(circuit)), "in ngspice")


def test_ngspice_sees_a_branch_that_was_forgotten(monkeypatch: pytest.MonkeyPatch) -> None:
    harness = parallel_returns(3, 2)
    network = expand(harness, "now")
    circuit = circuit_of_solution(solve(network), FULL)
    ohm = network.branches.resistance_ohm.copy()
    ohm[network.joints["cable_engine"]] = np.inf
    less = replace(network, branches=replace(network.branches, resistance_ohm=ohm))
    fails(lambda: assert_agrees(solve(less), circuit, run_batch(circuit)), "in ngspice")


def test_ngspice_sees_an_island_that_is_none(stud: Solution) -> None:
    circuit = circuit_of_solution(stud)
    volts = stud.volts.copy()
    volts[stud.network.index["M1.1"]] = np.nan
    fails(lambda: assert_agrees(replace(stud, volts=volts), circuit, run_batch(circuit)), "called an island")


def test_the_sense_of_a_batterys_two_resistances_matters(monkeypatch: pytest.MonkeyPatch) -> None:
    network = expand(parallel_returns(2, 2, engine="running"), "now")
    circuit = circuit_of_solution(solve(network))
    true = curves.battery

    def swapped(volts: Any, p: Any) -> Any:
        return true(volts, p[:, [0, 2, 1]])

    monkeypatch.setattr(poles, "group_poles", _with(poles.group_poles, true, swapped))
    monkeypatch.setattr(system, "group_poles", poles.group_poles)
    fails(lambda: assert_agrees(solve(network), circuit, run_batch(circuit)), "in ngspice")


def _with(group: Any, old: Any, new: Any) -> Any:
    return lambda some: group([replace(p, curve=new) if p.curve is old else p for p in some])


def test_networkx_sees_a_circuit_that_is_one_percent_off() -> None:
    resistances = ladder_resistances(5, 1)
    wrong = [(a, b, 1.01 * ohm) for a, b, ohm in resistances]
    assert resistance_ohm(driven(resistances, "a0", "b0")) == near(by_networkx(resistances, "a0", "b0"))
    assert resistance_ohm(driven(wrong, "a0", "b0")) != near(by_networkx(resistances, "a0", "b0"))


def assert_shares_are_those_of_networkx(solution: Solution, joint: str) -> None:
    graph = ReturnGraph(solution)
    network: Network = solution.network
    number = network.joints[joint]
    component = graph.component[int(network.branches.a[number])]
    column, currents, inside = graph.unit_currents(component)
    for row in shares(network, solution, joint).rows:
        expected = float(currents[inside.index(number), column[network.index[row.point]]])
        assert row.share == pytest.approx(expected, abs=1e-8), "share"


def test_shares_see_metal_that_is_one_percent_off(monkeypatch: pytest.MonkeyPatch) -> None:
    solution = solved(parallel_returns(3, 2), "now")
    assert_shares_are_those_of_networkx(solution, "GP2")
    laplacian = returns.laplacian

    def wrong(count: int, a: Any, b: Any, siemens: Any) -> Any:
        return laplacian(count, a, b, np.where(np.arange(len(siemens)) % 2, siemens, 1.01 * siemens))

    for module in (returns, chained):
        monkeypatch.setattr(module, "laplacian", wrong)
    fails(lambda: assert_shares_are_those_of_networkx(solution, "GP2"), "share")


def test_the_sound_solution_passes_all_of_them(stud: Solution) -> None:
    assert_physics(stud)
    assert_ngspice_agrees(stud)
