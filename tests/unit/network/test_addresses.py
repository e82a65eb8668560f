"""Every form of address that the project file knows names a point or a joint of the expanded network."""

import pytest

from harness_studio.base.errors import AddressError
from harness_studio.electrics.solution import branch_of
from harness_studio.model.harness import Harness
from harness_studio.model.kinds.control import UnitTerminal
from harness_studio.network.expand import expand
from harness_studio.network.network import Network, Overrides
from tests.support.sketch import Sketch


def estuary() -> Harness:
    """Return a harness with one of everything that an address can name."""
    s = Sketch()
    s.body("shell", cab_floor=0.2, bed_rear=0.6)
    s.body("engine", block=0.05)
    s.bond("throttle_cable", "engine.block", "shell.cab_floor", 120.0)
    s.battery()
    s.part("A9", "box", holds=("F4", "F5"), buses=(("F4.in", "F5.in"),))
    s.part("F4", "fuse", style="blade_medium", rated_a=15.0)
    s.part("F5", "fuse", style="blade_medium", rated_a=10.0)
    s.part("FL", "link", area_mm2=1.0)
    s.part("K2", "relay", contacts="changeover")
    s.switch("S1", pressed=(("30", "54"),), released=())
    s.part("M2", "motor")
    s.part("B1", "sender", mount=("31", "shell.bed_rear"), ohm={"empty": 240.0})
    s.part("P2", "ammeter")
    s.part("WB", "bus_bar")
    s.part("A5", "control_unit", terminals={"1": UnitTerminal("supply"), "2": UnitTerminal("ground")})
    s.half("X7", "12345678", mates="X8")
    s.half("X8", "43218765")
    s.half("X9", "12", part="M2", terminals={"1": "15", "2": "31"})
    s.splice("SP3")
    s.ground("GP2", "shell.bed_rear")
    s.wire("SP3", "GP2", 1.5, name="W31")
    s.wire("X9.2", "GP2", 2.5, name="W40")
    s.wire("B1.1", "GP2", 0.75, name="W41")
    s.wire("X7.3", "SP3", 1.0, name="W32")
    s.wire("F4.out", "X8.3", 1.0, name="W33")
    s.wire("GB1.30", "F4.in", 4.0, name="W34")
    s.wire("GB1.31", "shell.cab_floor", 16.0, name="W35")
    s.wire("WB.a", "F5.out", 1.0, name="W36")
    s.stack("GP2", ["W31"], ["W40", "W41"])
    return s.done()


NETWORK = expand(estuary())


def ends_of(network: Network, joint: str) -> set[str]:
    number = network.joints[joint]
    return {network.points[int(network.branches.a[number])], network.points[int(network.branches.b[number])]}


@pytest.mark.parametrize(
    "point",
    [
        "GB1.31", "M2.15", "X7.3", "X9.2", "SP3", "GP2", "shell.bed_rear", "engine.block", "W40@GP2", "W31@SP3",
        "W40@X9.2", "W33@F4.out", "W35@shell.cab_floor", "F4.in", "K2.87a", "S1.54", "A5.1", "WB.a", "B1.31",
    ],
)  # fmt: skip
def test_a_point(point: str) -> None:
    assert NETWORK.index[point] < NETWORK.size


def test_a_contact_is_the_same_metal_as_its_cavity() -> None:
    assert NETWORK.index["W40@X9.2"] == NETWORK.index["X9.2"]
    assert NETWORK.index["W33@X8.3"] == NETWORK.index["X8.3"] != NETWORK.index["X7.3"]


def test_metal_at_a_terminal_is_not_the_terminal() -> None:
    assert NETWORK.index["W33@F4.out"] != NETWORK.index["F4.out"]


@pytest.mark.parametrize(
    ("joint", "kind", "ends"),
    [
        ("W40@GP2", "crimp", {"~W40.2", "W40@GP2"}),
        ("GP2/W31", "ring", {"W31@GP2", "GP2"}),
        ("GP2/W40", "ring", {"W40@GP2", "GP2"}),
        ("GP2", "stud", {"GP2", "shell.bed_rear"}),
        ("X7.3", "mated", {"X7.3", "X8.3"}),
        ("X9.2", "mated", {"X9.2", "M2.31"}),
        ("S1.30:54", "switch", {"S1.30", "S1.54"}),
        ("K2.30:87", "relay", {"K2.30", "K2.87"}),
        ("K2.30:87a", "relay", {"K2.30", "K2.87a"}),
        ("F4", "fuse", {"~F4.in", "~F4.out"}),
        ("F4.in:clip", "clip", {"F4.in", "~F4.in"}),
        ("F4.out:clip", "clip", {"F4.out", "~F4.out"}),
        ("FL", "fuse", {"FL.in", "FL.out"}),
        ("P2", "through", {"P2.1", "P2.2"}),
        ("B1.31@shell.bed_rear", "mount", {"B1.31", "shell.bed_rear"}),
        ("SP3/W31", "splice_leg", {"~W31.1", "SP3"}),
        ("F4.out/W33", "terminal", {"W33@F4.out", "F4.out"}),
        ("GB1.30/W34", "terminal", {"W34@GB1.30", "GB1.30"}),
        ("shell.cab_floor/W35", "terminal", {"W35@shell.cab_floor", "shell.cab_floor"}),
        ("A9/F4.in", "bus", {"F4.in", "~A9.bus1"}),
        ("WB/a", "bus", {"WB.a", "~WB"}),
        ("throttle_cable", "bond", {"engine.block", "shell.cab_floor"}),
        ("shell.bed_rear", "body", {"shell.bed_rear", "~shell"}),
    ],
)  # fmt: skip
def test_a_joint(joint: str, kind: str, ends: set[str]) -> None:
    assert NETWORK.branches.kind[NETWORK.joints[joint]] == kind
    assert ends_of(NETWORK, joint) == ends
    assert NETWORK.branches.address[NETWORK.joints[joint]] == joint


@pytest.mark.parametrize(
    ("alias", "canonical"),
    [
        ("GP2/W41", "GP2/W40"),  # two wires in one ring: named by its first
        ("X8.3", "X7.3"),  # the half that states what it mates
        ("S1.54:30", "S1.30:54"),
        ("K2.87:30", "K2.30:87"),
        ("P2.1:2", "P2"),
        ("W31@SP3", "SP3/W31"),
    ],
)
def test_another_name_of_a_joint(alias: str, canonical: str) -> None:
    assert NETWORK.joints[alias] == NETWORK.joints[canonical]


def test_every_ring_is_joined_to_the_stud_on_its_own() -> None:
    rings = [
        a for a, n in NETWORK.joints.items() if a.startswith("GP2/") and NETWORK.branches.address[n] == a
    ]
    assert rings == ["GP2/W31", "GP2/W40"]


def test_a_wire_is_found_by_its_id() -> None:
    number = branch_of(NETWORK, "W33")
    assert NETWORK.branches.kind[number] == "wire"


@pytest.mark.parametrize("joint", ["GP3", "W40@GP3", "GP2/W99", "X7.9", "S1.30:15", "F9"])
def test_an_address_that_names_nothing(joint: str) -> None:
    with pytest.raises(AddressError, match="is no joint of this network"):
        branch_of(NETWORK, joint)


def test_the_nearest_joint_is_suggested() -> None:
    with pytest.raises(AddressError, match="nearest is 'SP3/W31'"):
        branch_of(NETWORK, "SP3/W31x")


def test_a_dialled_joint_that_is_not_there_is_an_error() -> None:
    with pytest.raises(AddressError, match=r"'GP2/W44' is no joint of this network; nearest is 'GP2/W4"):
        expand(estuary(), None, Overrides(joint_ohm=(("GP2/W44", 0.1),)))


def test_pairs_of_cavities_that_no_wire_reaches_are_no_joints() -> None:
    assert "X7.5" not in NETWORK.joints


def test_mates_by_unequal_names_and_several_halves() -> None:
    s = Sketch()
    s.half("X1", "123", mates={"X2": {"1": "b", "2": "a"}, "X3": {"3": "x"}})
    s.half("X2", "ab")
    s.half("X3", "x")
    for cavity in ("X1.1", "X1.2", "X1.3"):
        s.wire(cavity, "unknown")
    network = expand(s.done())
    assert ends_of(network, "X1.1") == {"X1.1", "X2.b"}
    assert ends_of(network, "X1.2") == {"X1.2", "X2.a"}
    assert ends_of(network, "X3.x") == {"X1.3", "X3.x"}


def test_two_wires_in_one_cavity_are_two_crimps_and_one_contact() -> None:
    s = Sketch()
    s.half("X1", "1", mates="X2")
    s.half("X2", "1")
    s.wire("X1.1", "unknown", name="Wa")
    s.wire("X1.1", "unknown", name="Wb")
    network = expand(s.done())
    assert network.index["Wa@X1.1"] == network.index["Wb@X1.1"] == network.index["X1.1"]
    assert [network.branches.kind[network.joints[j]] for j in ("Wa@X1.1", "Wb@X1.1", "X1.1")] == [
        "crimp",
        "crimp",
        "mated",
    ]


def test_a_jumper_inside_one_connector_joins_its_cavities() -> None:
    s = Sketch()
    s.half("X1", "12")
    s.wire("X1.1", "X1.2", name="Wj")
    network = expand(s.done())
    assert {"Wj@X1.1", "Wj@X1.2"} <= network.joints.keys()


def test_cavity_names_are_text() -> None:
    s = Sketch()
    s.half("X1", ["10", "010"])
    s.wire("X1.10", "X1.010", name="Wj")
    network = expand(s.done())
    assert network.index["X1.10"] != network.index["X1.010"]
