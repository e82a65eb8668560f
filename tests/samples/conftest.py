"""The sample a test file is about, solved and read in all its modes. The file names it in `SAMPLE`."""

from pathlib import Path

import pytest

from harness_studio.electrics.readings import Reading, readings
from harness_studio.electrics.solution import Solution
from harness_studio.electrics.solve import solve
from harness_studio.model.harness import Harness
from harness_studio.network.expand import expand
from harness_studio.storage.project_file import read_project


@pytest.fixture(scope="module")
def harness(request: pytest.FixtureRequest, sample_projects_dir: Path) -> Harness:
    return read_project(sample_projects_dir / f"{request.module.SAMPLE}.yaml").harness


@pytest.fixture(scope="module")
def solved(harness: Harness) -> dict[str, Solution]:
    return {mode: solve(expand(harness, mode)) for mode in harness.modes}


@pytest.fixture(scope="module")
def read(harness: Harness, solved: dict[str, Solution]) -> dict[str, dict[str, Reading]]:
    return {mode: readings(harness, solution) for mode, solution in solved.items()}
