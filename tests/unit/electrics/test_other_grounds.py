"""Other grounds by the metal alone, against networkx: a way that avoids the joint and passes the ground."""

import networkx as nx
import pytest

from harness_studio.electrics.other_grounds import also_by, branches_of
from harness_studio.electrics.shares import shares
from harness_studio.electrics.solve import solve
from harness_studio.network.expand import expand
from harness_studio.storage.project_file import read_project
from harness_studio.tracing.graph import point_graph
from tests.support.other_grounds import other_grounds


@pytest.fixture(scope="module")
def done(sample_projects_dir):
    found = {}
    for name, mode in (("first_harness", "braking"), ("estuary_pickup", "rain_idle")):
        harness = read_project(sample_projects_dir / f"{name}.yaml").harness
        network = expand(harness, mode)
        found[name] = harness, network, solve(network)
    return found


def ways(done, name, joint):
    harness, network, solution = done[name]
    found = shares(network, solution, joint)
    also = also_by(harness, network, solution, found)
    return {
        row.part: also.get(row.point, ()) for row in found.rows if row.side == "return" and row.way != "none"
    }


@pytest.mark.parametrize(
    ("name", "joint", "part", "others"),
    [
        ("first_harness", "GP2", "M2", ("GP5",)),
        ("first_harness", "GP5", "E5", ("GP2",)),
        ("first_harness", "GP2/W40", "M2", ()),  # the pump's only wire
        ("first_harness", "SP3", "M2", ("GP2",)),
        ("estuary_pickup", "GP9", "M2", ("GP10",)),
        ("estuary_pickup", "GP1", "M2", ("GP2",)),  # the battery's two straps
    ],
)
def test_grounds_that_are_known_by_hand(done, name, joint, part, others):
    assert ways(done, name, joint)[part] == others


@pytest.mark.parametrize("name", ["first_harness", "estuary_pickup"])
def test_for_every_joint_they_are_those_of_a_plain_search(done, name):
    """Against breadth-first searches over the networkx graph, joint by joint."""
    harness, network, solution = done[name]
    graph, home = point_graph(network, solution.ohm), network.index[network.grounded]
    joints = [*harness.grounds, *harness.splices, *(j for j in network.joints if "@" in j or "/" in j)]
    compared = 0
    for joint in joints[:: 1 if name == "first_harness" else 9]:
        numbers = branches_of(network, joint)
        if not numbers:
            continue
        for point, grounds in also_by(harness, network, solution, shares(network, solution, joint)).items():
            plain = other_grounds(graph, network, numbers, network.index[point], home, harness.grounds)
            assert grounds == tuple(plain), (joint, point)
            compared += 1
    assert compared > 20


def test_each_of_them_is_a_way_without_the_joint(done):
    """networkx finds a path from the load to the ground and on to the post in the graph without the joint."""
    harness, network, solution = done["estuary_pickup"]
    for joint in ("GP9", "GP5", "GP3", "GP1"):
        found = shares(network, solution, joint)
        graph = point_graph(network, solution.ohm)
        for number in branches_of(network, joint):
            a, b = int(network.branches.a[number]), int(network.branches.b[number])
            graph.remove_edge(a, b, key=number)
        home = network.index[network.grounded]
        for point, grounds in also_by(harness, network, solution, found).items():
            for ground in grounds:
                number = network.joints[ground]
                ends = int(network.branches.a[number]), int(network.branches.b[number])
                assert any(
                    nx.has_path(graph, network.index[point], a) and nx.has_path(graph, b, home)
                    for a, b in (ends, ends[::-1])
                )
