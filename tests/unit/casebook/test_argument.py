"""The two columns: which metal loads share is read off the harness by hand, and by networkx' paths."""

import networkx as nx
import pytest

from harness_studio.casebook.argument import argument
from harness_studio.model.cases import Case, Sighting
from harness_studio.model.harness import Harness
from harness_studio.network.expand import expand
from harness_studio.storage.project_file import read_project
from tests.support.sketch import Sketch


def two_feeds_one_stud() -> Harness:
    """Return two lamps, each with a wire of its own from the battery's post, on one stud."""
    s = Sketch()
    s.battery()
    s.body("shell", front=0.2, rear=0.6)
    s.ground("GP0", "shell.front", "M8")
    s.wire("GB1.31", "GP0", 16.0, 400.0)
    s.ground("GP1", "shell.rear")
    for number in (1, 2):
        s.part(f"M{number}", "lamp", circuit=f"Lamp {number}", rated_v=13.5, rated_w=21.0)
        s.wire("GB1.30", f"M{number}.1", 1.0, 1500.0)
        s.wire(f"M{number}.31", "GP1", 1.0, 600.0)
    return s.done()


def test_disjoint_feeds_leave_only_the_return_side() -> None:
    found = argument(
        two_feeds_one_stud(), Case("c", sightings=(Sighting("M1", "down"), Sighting("M2", "flickers")))
    )
    assert found.feed == ()
    assert "GP1" in found.returns
    assert "GP0" in found.returns
    assert not any("M1" in joint or "M2" in joint for joint in found.returns)  # each has its own end
    assert found.disturbers == ()  # from no mode to no mode nothing is switched


def test_common_returns_are_the_cut_points_that_networkx_finds() -> None:
    harness = two_feeds_one_stud()
    found = argument(harness, Case("c", sightings=(Sighting("M1", "down"), Sighting("M2", "down"))))
    network = expand(harness)
    graph = nx.MultiGraph()
    branches = network.branches
    for number, address in enumerate(branches.address):
        graph.add_edge(int(branches.a[number]), int(branches.b[number]), key=address)
    post = network.index["GB1.31"]
    wanted = set()
    for u, v, key in graph.edges(keys=True):
        if branches.kind[branches.address.index(key)] in ("wire", "body"):
            continue
        without = graph.copy()
        without.remove_edge(u, v, key)
        if not any(nx.has_path(without, network.index[f"{m}.31"], post) for m in ("M1", "M2")):
            wanted.add(key)
    assert set(found.returns) == wanted


@pytest.fixture
def pickup(sample_projects_dir):
    return read_project(sample_projects_dir / "first_harness.yaml").harness


def test_what_was_switched_disturbs_and_the_rest_is_ruled_out(pickup: Harness) -> None:
    found = argument(pickup, Case("c", sightings=(Sighting("P1", "down", "key_on", "braking"),)))
    loads = dict(found.disturbers)
    assert {"M2", "E5/stop", "E6/stop"} <= set(loads)
    assert loads["M2"] > 5.0  # the pump takes 6.5 A
    assert "GP2" in found.returns  # the tank sender's stud, which pump and stop lamps stand on
    assert any(
        joint.startswith("P1") for joint in found.ruled_out
    )  # the gauge's own metal carries its own current
    assert not set(found.ruled_out) & {*found.feed, *found.returns}


def test_a_load_that_stayed_speaks_against_what_it_passes(pickup: Harness) -> None:
    seen = (Sighting("M2", "down", to_mode="braking"), Sighting("E5/stop", "stays", to_mode="braking"))
    found = argument(pickup, Case("c", sightings=seen))
    assert found.cleared.get("GP2") == "E5/stop"
    assert found.stayed == ("E5/stop",)


def test_nothing_seen_says_so() -> None:
    found = argument(two_feeds_one_stud(), Case("c"))
    assert "nothing can be told apart" in found.words
