"""Killed at any moment: the file is the old or the new one, the copy holds the rest. `kill_walk` alone does more."""

import sys
from pathlib import Path

import pytest

from tests.support.kill_walk import several

pytestmark = [
    pytest.mark.skipif(sys.platform == "win32", reason="the walk forks"),
    # The child only edits and saves; the threads of the test runner do not matter to it.
    pytest.mark.filterwarnings("ignore:.*fork:DeprecationWarning"),
]


@pytest.mark.parametrize("first", range(0, 12, 4))
def test_a_killed_program_loses_the_last_moments_at_most(tmp_path: Path, first: int) -> None:
    """Four at once: most of the time nobody does anything but wait for the moment."""
    seeds = [1000 + first + number for number in range(4)]
    outcomes = several(tmp_path, seeds, within_ms=150, longest_s=1.8, most_lost_s=1.5)
    assert [outcome.problems for outcome in outcomes] == [()] * 4
    assert sum(outcome.edits for outcome in outcomes) > 20
    assert any(outcome.recovered > outcome.in_file for outcome in outcomes)  # copies do get done
