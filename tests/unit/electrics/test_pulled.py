"""What goes dead when a fuse is pulled or a splice comes apart: the same as a full solve without it."""

import math

import pytest

from harness_studio.electrics.pulled import if_pulled, part_of
from harness_studio.electrics.readings import readings
from harness_studio.electrics.solve import solve
from harness_studio.network.expand import expand
from harness_studio.network.network import Overrides
from harness_studio.storage.project_file import read_project


@pytest.fixture(scope="module")
def harness(sample_projects_dir):
    return read_project(sample_projects_dir / "first_harness.yaml").harness


@pytest.mark.parametrize(("fuse", "dead"), [("F4", {"M2"}), ("F5", {"E5", "E6"}), ("F2", {"P1"})])
def test_a_pulled_fuse_kills_what_it_feeds(harness, fuse, dead):
    network = expand(harness, "braking")
    assert set(if_pulled(harness, network, fuse).dead_parts) == dead
    out = readings(harness, solve(expand(harness, "braking", Overrides().with_pulled(fuse, True))))
    for part in dead:
        seen = [
            r
            for r in out.values()
            if r.id.partition("/")[0] == part and r.what in ("light", "speed", "needle")
        ]
        assert all(not r.value or r.value < 0.5 for r in seen)


def test_a_return_splice_that_comes_apart(harness):
    network = expand(harness, "braking")
    found = if_pulled(harness, network, "SP3")
    assert set(found.dead_parts) == {"E5", "E6"}  # the pump has its own wire to the stud
    opened = Overrides()
    for leg in ("SP3/W26", "SP3/W31", "SP3/W33"):
        opened = opened.with_joint(leg, math.inf)
    out = readings(harness, solve(expand(harness, "braking", opened)))
    assert out["M2 speed"].value > 50
    assert "M2" not in {part_of(c) for c in found.dead}


def test_a_stud_with_another_way_kills_nothing(harness):
    found = if_pulled(harness, expand(harness, "braking"), "GP2")
    assert not found.dead
    assert "M2" in {part_of(c) for c in found.changed}


def test_what_is_no_joint_is_told_by_none(harness):
    assert if_pulled(harness, expand(harness, "braking"), "P99") is None


@pytest.mark.parametrize(("splice", "mode"), [("SP12", "night"), ("SP14", "night")])
def test_a_feed_splice_that_comes_apart(sample_projects_dir, splice, mode):
    """What is told to go dead is dead with every leg of the splice open in a full solve, and was not before."""
    harness = read_project(sample_projects_dir / "estuary_pickup.yaml").harness
    network = expand(harness, mode)
    found = if_pulled(harness, network, splice)
    legs = [a for a in network.joints if a.startswith(f"{splice}/")]
    assert len(legs) >= 3
    opened = Overrides(joint_ohm=tuple((leg, math.inf) for leg in legs))
    before = readings(harness, solve(network))
    after = readings(harness, solve(expand(harness, mode, opened)))

    def lit(out, part):
        return max(
            (r.value or 0.0 for r in out.values() if r.id.partition("/")[0] == part and r.what == "light"),
            default=0.0,
        )

    lamps = {r.id.partition("/")[0] for r in before.values() if r.what == "light"}
    gone = {part for part in lamps if lit(before, part) > 0.5 and lit(after, part) < 0.5}
    assert gone
    assert gone <= set(found.dead_parts)
    assert all(lit(after, part) < 0.5 for part in set(found.dead_parts) & lamps)
