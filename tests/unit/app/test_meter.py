"""The meter on the command line."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from harness_studio.app.main import main
from tests.unit.app.conftest import Run


@pytest.fixture
def first(sample_projects_dir):
    return str(sample_projects_dir / "first_harness.yaml")


def read(capsys, *words):
    assert main(["meter", *words, "--json"]) == 0
    return json.loads(capsys.readouterr().out)


def test_a_dialled_joint_shows_and_clean_stays(first, capsys):
    base = read(capsys, first, "--plus", "W40@GP2", "--minus", "GB1.31")
    bad = read(capsys, first, "--plus", "W40@GP2", "--minus", "GB1.31", "--joint", "GP2=500")
    assert bad["clean_volts"] == pytest.approx(base["clean_volts"])
    assert bad["volts"] > base["volts"] > base["clean_volts"]
    assert bad["between"] == "metal"
    assert bad["current_flows"]


def test_nothing_between_without_current_is_said(first, capsys):
    assert main(["meter", first, "--plus", "F4.in", "--minus", "F4.out", "--joint", "F4=open"]) == 0
    text = capsys.readouterr().out
    assert "A load or a source" in text
    assert main(["meter", first, "--plus", "X7.1", "--minus", "X8.1", "--joint", "S1.30:54=open"]) == 0
    assert "No current flows" in capsys.readouterr().out


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (["--plus", "GB1.32", "--minus", "GB1.31"], "GB1.3"),
        (["--plus", "GB1.30", "--minus", "GB1.31", "--joint", "GP2"], "JOINT=MILLIOHMS"),
        (["--plus", "GB1.30", "--minus", "GB1.31", "--joint", "GP2=-1"], "JOINT=MILLIOHMS"),
        (["--plus", "GB1.30", "--minus", "GB1.31", "--joint", "GP9=1"], "nearest"),
    ],
)
def test_bad_words_are_one_line_and_exit_2(first, capsys, words, told):
    assert main(["meter", first, *words]) == 2
    lines = capsys.readouterr().err.strip().splitlines()
    assert len(lines) == 1
    assert told in lines[0]


def test_the_staircase_leads_from_post_to_post(run: Run, first: Path) -> None:
    done = run("meter", first, "--through", "M2", "--via", "GP2", "--json")
    document = json.loads(done.out)
    steps = document["steps"]
    points = json.loads(run("solve", first, "--json").out)["points"]
    assert steps[0]["from_v"] == pytest.approx(points["GB1.30"])
    assert steps[-1]["to_v"] == pytest.approx(points["GB1.31"], abs=1e-12)
    assert [s["side"] for s in steps].count("load") == 1
    stud = next(s for s in steps if s["step"] == "GP2")
    assert stud["lost_v"] > 20 * stud["clean_lost_v"]
    text = run("meter", first, "--through", "M2", "--via", "GP2").out
    assert "M2 fuel pump, from post to post; mode braking (Braking)" in text
    assert "stud on its body" in text


@pytest.mark.parametrize(
    "words", [[], ["--plus", "GP2"], ["--plus", "GP2", "--minus", "GB1.31", "--through", "M2"]]
)
def test_neither_two_tips_nor_a_load_is_told(run: Run, first: Path, words: list[str]) -> None:
    done = run("meter", first, *words)
    assert (done.code, done.out) == (2, "")
    assert "give two points with --plus and --minus, or a load with --through" in done.err
