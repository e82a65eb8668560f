"""What several loads share, on the first sample."""

from __future__ import annotations

import itertools

import pytest

from harness_studio.base.errors import AddressError
from harness_studio.electrics.common import common_joints
from harness_studio.electrics.shares import shares
from harness_studio.electrics.solve import solve
from harness_studio.electrics.staircase import staircase, volts_along
from harness_studio.network.expand import expand
from harness_studio.storage.project_file import read_project


@pytest.fixture(scope="module")
def solved(sample_projects_dir):
    network = expand(read_project(sample_projects_dir / "first_harness.yaml").harness, "braking")
    return network, solve(network)


def test_shares_are_those_of_the_joint(solved):
    """Forward solves (one per load) against the adjoint solve (one per joint): reciprocity."""
    network, solution = solved
    found = common_joints(network, solution, ["M2", "E5/stop", "E6/stop"])
    assert found.side("return")
    assert found.side("feed")
    for common in found.joints[:40]:
        by_element = {r.element: abs(r.share) for r in shares(network, solution, common.joint).rows}
        for load, share in zip(found.loads, common.shares, strict=True):
            assert by_element[load] == pytest.approx(share, abs=1e-9)


def test_feed_joints_of_one_circuit_are_ruled_out_for_two(solved):
    network, solution = solved
    found = common_joints(network, solution, ["M2", "E5/stop"])
    common = {j.joint for j in found.joints}
    ruled_out = {j.joint for j in found.ruled_out}
    assert {"GP2", "GP5"} <= common
    assert {"F4", "F5", "S1.30:54", "X7.1", "X7.2"} <= ruled_out
    assert not common & ruled_out


def test_an_unknown_load_is_told_with_the_nearest(solved):
    with pytest.raises(AddressError, match="nearest is 'M2'"):
        common_joints(*solved, ["M22"])


def test_the_staircase_leads_from_post_to_post(solved):
    network, solution = solved
    steps = staircase(network, solution, "M2")
    assert steps[0].from_v == pytest.approx(solution.volt("GB1.30"))
    assert steps[-1].to_v == pytest.approx(solution.volt("GB1.31"))
    for before, after in itertools.pairwise(steps):
        assert before.to_v == after.from_v
    lost = sum(s.lost_v for s in steps)
    assert lost == pytest.approx(solution.volt("GB1.30") - solution.volt("GB1.31"))
    (load,) = [s for s in steps if s.side == "load"]
    assert load.address == "M2"
    assert load.amperes == pytest.approx(6.5, abs=0.01)
    assert "F4" in [s.address for s in steps]


def test_the_staircase_can_be_led_through_a_joint(solved):
    network, solution = solved
    plain = staircase(network, solution, "M2")
    led = staircase(network, solution, "M2", "GP2")
    assert "GP2" not in [s.address for s in plain]
    (stud,) = [s for s in led if s.address == "GP2"]
    assert stud.lost_v == pytest.approx(abs(solution.joint("GP2").drop_v))
    assert stud.amperes == pytest.approx(abs(solution.joint("GP2").amperes))
    whole = solution.volt("GB1.30") - solution.volt("GB1.31")
    assert sum(s.lost_v for s in led) == pytest.approx(whole)
    assert staircase(network, solution, "M2", "P1.31@shell.dash")[0].address == plain[0].address


def test_the_volts_along_it_are_those_of_the_points(solved):
    network, solution = solved
    steps = staircase(network, solution, "E5/stop")
    assert volts_along(steps, solution) == [steps[0].from_v, *(s.to_v for s in steps)]
