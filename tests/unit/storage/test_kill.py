"""Killed at any moment: the file is the old or the new one, the copy holds the rest. `kill_walk` alone does more."""

import sys
from pathlib import Path

import pytest

from tests.support.kill_walk import one

pytestmark = [
    pytest.mark.skipif(sys.platform == "win32", reason="the walk forks"),
    # The child only edits and saves; the threads of the test runner do not matter to it.
    pytest.mark.filterwarnings("ignore:.*fork:DeprecationWarning"),
]


@pytest.mark.parametrize("seed", range(12))
def test_a_killed_program_loses_the_last_moments_at_most(tmp_path: Path, seed: int) -> None:
    outcome = one(tmp_path, 1000 + seed, within_ms=150, longest_s=2.6, most_lost_s=1.3)
    assert outcome.problems == ()
