"""Ohms with the power off against networkx, and a worse joint against the file with that joint."""

import math

import networkx as nx
import pytest

from harness_studio.electrics.meter_ohms import fuse_between, if_worse, ohms_between
from harness_studio.electrics.solve import solve
from harness_studio.network.expand import expand
from harness_studio.network.network import Overrides
from harness_studio.storage.project_file import read_project


@pytest.fixture(scope="module")
def done(sample_projects_dir):
    harness = read_project(sample_projects_dir / "first_harness.yaml").harness
    network = expand(harness, "braking")
    return harness, network, solve(network)


@pytest.mark.parametrize(
    ("plus", "minus"), [("GP2", "GB1.31"), ("M2.31", "E5.31"), ("GB1.30", "F4.out"), ("GP2", "GP5")]
)
def test_ohms_are_the_resistance_distance(done, plus, minus):
    """networkx.resistance_distance (Klein and Randic 1993) on the metal, point by point."""
    _, network, solution = done
    graph = nx.Graph()
    branches = network.branches
    for a, b, ohm in zip(branches.a.tolist(), branches.b.tolist(), solution.ohm.tolist(), strict=True):
        if math.isfinite(ohm):
            siemens = 1.0 / max(ohm, 1e-9) + (graph[a][b]["siemens"] if graph.has_edge(a, b) else 0.0)
            graph.add_edge(a, b, siemens=siemens)
    start, end = network.index[plus], network.index[minus]
    part = graph.subgraph(nx.node_connected_component(graph, start))
    expected = nx.resistance_distance(part, start, end, weight="siemens", invert_weight=False)
    assert ohms_between(network, solution, plus, minus) == pytest.approx(expected, rel=1e-4)


def test_no_metal_is_infinite_and_one_point_nothing(done):
    _, network, solution = done
    assert math.isinf(ohms_between(network, solution, "GB1.30", "GB1.31"))
    assert ohms_between(network, solution, "GP2", "GP2") == 0.0


def test_a_fuse_alone_between_the_tips(done):
    assert fuse_between(*done, "F4.in", "F4.out") == "F4"
    assert fuse_between(*done, "F4.out", "F4.in") == "F4"
    assert fuse_between(*done, "GB1.30", "F4.out") is None
    assert fuse_between(*done, "GP2", "GB1.31") is None


def test_a_worse_joint_is_that_joint_in_the_file(done):
    harness, network, solution = done
    worse = if_worse(network, solution, "GP2", 0.155)
    whole = solve(expand(harness, "braking", Overrides().with_joint("GP2", 0.2)))
    for point in ("GP2", "M2.31", "M2.15", "E5.31"):
        assert worse.volt(point) == pytest.approx(whole.volt(point), abs=1e-6)
