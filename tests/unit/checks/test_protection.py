"""Which fuse protects which wire: walked by hand on small trees, against networkx on a large one."""

import networkx as nx
import pytest

from harness_studio.checks.protection import protection
from harness_studio.network.expand import expand
from tests.support.sketch import Sketch
from tests.support.vehicle import vehicle
from tests.unit.checks import harnesses as h


def test_each_wire_has_the_last_fuse_before_it() -> None:
    x = h.sound()
    found = protection(x, expand(x, "parked"))
    # Switches open, relay at rest: what they could close counts.
    assert found.unfused_wires == ("W1",)
    assert found.wires_of("F1") == []
    assert found.wires_of("F2") == ["W2", "W3", "W4"]
    assert found.wires_of("F3") == ["W9", "W10", "W11", "W12", "W21"]
    assert found.wires_of("F4") == ["W6", "W7", "W13"]
    assert found.parallel == ()
    assert found.bypassed == ()


def test_wires_behind_a_load_and_returns_have_no_fuse() -> None:
    x = h.sound()
    found = protection(x, expand(x))
    for wire in ("W0", "W5", "W8", "W14", "W16", "W19"):
        assert wire not in found.fuses_of
        assert wire not in found.unfused_wires


def test_what_is_behind_a_main_fuse_is_behind_those_after_it_too() -> None:
    x = h.sound()
    network = expand(x)
    found = protection(x, network)
    lamp, motor = network.index["E1.1"], network.index["M1.15"]
    assert {lamp, motor} <= found.downstream("F1")
    assert lamp in found.downstream("F2")
    assert motor not in found.downstream("F2")


def test_a_fuse_in_a_ring_is_parallel_and_its_wires_have_both() -> None:
    x = h.sound()
    h.extra(x, "F4.out", "S1.30", 1.0, 300.0, "W60")
    found = protection(x, expand(x))
    assert found.parallel == (("F2", "F4"),)
    assert found.fuses_of["W3"] == ("F2", "F4")


def test_a_fuse_that_metal_leads_around_deep_in_the_tree() -> None:
    x = h.sound()
    s = h.grown(x)
    s.part("F6", "fuse", style="blade_medium", rated_a=3.0)
    s.wire("F2.out", "F6.in", 1.0, 200.0, name="W60")
    s.wire("F6.out", "S1.30", 1.0, 200.0, name="W61")
    assert protection(x, expand(x)).bypassed == ("F6",)


def test_current_does_not_pass_from_throw_to_throw() -> None:
    s = Sketch()
    s.battery()
    s.body("shell", a=0.1)
    s.wire("GB1.31", "shell.a", 16.0, 200.0, name="W0")
    s.part("F1", "fuse", style="blade_medium", rated_a=10.0)
    s.part("F2", "fuse", style="blade_medium", rated_a=10.0)
    for number in (1, 2):
        s.wire("GB1.30", f"F{number}.in", 2.5, 100.0, name=f"WF{number}")
    s.part("K1", "relay", coil_ohm=90.0, contacts="changeover")
    s.wire("F1.out", "K1.87", 2.5, 100.0, name="W1")
    s.wire("F2.out", "K1.87a", 2.5, 100.0, name="W2")
    s.wire("K1.30", "E1.1", 2.5, 100.0, name="W3")
    s.part("E1", "lamp", rated_v=13.5, rated_w=5.0)
    s.wire("E1.31", "shell.a", 2.5, 100.0, name="W4")
    found = protection(s.done(), expand(s.harness))
    assert found.fuses_of["W1"] == ("F1",)
    assert found.fuses_of["W2"] == ("F2",)
    assert set(found.fuses_of["W3"]) == {"F1", "F2"}
    assert found.parallel == ()


def test_a_reversing_switch_is_no_way_around_the_load() -> None:
    # Each motor terminal is joined to the feed in one position and to ground in the other.
    s = Sketch()
    s.battery()
    s.body("shell", a=0.1)
    s.wire("GB1.31", "shell.a", 16.0, 200.0, name="W0")
    s.part("F1", "fuse", style="blade_medium", rated_a=10.0)
    s.wire("GB1.30", "F1.in", 2.5, 100.0, name="W1")
    s.switch("S1", up=(("30", "A"), ("31", "B")), down=(("30", "B"), ("31", "A")))
    s.part("M1", "motor", rated_v=13.5, rated_a=5.0, stall_a=15.0)
    s.wire("F1.out", "S1.30", 2.5, 100.0, name="W2")
    s.wire("S1.A", "M1.15", 2.5, 100.0, name="W3")
    s.wire("S1.B", "M1.31", 2.5, 100.0, name="W4")
    s.wire("S1.31", "shell.a", 2.5, 100.0, name="W5")
    found = protection(s.done(), expand(s.harness))
    assert found.wires_of("F1") == ["W2", "W3", "W4"]
    assert found.unfused_wires == ("W1",)


def test_without_a_source_there_is_nothing_to_walk_from() -> None:
    s = Sketch()
    s.splice("SP1")
    s.part("E1", "lamp", rated_w=5.0)
    s.wire("SP1", "E1.1", name="W1")
    found = protection(s.done(), expand(s.harness))
    assert (found.hot, found.fuses_of, found.unfused_wires) == ((), {}, ())


def test_an_alternator_counts_where_there_is_no_battery() -> None:
    s = Sketch()
    s.body("shell", a=0.1)
    s.part("G1", "alternator", mount=("B-", "shell.a"), set_v=14.2, max_a=50.0)
    s.part("E1", "lamp", rated_v=13.5, rated_w=5.0)
    s.wire("G1.B+", "E1.1", name="W1")
    s.wire("E1.31", "shell.a", name="W2")
    assert protection(s.done(), expand(s.harness)).unfused_wires == ("W1",)


def test_positive_ground_is_walked_from_the_negative_post() -> None:
    s = Sketch(grounded="positive")
    s.battery()
    s.body("shell", a=0.1)
    s.wire("GB1.30", "shell.a", name="W0")
    s.part("F1", "fuse", style="blade_medium", rated_a=10.0)
    s.wire("GB1.31", "F1.in", name="W1")
    s.part("E1", "lamp", rated_v=13.5, rated_w=5.0)
    s.wire("F1.out", "E1.31", name="W2")
    s.wire("E1.1", "shell.a", name="W3")
    found = protection(s.done(), expand(s.harness))
    assert (found.unfused_wires, found.wires_of("F1")) == (("W1",), ["W2"])


@pytest.mark.parametrize("seed", [1, 2, 3])
def test_distances_are_those_of_dijkstra_in_networkx(seed: int) -> None:
    # Constructed; oracle: networkx single_source_dijkstra on the same branches, contacts of the mode closed.
    harness = vehicle(seed, 60)
    network = expand(harness, "running_lamps")
    found = protection(harness, network)
    graph: nx.Graph[int] = nx.Graph()
    branches = network.branches
    for a, b, ohm in zip(
        branches.a.tolist(), branches.b.tolist(), branches.resistance_ohm.tolist(), strict=True
    ):
        if (
            a in found.grounded
            and b in found.grounded
            and ohm < graph.get_edge_data(a, b, {"ohm": 1e9})["ohm"]
        ):
            graph.add_edge(a, b, ohm=ohm)
    start = network.index[network.grounded or ""]
    expected = nx.single_source_dijkstra_path_length(graph, start, weight="ohm")
    checked = 0
    for point, ohm in expected.items():
        assert found.from_ground_ohm[point] <= ohm + 1e-12
        checked += found.from_ground_ohm[point] == pytest.approx(ohm, abs=1e-12)
    assert checked > 100
    assert checked == len(expected)


@pytest.mark.parametrize("seed", [1, 2, 3])
def test_no_fused_wire_is_reached_without_its_fuses(seed: int) -> None:
    # Constructed; oracle: networkx connectivity with the fuses taken out.
    harness = vehicle(seed, 60)
    network = expand(harness, "running_lamps")
    found = protection(harness, network)
    branches = network.branches
    graph: nx.Graph[int] = nx.Graph()
    graph.add_nodes_from(range(network.size))
    for a, b, kind in zip(branches.a.tolist(), branches.b.tolist(), branches.kind, strict=True):
        if kind != "fuse" and not (a in found.grounded or b in found.grounded):
            graph.add_edge(a, b)
    reached = set().union(*(nx.node_connected_component(graph, post) for post in found.hot))
    number = {branches.address[n]: n for n, kind in enumerate(branches.kind) if kind == "wire"}
    assert len(found.fuses_of) > 50
    assert not any(int(branches.a[number[wire]]) in reached for wire in found.fuses_of)
    assert {w for w, n in number.items() if int(branches.a[n]) in reached} <= set(found.unfused_wires)
