"""The command that says which returns to move."""

import json
from pathlib import Path

import pytest

from harness_studio.storage.project_file import write_project
from tests.unit.app.conftest import Run
from tests.unit.checks.test_ground_advice import sender_beside_the_lamp


@pytest.fixture
def shared(tmp_path: Path) -> Path:
    write_project(tmp_path / "shared.yaml", sender_beside_the_lamp(), None)
    return tmp_path / "shared.yaml"


def test_the_moves_are_told_with_before_and_after_and_the_cautions(run: Run, shared: Path) -> None:
    done = run("ground", shared, "--ground", "GP1")
    assert (done.code, done.err) == (0, "")
    assert "move (1)\n  W17 from GP1 to GP2" in done.out
    assert "for the sake of (1)\n  sensor B1 returns on GP1 beside" in done.out
    assert "takes away (1)" in done.out
    assert "licensed practice come first" in done.out


def test_the_json_says_the_same(run: Run, shared: Path) -> None:
    document = json.loads(run("ground", shared, "--ground", "GP1", "--json").out)
    (move,) = document["moves"]
    assert (move["wire"], move["from"], move["to"], move["new_stud_beside"]) == ("W17", "GP1", "GP2", None)
    assert [f["rule"] for f in document["for"]] == [f["rule"] for f in document["mends"]] == ["mixed_returns"]
    assert (document["left"], document["withdrawn"]) == ([], [])
    assert document["cautions"]


def test_nothing_is_written(run: Run, shared: Path) -> None:
    before = shared.read_bytes()
    run("ground", shared)
    assert shared.read_bytes() == before


def test_a_ground_that_is_not_there_is_one_line(run: Run, shared: Path) -> None:
    done = run("ground", shared, "--ground", "GP9")
    assert (done.code, done.out) == (2, "")
    assert "there is no ground 'GP9'" in done.err
    assert len(done.err.splitlines()) == 1
