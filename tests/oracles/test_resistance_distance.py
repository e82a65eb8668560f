"""Resistances between two points against networkx (`resistance_distance`, weights inverted) and ngspice.

A battery of E behind r drives I into a circuit between its posts: the circuit's resistance is E/I − r.
"""

from fractions import Fraction

import networkx as nx
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from harness_studio.electrics.solution import Solution
from tests.support.builders import Resistance, ladder_resistances, mesh_resistances, of_resistances
from tests.support.physics import solved
from tests.support.spice import assert_ngspice_agrees

EMF_V, INTERNAL_MOHM = 12.0, 10.0


def driven(resistances: list[Resistance], first: str, second: str) -> Solution:
    source = ("GB1", first, second, EMF_V)
    return solved(of_resistances(resistances, [source], second, {"GB1": INTERNAL_MOHM}), warm=False)


def resistance_ohm(solution: Solution) -> float:
    amperes = -dict(solution.parts())["GB1"].terminals["GB1.30"]
    return EMF_V / amperes - INTERNAL_MOHM / 1000.0


def by_networkx(resistances: list[Resistance], first: str, second: str) -> float:
    # Parallel edges of a MultiGraph are added up as conductances by networkx.
    graph = nx.MultiGraph()
    for a, b, ohm in resistances:
        graph.add_edge(a, b, weight=ohm)
    return float(nx.resistance_distance(graph, first, second, weight="weight", invert_weight=True))


def by_fractions(resistances: list[Resistance], first: str, second: str) -> float:
    """Return the resistance by Gauss's elimination in exact fractions, for circuits over any number of decades."""
    siemens: dict[str, dict[str, Fraction]] = {}
    for a, b, ohm in resistances:
        for here, there in ((a, b), (b, a)):
            row = siemens.setdefault(here, {})
            row[there] = row.get(there, Fraction(0)) + 1 / Fraction(ohm)
    for node in [node for node in siemens if node not in (first, second)]:
        star = siemens.pop(node)
        total = sum(star.values())
        for a in star:
            del siemens[a][node]
            for b in star:
                if a != b:
                    siemens[a][b] = siemens[a].get(b, Fraction(0)) + star[a] * star[b] / total
    return float(1 / siemens[first][second])


def near(ohm: float) -> object:
    # E/I − r: what is left of r's digits; networkx's pseudo-inverse is good to about 1e-9 over five decades.
    return pytest.approx(ohm, rel=1e-7, abs=1e-12 * EMF_V)


@pytest.mark.parametrize("seed", range(8))
@pytest.mark.parametrize("rungs", [1, 2, 5, 20, 60])
def test_ladders(rungs: int, seed: int) -> None:
    resistances = ladder_resistances(rungs, seed)
    assert resistance_ohm(driven(resistances, "a0", "b0")) == near(by_networkx(resistances, "a0", "b0"))


@pytest.mark.parametrize("seed", range(8))
@pytest.mark.parametrize("nodes", [2, 5, 20, 80])
def test_meshes(nodes: int, seed: int) -> None:
    resistances = mesh_resistances(nodes, seed)
    last = f"m{nodes - 1}"
    assert resistance_ohm(driven(resistances, "m0", last)) == near(by_networkx(resistances, "m0", last))


@settings(max_examples=60)
@given(
    st.lists(
        st.tuples(st.integers(0, 6), st.integers(0, 6), st.floats(1e-4, 1e4)).filter(lambda r: r[0] != r[1]),
        max_size=14,
    ),
    st.lists(st.floats(1e-4, 1e4), min_size=6, max_size=6),
)
def test_any_small_circuit(more: list[tuple[int, int, float]], chain: list[float]) -> None:
    resistances = [(f"m{i}", f"m{i + 1}", ohm) for i, ohm in enumerate(chain)]
    resistances += [(f"m{a}", f"m{b}", ohm) for a, b, ohm in more]
    # The pseudo-inverse of networkx loses the seventh digit over eight decades: exact fractions (star-mesh) instead.
    assert resistance_ohm(driven(resistances, "m0", "m6")) == near(by_fractions(resistances, "m0", "m6"))


@pytest.mark.parametrize("seed", range(4))
@pytest.mark.parametrize("make", [ladder_resistances, mesh_resistances])
def test_the_volts_of_every_node_against_ngspice(make: object, seed: int) -> None:
    resistances = make(40, seed)  # type: ignore[operator]
    first, second = ("a0", "b0") if make is ladder_resistances else ("m0", "m39")
    assert_ngspice_agrees(driven(resistances, first, second))
