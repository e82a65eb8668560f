"""Who shares a joint, and how much: against networkx (Laplacian, connectivity, cuts) and ngspice (a source of 1 A).

Harnesses with two and three parallel returns on two bodies and invented vehicles, engine off and running.
"""

from dataclasses import dataclass, field

import numpy as np
import pytest
from hypothesis import given, settings

from harness_studio.electrics.lawset import FULL
from harness_studio.electrics.returns import metal_of
from harness_studio.electrics.shares import Share, Shares, shares
from harness_studio.electrics.solution import Solution
from harness_studio.model.harness import Harness
from tests.support.builders import parallel_returns, shared_stud
from tests.support.libspice import library
from tests.support.physics import solved
from tests.support.return_graph import ReturnGraph
from tests.support.spice import OPTIONS, Circuit
from tests.support.strategies import small_harnesses
from tests.support.vehicle import vehicle

PART = 1e-9
"""A share is good to this."""

CASES = {
    **{
        f"{n} returns, {bodies} bodies, {engine}": (parallel_returns(n, bodies, engine=engine), "now")
        for n in (2, 3)
        for bodies in (1, 2)
        for engine in ("off", "running", "cranking")
    },
    "three bodies": (parallel_returns(3, 3, engine="running"), "now"),
    "shared stud": (shared_stud(3, mohm=0.0), None),
    **{f"vehicle {m}": (vehicle(21, 12), m) for m in ("off", "key_on", "running_lamps", "cranking")},
}
"""Harness and mode by name."""


@dataclass
class Case:
    """A solved harness with the shares at every branch of its metal."""

    solution: Solution
    graph: ReturnGraph = field(init=False)
    at: dict[int, Shares] = field(init=False)

    def __post_init__(self) -> None:
        self.graph = ReturnGraph(self.solution)
        network = self.solution.network
        metal = metal_of(network, self.solution.ohm)
        names = dict(enumerate(network.branches.address))
        self.at = {number: shares(network, self.solution, name, metal) for number, name in names.items()}

    def row(self, branch: int, element: str, point: str) -> Share | None:
        rows = self.at[branch].rows
        return next((r for r in rows if (r.element, r.point) == (element, point)), None)


@pytest.fixture(scope="module", params=list(CASES))
def case(request: pytest.FixtureRequest) -> Case:
    harness, mode = CASES[request.param]
    return Case(solved(harness, mode))


def assert_superposition(case: Case) -> None:
    """Σ amperes·share is the solved current of each branch; and a joint has one row for each load and side."""
    for number, found in case.at.items():
        total = sum(r.share * r.amperes for r in found.rows)
        most = max((abs(r.amperes) for r in found.rows), default=0.0)
        solved_a = float(case.solution.amperes[number])
        assert total == pytest.approx(solved_a, rel=PART, abs=PART * most + 1e-12), found.joint
        keys = [(r.element or r.point, r.side) for r in found.rows]
        assert len(keys) == len(set(keys)), found.joint


def assert_only_ways(case: Case) -> None:
    """'only' exactly where the load's return no longer reaches the sink without the branch; 'none' without a sink."""
    index = case.solution.network.index
    for number, found in case.at.items():
        for row in found.rows:
            point = index[row.point]
            if case.graph.component[point] not in case.graph.sinks:
                continue
            assert (row.way == "only") == (not case.graph.reaches_without(point, number)), (found.joint, row)


def test_superposition_gives_the_solved_current_of_every_branch(case: Case) -> None:
    assert_superposition(case)


def test_only_way_is_what_the_graph_says(case: Case) -> None:
    assert_only_ways(case)


def test_classes_follow_the_share(case: Case) -> None:
    for found in case.at.values():
        for row in found.rows:
            size = abs(row.share) + PART
            by_share = "main" if size >= 0.5 else "some" if size >= 0.05 else "minor"
            assert row.way in ("only", "none", by_share), (found.joint, row)


def single_ended(case: Case) -> dict[str, int]:
    """Return loads that touch the return side at one point: element → point."""
    network = case.solution.network
    grounded = case.graph.component[network.index[str(network.grounded)]]
    found = {}
    for element in network.elements:
        here = [p for p in element.terminals.values() if case.graph.component[p] == grounded]
        if len(here) == 1 and here[0] not in case.graph.sinks[grounded]:
            found[element.address] = here[0]
    return found


def test_every_cut_carries_the_whole_current(case: Case) -> None:
    loads = single_ended(case)
    assert loads
    names = case.solution.network.points
    for element, point in loads.items():
        for cut in case.graph.cuts(point):
            rows = [(case.row(number, element, names[point]), sign) for number, sign in cut]
            total = sum(sign * row.share for row, sign in rows if row)
            assert total == pytest.approx(1.0, abs=PART), (element, [case.at[n].joint for n, _ in cut])


def test_shares_are_the_currents_of_networkx(case: Case) -> None:
    network = case.solution.network
    seen = 0
    for component in case.graph.sinks:
        column, currents, inside = case.graph.unit_currents(component)
        for at, number in enumerate(inside):
            found = case.at[number]
            sign = 1.0 if found.side == "return" else -1.0
            for row in found.rows:
                element = next(e for e in network.elements if e.address == row.element)
                ends = [p for p in element.terminals.values() if p in column]
                if len(ends) != 1:
                    continue  # a share of several terminals is their sum, weighted by amperes: superposition holds it
                seen += 1
                expected = sign * float(currents[at, column[ends[0]]])
                assert row.share == pytest.approx(expected, abs=20.0 * PART), (found.joint, row)
    assert seen > 20


def test_shares_are_the_currents_of_ngspice(case: Case) -> None:
    network, ohm = case.solution.network, case.solution.ohm
    grounded = case.graph.component[network.index[str(network.grounded)]]
    sinks = case.graph.sinks[grounded]
    metal = ["metal", f".options {OPTIONS}"]
    reference = next(iter(sinks))
    nodes = [
        None if case.graph.component[p] != grounded else "0" if p == reference else f"p{p}"
        for p in range(network.size)
    ]
    for _, _, number in case.graph.graph.edges(keys=True):
        a, b = nodes[int(network.branches.a[number])], nodes[int(network.branches.b[number])]
        if a and b and a != b:
            metal.append(
                f"R{number} {a} {b} {float(ohm[number])!r}" if ohm[number] else f"V{number} {a} {b} 0"
            )
    for element, point in list(single_ended(case).items())[:4]:
        source = [f"I{k} {nodes[s]} {nodes[point]} {w!r}" for k, (s, w) in enumerate(sinks.items())]
        circuit = Circuit((*metal, *source, ".op", ".end"), tuple(nodes))
        volts = library().run(circuit)
        for number, found in case.at.items():
            a, b = nodes[int(network.branches.a[number])], nodes[int(network.branches.b[number])]
            if a is None or b is None or not 0.0 < ohm[number] < np.inf:
                continue
            row = case.row(number, element, network.points[point])
            share = row.share if row else 0.0
            assert share == pytest.approx((volts[a] - volts[b]) / float(ohm[number]), abs=1e-6), found.joint


@settings(max_examples=25)
@given(small_harnesses())
def test_random_harnesses(harness: Harness) -> None:
    case = Case(solved(harness, "now", laws=FULL))
    assert_superposition(case)
    assert_only_ways(case)


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(200, 206))
def test_more_vehicles(seed: int) -> None:
    harness = vehicle(seed, 30)
    for mode in ("off", "running", "braking"):
        case = Case(solved(harness, mode))
        assert_superposition(case)
        assert_only_ways(case)
        test_every_cut_carries_the_whole_current(case)
        test_shares_are_the_currents_of_networkx(case)
