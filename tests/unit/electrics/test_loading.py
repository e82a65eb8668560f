"""What each ground and fuse carries is what `solve` says of its joint."""

import pytest

from harness_studio.electrics.loading import loadings
from harness_studio.electrics.solve import solve
from harness_studio.network.expand import expand
from harness_studio.storage.project_file import read_project


def test_grounds_and_fuses_with_their_currents(sample_projects_dir):
    harness = read_project(sample_projects_dir / "first_harness.yaml").harness
    solution = solve(expand(harness, "braking"))
    found = loadings(harness, solution)
    by_id = {row.id: row for row in found}
    assert set(by_id) >= {"GP1", "GP2", "GP5", "F1", "F4", "F5"}
    for row in found:
        assert row.amperes == abs(solution.joint(row.id).amperes)
        assert row.lost_v == abs(solution.joint(row.id).drop_v)
    assert by_id["F4"].rated_a == 15
    assert by_id["F4"].part_of_rating == pytest.approx(6.5 / 15, abs=0.001)  # the pump takes its rated 6.5 A
    grounds = [row.amperes for row in found if row.kind == "ground"]
    fuses = [row.part_of_rating for row in found if row.kind == "fuse"]
    assert grounds == sorted(grounds, reverse=True)
    assert fuses == sorted(fuses, reverse=True)
