"""Suspects on the command line."""

from __future__ import annotations

import json

import pytest

from harness_studio.app.main import main

CASE = """cases:
  c1:
    complaint: lamps dim
    readings:
      - {kind: volts, mode: braking, plus: GP2, minus: GB1.31, value: 0.27}
      - {kind: volts, mode: braking, plus: GONE, minus: GB1.31, value: 0.9}
"""


@pytest.fixture
def project(sample_projects_dir, tmp_path):
    text = (sample_projects_dir / "first_harness.yaml").read_text(encoding="utf-8")
    path = tmp_path / "with_case.yaml"
    kept = "\n".join(line for line in text.splitlines() if not line.startswith("cases:"))
    path.write_text(kept + "\n" + CASE, encoding="utf-8")
    return str(path)


def test_json_has_groups_and_readings(project, capsys):
    assert main(["suspects", project, "--case", "c1", "--json"]) == 0
    found = json.loads(capsys.readouterr().out)
    assert found["case"] == "c1"
    assert set(found["groups"][0]) == {
        "members", "probability", "added_mohm", "range", "explains", "misses", "predicts",
    }  # fmt: skip
    assert 0.0 <= found["none_fits"] <= 1.0
    assert found["next"][0]["kind"] == "reading"
    assert "GONE" in found["notes"][0]


def test_words_for_a_person(project, capsys):
    assert main(["suspects", project, "--case", "c1"]) == 0
    assert "measure next" in capsys.readouterr().out


def test_a_case_that_is_not_there(project, capsys):
    assert main(["suspects", project, "--case", "c2"]) == 2
    assert "there is no case 'c2'; known: c1" in capsys.readouterr().err
