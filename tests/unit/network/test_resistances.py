"""What a branch's resistance is: clean, as found, dialled, open, or assumed and said so."""

import math

import pytest

from harness_studio.model.kinds.loads import Filament
from harness_studio.network.expand import expand, grounded_post
from harness_studio.network.network import Network, Overrides
from harness_studio.network.wires import ASSUMED_AREA_MM2, ASSUMED_LENGTH_MM
from harness_studio.standards import joints as clean
from harness_studio.standards import wires as sizes
from tests.support.sketch import Sketch


def ohm(network: Network, joint: str) -> float:
    return float(network.branches.resistance_ohm[network.joints[joint]])


def wire_ohm(network: Network, wire: str) -> float:
    return float(network.branches.resistance_ohm[network.branches.address.index(wire)])


def two_on_a_ring() -> Sketch:
    s = Sketch()
    s.body("shell", rear=0.6)
    s.ground("GP2", "shell.rear", "M6")
    s.splice("SP1")
    s.wire("SP1", "GP2", 1.0, name="W40")
    s.wire("SP1", "GP2", 1.0, name="W41")
    s.stack("GP2", ["W40", "W41"])
    return s


def test_clean_joints_are_those_of_the_standards() -> None:
    network = expand(two_on_a_ring().done())
    assert ohm(network, "GP2") == clean.clean_ohm("stud", size="M6").value_ohm
    assert ohm(network, "GP2/W40") == clean.clean_ohm("ring", size="M6").value_ohm
    assert ohm(network, "W40@GP2") == clean.clean_ohm("crimp", size=1.0).value_ohm
    assert ohm(network, "SP1/W40") == clean.clean_ohm("splice_leg", size=1.0).value_ohm
    assert ohm(network, "shell.rear") == pytest.approx(0.6e-3)


def test_wires_of_one_ring_are_one_metal() -> None:
    network = expand(two_on_a_ring().done())
    assert wire_ohm(network, "W40=W41@GP2") == 0.0


@pytest.mark.parametrize("name", ["GP2/W40", "GP2/W41"])
def test_a_joint_as_found_counts_in_all_under_any_of_its_names(name: str) -> None:
    s = two_on_a_ring()
    s.found(name, 180.0)
    assert ohm(expand(s.done()), "GP2/W40") == pytest.approx(0.18)


def test_what_is_dialled_counts_instead_of_what_was_found() -> None:
    s = two_on_a_ring()
    s.found("GP2/W40", 180.0)
    network = expand(s.done(), None, Overrides(joint_ohm=(("GP2/W41", 0.5),)))
    assert ohm(network, "GP2/W40") == 0.5


def test_the_canonical_name_goes_before_another() -> None:
    s = two_on_a_ring()
    s.found("GP2/W41", 50.0)
    s.found("GP2/W40", 180.0)
    assert ohm(expand(s.done()), "GP2/W40") == pytest.approx(0.18)


def test_an_open_joint_is_infinite() -> None:
    s = two_on_a_ring()
    s.found("GP2", math.inf)
    assert ohm(expand(s.done()), "GP2") == math.inf


def test_a_record_of_a_joint_that_is_not_there_changes_nothing() -> None:
    s = two_on_a_ring()
    before = expand(s.done())
    s.found("GP9/W7", 180.0)
    after = expand(s.done())
    assert (before.branches.resistance_ohm == after.branches.resistance_ohm).all()


def test_a_pulled_or_blown_fuse_is_open() -> None:
    s = Sketch()
    s.part("F1", "fuse", style="blade_medium", rated_a=10.0)
    s.part("F2", "fuse", style="blade_medium", rated_a=10.0, blown=True)
    assert ohm(expand(s.done()), "F1") < 0.02
    assert ohm(expand(s.done()), "F2") == math.inf
    assert ohm(expand(s.done(), None, Overrides(pulled=("F1",))), "F1") == math.inf


def test_a_wire_by_table_and_by_gauge_number() -> None:
    s = Sketch()
    s.wire("cut", "unknown", 1.5, 2000.0, name="W1")
    s.wire("cut", "unknown", None, 2000.0, awg="14", name="W2")
    network = expand(s.done())
    # ISO 6722: 12.7 mΩ/m at 20 °C for 1.5 mm².
    assert wire_ohm(network, "W1") == pytest.approx(2.0 * 12.7e-3, rel=1e-3)
    area = sizes.area_from_awg_mm2("14")
    assert wire_ohm(network, "W2") == pytest.approx(2.0 * sizes.resistance_per_m_ohm(area).value)
    assert network.assumed == ()


def test_a_wire_along_runs_has_their_length_tails_and_slack() -> None:
    s = Sketch()
    s.zone("bay")
    for breakout in ("b1", "b2", "b3"):
        s.breakout(breakout, "bay")
    s.run("r1", "b1", "b2", 1000.0)
    s.run("r2", "b2", "b3", 500.0)
    s.wire("cut", "unknown", 1.0, None, name="W1", runs=("r1", "r2"), tails_mm=(100.0, 50.0), slack_mm=60.0)
    s.wire("cut", "unknown", 1.0, 1710.0, name="W2")
    network = expand(s.done())
    assert wire_ohm(network, "W1") == pytest.approx(wire_ohm(network, "W2"))


def test_missing_size_and_length_are_assumed_and_said() -> None:
    s = Sketch()
    s.wire("cut", "unknown", None, None, name="W1")
    network = expand(s.done())
    expected = sizes.resistance_per_m_ohm(ASSUMED_AREA_MM2).value * ASSUMED_LENGTH_MM / 1000.0
    assert wire_ohm(network, "W1") == expected
    assert [str(a) for a in network.assumed] == [
        "W1: size not known, 1 mm² assumed",
        "W1: length not known, 1 m assumed",
    ]


def test_a_run_of_unknown_length_leaves_the_wire_assumed() -> None:
    s = Sketch()
    s.zone("bay")
    s.breakout("b1", "bay")
    s.breakout("b2", "bay")
    s.run("r1", "b1", "b2", None)  # type: ignore[arg-type]
    s.wire("cut", "unknown", 1.0, None, name="W1", runs=("r1",))
    assert [a.id for a in expand(s.done()).assumed] == ["W1"]


def test_an_unknown_fuse_rating_is_assumed_and_said() -> None:
    s = Sketch()
    s.part("F1", "fuse")
    assert any(a.id == "F1" for a in expand(s.done()).assumed)


@pytest.mark.parametrize(("grounded", "post"), [("negative", "GB1.31"), ("positive", "GB1.30")])
def test_the_grounded_post_is_as_the_file_says(grounded: str, post: str) -> None:
    s = Sketch(grounded=grounded)
    s.battery()
    assert grounded_post(s.done()) == post
    assert expand(s.done()).grounded == post


def test_without_a_battery_there_is_no_post() -> None:
    s = Sketch()
    s.part("E1", "lamp", elements={"a": Filament(("1", "31"))})
    assert expand(s.done()).grounded is None


def test_points_that_nobody_can_touch_start_with_a_tilde() -> None:
    network = expand(two_on_a_ring().done())
    hidden = {p for p in network.points if p.startswith("~")}
    assert hidden == {"~shell", "~W40.1", "~W40.2", "~W41.1", "~W41.2"}


def test_dead_bits_of_the_sketch_are_checked() -> None:
    s = Sketch()
    s.wire("GB1.30", "cut")
    with pytest.raises(Exception, match="GB1"):
        s.done()
