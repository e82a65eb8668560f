"""The trailer behind its 13-contact socket: three returns that meet in the car only, and a green contact 3.

What each contact is for, its size and its colour: ISO 11446, read on two independent pages (12 and 13 from memory).
Other ranges were written before the first run: workshop practice (trade articles).
"""

import networkx as nx
import pytest

from harness_studio.base.ids import split_point
from harness_studio.electrics.readings import Reading, readings
from harness_studio.electrics.shares import shares
from harness_studio.electrics.sneak import sneak_paths
from harness_studio.electrics.solution import Solution
from harness_studio.electrics.solve import solve
from harness_studio.model.harness import Harness
from harness_studio.network.expand import expand
from harness_studio.network.network import Overrides
from tests.support.told import volts

SAMPLE = "trailer_wiring"

CONTACTS = {
    "1": ("YE", 1.5), "2": ("BU", 1.5), "3": ("WH", 2.5), "4": ("GN", 1.5), "5": ("BN", 1.5), "6": ("RD", 1.5),
    "7": ("BK", 1.5), "8": ("PK", 1.5), "9": ("OG", 2.5), "10": ("GY", 2.5), "11": ("WH/BK", 2.5), "13": ("WH/RD", 2.5),
}  # fmt: skip
"""Colour and size by contact, ISO 11446; 12 is not allotted."""
LAMPS = {
    "stopping": {"tail", "stop", "E1/indicator", "E11/indicator"},
    "turning": {"tail", "E2/indicator", "E12/indicator"},
    "backing": {"tail", "E6", "E7", "E13"},
}


@pytest.mark.parametrize("half", ["X1", "X2"])
def test_contacts_are_wired_as_the_standard_allots_them(harness: Harness, half: str) -> None:
    found = {
        split_point(end.text)[1]: (wire.colour, wire.area_mm2)
        for wire in harness.wires.values()
        for end in wire.ends
        if end.point and split_point(end.text)[0] == half
    }
    assert found == CONTACTS


def test_the_three_returns_are_not_joined_in_the_trailer(harness: Harness) -> None:
    network = expand(harness, "camp")
    graph: nx.Graph[str] = nx.Graph()
    branches = network.branches
    for a, b, kind, address in zip(
        branches.a.tolist(), branches.b.tolist(), branches.kind, branches.address, strict=True
    ):
        if not (kind == "mated" and address.startswith("X1.")):  # the plug is pulled
            graph.add_edge(network.points[a], network.points[b])
    parts = [nx.node_connected_component(graph, f"X2.{contact}") for contact in ("3", "11", "13")]
    assert parts[0] & parts[1] == parts[1] & parts[2] == parts[0] & parts[2] == set()
    plugged = [nx.node_connected_component(graph, f"X1.{contact}") for contact in ("3", "11", "13")]
    assert "GP1" in plugged[0] & plugged[1] & plugged[2]


@pytest.mark.parametrize("mode", LAMPS)
def test_the_lamps_that_should_are_lit_and_no_others(read: dict[str, dict[str, Reading]], mode: str) -> None:
    lit = {r.id: r.value for r in read[mode].values() if r.what == "light" and (r.value or 0.0) > 0.5}
    groups = {
        "tail": "E1/tail E2/tail E3 E4 E5 E11/tail E12/tail",
        "stop": "E1/stop E2/stop E11/stop E12/stop",
    }
    assert set(lit) == {lamp for name in LAMPS[mode] for lamp in groups.get(name, name).split()}
    assert all(85.0 <= (v or 0.0) <= 110.0 for v in lit.values())


def test_contact_10_is_live_only_while_the_engine_runs(solved: dict[str, Solution]) -> None:
    assert solved["day"].states["K1"] == "pulled in"
    assert abs(dict(solved["day"].wires())["W62"].amperes) > 5.0
    assert solved["camp"].states["K1"] == "released"
    assert abs(dict(solved["camp"].wires())["W62"].amperes) < 1e-6
    assert abs(dict(solved["camp"].wires())["W60"].amperes) > 2.0  # contact 9 stays live


def test_the_car_charges(solved: dict[str, Solution]) -> None:
    for mode, solution in solved.items():
        if solution.network.mode.engine != "off":
            assert 13.5 <= volts(solution, "GB1.30", "GB1.31") <= 14.5, mode
            assert solution.states["G1"] == "regulating", mode


@pytest.mark.parametrize(
    ("joint", "elements"),
    [
        ("X1.3", ("E1/stop", "E1/indicator", "E2/stop", "E5", "E3")),
        ("coupling", ("E1/stop", "E1/indicator", "E2/stop", "E5", "E3")),
        ("GP2", ("E1/stop", "E2/stop", "E5")),
    ],
)
def test_lamps_return_by_contact_3_and_by_the_coupling(
    solved: dict[str, Solution], joint: str, elements: tuple[str, ...]
) -> None:
    solution = solved["stopping"]
    found = {row.element: row for row in shares(solution.network, solution, joint).rows}
    for element in elements:
        assert 0.05 < abs(found[element].share) < 0.95, element


def test_the_green_contact_lifts_the_chassis_and_dims_the_lamps(
    harness: Harness, solved: dict[str, Solution], read: dict[str, dict[str, Reading]]
) -> None:
    """The weakness. A ground may rise 0.1 V."""
    rise = volts(solved["stopping"], "GP2", "GB1.31")
    assert rise > 0.2
    cleaned = solve(expand(harness, "stopping", Overrides().with_joint("X1.3", 0.0017)))
    assert volts(cleaned, "GP2", "GB1.31") < 0.75 * rise
    assert abs(cleaned.joint("coupling").amperes) < 0.8 * abs(solved["stopping"].joint("coupling").amperes)
    before, after = read["stopping"]["E1/stop light"].value, readings(harness, cleaned)["E1/stop light"].value
    assert before is not None
    assert after is not None
    assert after - before > 1.5


def test_with_contact_3_and_the_coupling_open_the_wrong_lamps_glow(harness: Harness) -> None:
    for solution in (solve(expand(harness, mode)) for mode in harness.modes):
        assert sneak_paths(solution.network, solution) == []
    lost = Overrides().with_joint("X1.3", float("inf")).with_joint("coupling", float("inf"))
    solution = solve(expand(harness, "stopping", lost))
    sneaking = {path.element: path.why for path in sneak_paths(solution.network, solution)}
    assert (
        sneaking["E2/indicator"] == "backwards"
    )  # from the trailer's stop lamps into the car's right indicator
    assert sneaking["E12/indicator"] == "not fed"
    assert (readings(harness, solution)["E12/indicator light"].value or 0.0) > 0.5
