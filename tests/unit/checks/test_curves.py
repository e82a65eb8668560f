"""Fuse and wires over the current: the work lamp's 30 A on 1.5 mm² (put in on purpose) crosses, the pump's does not."""

import math

import pytest

from harness_studio.checks.carrying import cable_of
from harness_studio.checks.curves import fuse_curves
from harness_studio.electrics.heat.short_circuit import clears_before_damage
from harness_studio.network.expand import expand
from harness_studio.standards.figures import NotJudged
from harness_studio.storage.project_file import read_project


@pytest.fixture(scope="module")
def pickup(sample_projects_dir):
    harness = read_project(sample_projects_dir / "estuary_pickup.yaml").harness
    return harness, expand(harness, "cruise")


def test_the_curves_are_those_of_one_current_after_the_other(pickup):
    harness, network = pickup
    found = fuse_curves(harness, network, "F6")
    assert (found.style, found.rated_a) == ("blade_medium", 15)
    assert found.wires[0].wire == "W96"
    ambient = dict(
        zip((network.branches.address[b] for b in network.conductors.branch.tolist()),
            network.conductors.ambient_c.tolist(), strict=True)
    )  # fmt: skip
    for at in (6, 12, 24, 36):
        for curve in found.wires:
            one = clears_before_damage(
                "blade_medium",
                15,
                found.amperes[at],
                cable_of(harness.wires[curve.wire]),
                ambient[curve.wire],
            )
            assert found.longest_s[at] == pytest.approx(one.clears.value)
            assert curve.seconds[at] == pytest.approx(one.withstands.value)


def test_a_fuse_too_big_for_its_wire_crosses_and_a_fitting_one_does_not(pickup):
    assert fuse_curves(*pickup, "F6").crosses_a is None
    found = fuse_curves(*pickup, "F25")
    assert found.crosses_a == pytest.approx(30 * math.sqrt(2))  # just above 135 %, where it first must clear
    at = found.amperes.index(found.crosses_a)
    assert any(found.longest_s[at] > wire.seconds[at] for wire in found.wires)


def test_what_is_not_known_is_said(pickup):
    for name in ("M2", "F999"):
        found = fuse_curves(*pickup, name)
        assert isinstance(found, NotJudged)
        assert found.why == "this is no fuse"
