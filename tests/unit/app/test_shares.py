"""``shares``: the ground map of one joint as table and as JSON."""

import json
import re
from pathlib import Path
from typing import Any

import pytest

from tests.unit.app.conftest import Run

ROW = {"point", "part", "element", "side", "circuit", "share", "way", "amperes", "moved_mv", "also_by"}


def shares(run: Run, *words: str | Path) -> dict[str, Any]:
    done = run("shares", *words, "--json")
    assert (done.code, done.err) == (0, "")
    document: dict[str, Any] = json.loads(done.out)
    return document


def test_the_json_has_the_named_keys_and_every_row_once(run: Run, first: Path) -> None:
    document = shares(run, first, "GP2")
    assert list(document) == ["joint", "mode", "sink", "rise_v", "shares", "if_open"]
    assert (document["joint"], document["mode"]) == ("GP2", "braking")
    assert all(set(row) == ROW for row in document["shares"])
    keys = [(row["element"] or row["point"], row["side"]) for row in document["shares"]]
    assert len(keys) == len(set(keys))
    assert {row["side"] for row in document["shares"]} == {"return"}
    assert {row["way"] for row in document["shares"]} <= {"only", "main", "some", "minor", "none"}


def test_both_ways_of_a_parallel_return_sum_to_one(run: Run, first: Path) -> None:
    # Kirchhoff: what leaves the bed loom does so through one of the two studs.
    left = {row["element"]: row["share"] for row in shares(run, first, "GP2")["shares"]}
    right = {row["element"]: row["share"] for row in shares(run, first, "GP5")["shares"]}
    for load in ("M2", "E5/stop", "E6/stop", "B1"):
        assert left[load] + right[load] == pytest.approx(1.0, abs=1e-9)
        assert 0.05 < left[load] < 0.95


def test_the_mode_is_taken_from_the_words(run: Run, first: Path) -> None:
    document = shares(run, first, "GP2", "--mode", "key_on")
    assert document["mode"] == "key_on"
    pump = next(row for row in document["shares"] if row["part"] == "M2")
    assert pump["amperes"] == 0.0
    assert document["sink"] == "GB1.31"


def test_a_fuse_has_a_feed_side(run: Run, first: Path) -> None:
    rows = {row["element"]: row for row in shares(run, first, "F5")["shares"]}
    assert rows["E5/stop"]["side"] == "feed"
    assert (rows["E5/stop"]["way"], rows["E5/stop"]["share"]) == ("only", pytest.approx(1.0))
    assert rows["M2"]["share"] == pytest.approx(0.0, abs=1e-12)
    assert "are fed through here" in run("shares", first, "F5").out


def test_the_table_names_loads_shares_and_units_and_folds_the_small_ones(run: Run, first: Path) -> None:
    done = run("shares", first, "GP2")
    lines = done.out.splitlines()
    assert lines[0] == "GP2 bed left rear corner, mode braking (Braking)"
    assert re.fullmatch(r"4 loads return here, towards G1\.B-: \S+ A now, \S+ mV lost; rise \S+ mV", lines[1])
    assert lines[3].split() == ["load", "circuit", "share", "way", "current", "moves", "it", "also", "by"]
    pump = next(line for line in lines if line.startswith("M2 fuel pump"))
    assert re.search(r"Fuel pump +\d+ % +(some|main way) +6\.\d\d A +\d+ mV +GP5$", pump)
    assert re.fullmatch(r"\d more below 5 %", lines[-3])
    assert lines[-1].startswith("If it were open: dead nothing; changed M2 fuel pump")


def test_currents_that_flow_against_the_joints_direction_are_shown_as_positive_shares(
    run: Run, first: Path
) -> None:
    assert any(row["share"] < -0.9 for row in shares(run, first, "shell.tunnel")["shares"])
    assert "-9" not in run("shares", first, "shell.tunnel").out.partition("load")[2]


@pytest.mark.parametrize(
    ("words", "complaint"),
    [
        (["GP9"], "'GP9' is no joint of this network in this mode; nearest is 'GP"),
        (["GP2", "--mode", "brakin"], "there is no mode 'brakin'; nearest is 'braking'"),
        (["a b/c"], "'a b/c' is no joint of this network in this mode"),
    ],
)
def test_what_is_not_there_is_told_with_the_nearest(
    run: Run, first: Path, words: list[str], complaint: str
) -> None:
    done = run("shares", first, *words)
    assert (done.code, done.out) == (2, "")
    assert len(done.complaints) == 1
    assert complaint in done.err


def test_a_harness_without_modes_has_none(run: Run, tmp_path: Path) -> None:
    file = tmp_path / "plain.yaml"
    file.write_text(
        "harness_studio: 1\nbodies: {shell: {places_mohm: {a: 0.1}}}\n"
        "parts:\n  GB1: {kind: battery}\n  E1: {kind: lamp, rated_w: 5}\n"
        "grounds:\n  GP1: {place: shell.a}\n"
        "wires:\n  W1: {ends: [GB1.30, E1.1]}\n  W2: {ends: [E1.31, GP1]}\n  W3: {ends: [GB1.31, shell.a]}\n"
    )
    document = shares(run, file, "GP1")
    assert document["mode"] is None
    (lamp,) = document["shares"]
    assert (lamp["way"], lamp["share"], lamp["circuit"]) == ("only", pytest.approx(1.0), None)
    assert run("shares", file, "GP1").out.startswith(
        "GP1, no mode: switches in their first position, engine off\n1 load returns here, towards GB1.31: "
    )


IMPORTED = """\
harness_studio: 1
halves:
  X1: {face: {rows: [[1, 2]]}}
  X2: {face: {rows: [[1]]}}
splices: {SP1: {}}
wires:
  W1: {ends: [X1.1, SP1], area_mm2: 1.0, length_mm: 500}
  W2: {ends: [X2.1, SP1], area_mm2: 1.0, length_mm: 500}
"""


def test_a_splice_with_neither_source_nor_ground_lists_its_ends(run: Run, tmp_path: Path) -> None:
    project = tmp_path / "imported.yaml"
    project.write_text(IMPORTED, encoding="utf-8")
    text = run("shares", str(project), "SP1").out
    assert "2 ends meet here; neither a source nor a ground of theirs is recorded" in text
    assert "X1.1" in text
    assert "below 5 %" not in text
