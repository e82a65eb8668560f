"""``shares --common``: what several loads share, as table and as JSON."""

import json
from pathlib import Path
from typing import Any

import pytest

from tests.unit.app.conftest import Run


def common(run: Run, *words: str | Path) -> dict[str, Any]:
    done = run("shares", *words, "--json")
    assert (done.code, done.err) == (0, "")
    document: dict[str, Any] = json.loads(done.out)
    return document


def test_a_gauge_is_followed_through_its_sender(run: Run, first: Path) -> None:
    # Pump, stop lamp and tank sender end on the two bed studs; the gauge itself is bolted to the dash.
    document = common(run, first, "--common", "E5,M2,P1")
    assert document["loads"] == [
        {"load": "E5", "followed": ["E5/stop"]},
        {"load": "M2", "followed": ["M2"]},
        {"load": "P1", "followed": ["P1", "B1"]},
    ]
    returns = {j["joint"] for j in document["common"] if j["side"] == "return"}
    feeds = {j["joint"] for j in document["common"] if j["side"] == "feed"}
    assert {"GP2", "GP5", "SP3/W33"} <= returns
    assert {"F1", "A9/F1.in"} <= feeds
    out = {j["joint"] for j in document["ruled_out"]}
    assert {"X7.1", "X7.2", "F4", "F5", "P1.31@shell.dash"} <= out
    assert not out & (returns | feeds)


def test_shares_are_those_of_each_joints_ground_map(run: Run, first: Path) -> None:
    document = common(run, first, "--common", "M2, E5/stop")
    for joint in document["common"][:12]:
        rows = json.loads(run("shares", first, joint["joint"], "--json").out)["shares"]
        alone = {r["element"]: abs(r["share"]) for r in rows if r["side"] == joint["side"]}
        for load, share in joint["shares"].items():
            assert alone[load] == pytest.approx(share, abs=1e-9)
        assert joint["least"] == min(joint["shares"].values())


def test_the_table_has_the_sides_apart_and_names_what_is_ruled_out(run: Run, first: Path) -> None:
    lines = run("shares", first, "--common", "E5,M2,P1").out.splitlines()
    assert lines[0] == ("E5 rear lamp left, M2 fuel pump, P1 fuel gauge (with B1); mode braking (Braking)")
    assert lines[2].startswith("Return side  ")
    assert any(line.startswith("Feed side  ") for line in lines)
    assert any(
        line.split()[:8] == ["GP2", "bed", "left", "rear", "corner", "stud", "on", "its"] for line in lines
    )
    assert lines[-1].startswith("Ruled out as the one cause, since not all of them pass it: ")


def test_a_load_that_is_not_fed_is_told(run: Run, first: Path) -> None:
    document = common(run, first, "--common", "E5,P1", "--mode", "key_on")
    assert document["not_connected"] == {"return": [], "feed": ["E5"]}
    assert {j["side"] for j in document["common"]} == {"return"}
    text = run("shares", first, "--common", "E5,P1", "--mode", "key_on").out
    assert "Feed side: E5 is not connected there in this mode" in text


@pytest.mark.parametrize(
    ("words", "complaint"),
    [
        ([], "shares: name one joint, or several loads with --common E5,M2,P1"),
        (["GP2", "--common", "M2"], "shares: name one joint, or several loads"),
        (["--common", " , "], "--common: name the loads with commas between them"),
        (["--common", "M22,E5"], "'M22' is no load of this network; nearest is 'M2'"),
    ],
)
def test_wrong_words_are_told_in_one_line(run: Run, first: Path, words: list[str], complaint: str) -> None:
    done = run("shares", first, *words)
    assert (done.code, done.out) == (2, "")
    assert len(done.complaints) == 1
    assert complaint in done.err
