"""Ways and bridges of the point graph."""

from __future__ import annotations

import networkx as nx
import pytest

from harness_studio.network.expand import expand
from harness_studio.storage.project_file import read_project
from harness_studio.tracing.graph import bridges, point_graph, way


@pytest.fixture
def network(sample_projects_dir):
    return expand(read_project(sample_projects_dir / "first_harness.yaml").harness, "braking")


def addresses(network, numbers):
    return [network.branches.address[n] for n in numbers]


def test_every_closed_branch_is_one_edge(network):
    graph = point_graph(network)
    assert graph.number_of_nodes() == network.size
    finite = sum(1 for r in network.branches.resistance_ohm if r != float("inf"))
    assert graph.number_of_edges() == finite
    for a, b, number, data in graph.edges(keys=True, data=True):
        assert {a, b} == {int(network.branches.a[number]), int(network.branches.b[number])}
        assert data["address"] == network.branches.address[number]


def test_the_way_of_least_resistance_names_its_joints(network):
    graph = point_graph(network)
    route = way(graph, network.index["M2.31"], network.index["GP2"])
    assert addresses(network, route) == ["M2.31/W40", "W40@M2.31", "W40", "W40@GP2", "GP2/W40"]


def test_no_way_over_a_load(network):
    assert way(point_graph(network), network.index["M2.15"], network.index["M2.31"]) is None


def test_bridges_are_what_networkx_disconnects_by(network):
    """Against connectivity by networkx: a branch is shared by all ways exactly if its removal parts the two ends."""
    graph = point_graph(network)
    for start in ("M2.31", "E5.31", "B1.31", "E6.54"):
        end = "GB1.31" if start.endswith("31") else "GB1.30"
        first, last = network.index[start], network.index[end]
        found = set(bridges(graph, first, last))
        for a, b, number in list(graph.edges(keys=True)):
            data = graph.edges[a, b, number]
            graph.remove_edge(a, b, key=number)
            parts = nx.has_path(graph, first, last)
            graph.add_edge(a, b, key=number, **data)
            assert (number in found) == (not parts), network.branches.address[number]
