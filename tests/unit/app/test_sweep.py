"""The sweep on the command line."""

from __future__ import annotations

import json

import pytest

from harness_studio.app.main import main


@pytest.fixture
def first(sample_projects_dir):
    return str(sample_projects_dir / "first_harness.yaml")


def test_rows_equal_a_solve_with_that_joint(first, capsys):
    assert main(["sweep", first, "--joint", "GP2/W40", "--added", "200", "--json"]) == 0
    found = json.loads(capsys.readouterr().out)
    assert found["mode"] == "braking"
    (row,) = found["rows"]
    assert (row["joint"], row["added_mohm"]) == ("GP2/W40", 200.0)
    changes = {c["reading"]: c for c in row["changes"]}
    assert main(["solve", first, "--json"]) == 0
    mohm = json.loads(capsys.readouterr().out)["joints"]["GP2/W40"]["mohm"]
    assert main(["solve", first, "--joint", f"GP2/W40={mohm + 200}", "--json"]) == 0
    pump = json.loads(capsys.readouterr().out)["parts"]["M2"]["readings"]["M2 volts"]
    # The sweep keeps wires as warm as before, the solve warms them anew: a few millivolts apart.
    assert changes["M2 volts"]["bad"] == pytest.approx(pump["value"], abs=0.01)
    assert changes["M2 volts"]["clean"] - changes["M2 volts"]["bad"] > 1.0


def test_open_is_a_severity_and_the_table_names_it(first, capsys):
    assert main(["sweep", first, "--joint", "F4", "--added", "open"]) == 0
    text = capsys.readouterr().out
    assert "open" in text
    assert "M2 speed" in text


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (["--joint", "GP22"], "nearest is 'GP2'"),
        (["--added", "-5"], "above 0"),
        (["--added", "much"], "above 0"),
        (["--mode", "brakes"], "braking"),
    ],
)
def test_bad_words_are_one_line_and_exit_2(first, capsys, words, told):
    assert main(["sweep", first, *words]) == 2
    lines = capsys.readouterr().err.strip().splitlines()
    assert len(lines) == 1
    assert told in lines[0]
