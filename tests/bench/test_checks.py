"""All rules on bench500 in one mode, and sizes for all wires of the pickup in all modes.

After an edit that no round has seen: expanded, solved and checked.
"""

from itertools import count

import pytest
from pytest_benchmark.fixture import BenchmarkFixture

from harness_studio.checks.adviser import chosen
from harness_studio.checks.proposals import size
from harness_studio.checks.runner import check
from harness_studio.checks.scope import scope_of
from harness_studio.model.edits import change
from harness_studio.model.harness import Harness
from harness_studio.storage.project_file import read_project
from tests.conftest import ROOT
from tests.support.vehicle import bench500

TARGET_S = 1.0
SIZES_S = 3.0


@pytest.mark.bench
def test_the_whole_check_of_a_large_harness(benchmark: BenchmarkFixture) -> None:
    harness, lengths = bench500(), count(501)

    def edited() -> tuple[tuple[Harness], dict[str, object]]:
        change(harness, "wires", "W100", length_mm=float(next(lengths))).apply(harness)
        return (harness,), {}

    def whole(harness: Harness) -> int:
        return len(check(scope_of(harness, ["running_lamps"])))

    benchmark.pedantic(whole, setup=edited, rounds=10)
    assert benchmark.stats.stats.median < TARGET_S


@pytest.mark.bench
def test_sizes_for_all_wires_of_a_vehicle(benchmark: BenchmarkFixture) -> None:
    harness, lengths = read_project(ROOT / "sample_projects" / "estuary_pickup.yaml").harness, count(301)

    def edited() -> tuple[tuple[Harness], dict[str, object]]:
        change(harness, "wires", "W49", length_mm=float(next(lengths))).apply(harness)
        return (harness,), {}

    def whole(harness: Harness) -> int:
        return len(size(scope_of(harness), chosen(harness)).proposal.wires)

    benchmark.pedantic(whole, setup=edited, rounds=3)
    assert benchmark.stats.stats.median < SIZES_S
