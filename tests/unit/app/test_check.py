"""``check``: findings as JSON and as text, exit codes, bad input."""

import json
import re
from pathlib import Path
from typing import Any

import pytest

from harness_studio.storage.project_file import write_project
from tests.unit.app.conftest import Run
from tests.unit.checks import harnesses as h

KEYS = ["rule", "grade", "ids", "text", "value", "limit", "unit", "source", "remedy"]


@pytest.fixture
def spoilt(tmp_path: Path) -> Path:
    """Return a project with a lamp that stays on with the key off, a poor stud, and an accepted exemption."""
    x = h.sound()
    x.modes["parked"] = h.replace(x.modes["parked"], set={"S0": "off", "S1": "on"})
    h.joint(x, "GP1", 45.0)
    h.accept(x, "fuse_missing/W1", "a hand's breadth, sleeved")
    h.limit(x, "rise_ground_v", 0.25, "long way to the rear")
    write_project(tmp_path / "spoilt.yaml", x, None)
    return tmp_path / "spoilt.yaml"


@pytest.fixture
def fine(tmp_path: Path) -> Path:
    write_project(tmp_path / "fine.yaml", h.sound(), None)
    return tmp_path / "fine.yaml"


def findings(run: Run, *words: str | Path, code: int = 1) -> dict[str, Any]:
    done = run("check", *words, "--json")
    assert (done.code, done.err) == (code, "")
    document: dict[str, Any] = json.loads(done.out)
    return document


def test_the_json_has_the_named_keys(run: Run, spoilt: Path) -> None:
    document = findings(run, spoilt)
    assert next(iter(document)) == "findings"
    assert all(list(found) == KEYS for found in document["findings"])
    assert {found["grade"] for found in document["findings"]} <= {"stop", "mend", "note"}
    lamp = next(found for found in document["findings"] if found["rule"] == "on_with_key_off")
    assert (lamp["grade"], lamp["ids"], lamp["unit"], lamp["limit"]) == ("stop", ["E1"], "A", 0.05)
    assert lamp["value"] == pytest.approx(4.0, abs=0.3)
    assert "(mode parked)" in lamp["text"]


def test_what_is_accepted_is_listed_apart_with_its_reason(run: Run, spoilt: Path) -> None:
    document = findings(run, spoilt)
    assert "fuse_missing" not in {found["rule"] for found in document["findings"]}
    (accepted,) = document["accepted"]
    assert list(accepted) == [*KEYS, "reason"]
    assert accepted["reason"] == "a hand's breadth, sleeved"


def test_a_reason_that_matches_nothing_any_more_is_told(run: Run, tmp_path: Path) -> None:
    x = h.sound()
    h.accept(x, "ground_rise/GP1", "a long bed")
    write_project(tmp_path / "old.yaml", x, None)
    old = tmp_path / "old.yaml"
    document = findings(run, old, code=0)
    assert document["accepted"] == []
    (told,) = [f for f in document["findings"] if f["rule"] == "accepted_gone"]
    assert list(told) == KEYS
    assert (told["grade"], told["ids"]) == ("note", ["ground_rise/GP1", "GP1"])
    text = " ".join(run("check", old).out.split())
    assert "accepted because a long bed, but 'ground stud rises' is not found there any more" in text
    assert (
        "do: remove it: with 'Remove it' beside the finding in the window, or its line under 'accepted'"
        in text
    )


def test_a_limit_of_the_projects_own_is_printed_with_its_reason(run: Run, spoilt: Path) -> None:
    assert findings(run, spoilt)["limits"]["overridden"] == [
        {"limit": "rise_ground_v", "value": 0.25, "unit": "V", "reason": "long way to the rear"}
    ]
    text = run("check", spoilt).out
    assert (
        "this project's own limit: rise_ground_v (rise of a ground stud) 0.25 V, because long way to the rear"
        in text
    )


def test_the_exit_code_is_one_while_a_stop_stands(run: Run, spoilt: Path, fine: Path) -> None:
    assert run("check", spoilt).code == 1
    assert run("check", spoilt, "--mode", "driving").code == 0
    assert run("check", fine).code == 0


def test_an_accepted_stop_does_not_stand(run: Run, tmp_path: Path) -> None:
    x = h.sound()
    x.modes["parked"] = h.replace(x.modes["parked"], set={"S0": "off", "S1": "on"})
    h.accept(x, "on_with_key_off/E1", "parking lamp")
    write_project(tmp_path / "lamp.yaml", x, None)
    done = run("check", tmp_path / "lamp.yaml")
    assert done.code == 0
    assert "because parking lamp" in done.out


def test_the_text_is_grouped_by_grade_with_numbers_source_and_remedy(run: Run, spoilt: Path) -> None:
    lines = run("check", spoilt).out.splitlines()
    assert lines[0] == "invented: parked, driving"
    assert lines[1] == "limits: Road vehicle, workshop practice; ampacity by heat balance"
    heads = [line for line in lines if line.startswith(("stop", "mend", "note", "accepted"))]
    assert [head.split(":")[0].split(" ")[0] for head in heads] == ["stop", "mend", "accepted"]
    text = "\n".join(lines)
    assert re.search(
        r"found 0\.\d+ V; limit 0\.25 V; solved volts: limit rise_ground_v: set by this project", text
    )
    assert "From it come: load loses too much on its return (" in text
    assert "do: clean the stud where its own joint loses most" in text
    assert "fuse_missing/W1: W1 is live without a fuse" in text
    assert lines[-5] == (
        "Planning aid: measured values, the vehicle maker's data, local codes and licensed practice come first."
    )


def test_the_method_is_the_users_choice_and_is_shown(run: Run, fine: Path) -> None:
    assert "ampacity by handbook table cfr_33_183_425" in run("check", fine, "--method", "cfr_33_183_425").out
    document = findings(run, fine, "--method", "handbook", code=0)
    assert document["method"] == "handbook table"


def test_the_file_says_how_ampacity_is_found_and_the_command_may_say_otherwise(
    run: Run, tmp_path: Path
) -> None:
    x = h.sound()
    h.way_to_ampacity(x, "iso_6722")
    write_project(tmp_path / "own.yaml", x, None)
    own = tmp_path / "own.yaml"
    for command in ("check", "size"):
        assert "ampacity by handbook table iso_6722, this project's own choice\n" in run(command, own).out
        assert json.loads(run(command, own, "--json").out)["method"] == "handbook table iso_6722"
        other = run(command, own, "--method", "heat-balance")
        assert "ampacity by heat balance, for this once; the project file says iso_6722\n" in other.out
    assert [row["wire"] for row in json.loads(run("size", own, "--wire", "W3", "--json").out)["wires"]] == [
        "W3"
    ]


@pytest.mark.parametrize(
    ("words", "complaint"),
    [
        (["--mode", "drivin"], "there is no mode 'drivin'; nearest is 'driving'"),
        (
            ["--method", "cfr_33"],
            "--method: there is no way 'cfr_33' to find ampacity; nearest is 'cfr_33_183_425'",
        ),
    ],
)
def test_what_is_not_there_is_told_in_one_line(
    run: Run, fine: Path, words: list[str], complaint: str
) -> None:
    done = run("check", fine, *words)
    assert (done.code, done.out) == (2, "")
    assert done.complaints == [f"harness-studio: {complaint}"]


def test_a_file_that_cannot_be_read_is_bad_input(run: Run, tmp_path: Path) -> None:
    done = run("check", tmp_path / "nothing.yaml")
    assert done.code == 2
    assert len(done.complaints) == 1


def test_a_harness_with_bad_values_is_judged_as_far_as_it_goes(run: Run, tmp_path: Path) -> None:
    x = h.sound()
    h.wire(x, "W3", material="unobtainium")
    write_project(tmp_path / "odd.yaml", x, None)
    document = findings(run, tmp_path / "odd.yaml", code=0)
    assert {found["rule"] for found in document["findings"]} == {"mode_not_judged"}


def test_every_sample_project_is_checked(run: Run, sample_projects_dir: Path) -> None:
    for project in sorted(sample_projects_dir.glob("*.yaml")):
        done = run("check", project, "--json")
        assert done.code in (0, 1)
        document = json.loads(done.out)
        assert "check_failed" not in {found["rule"] for found in document["findings"]}


def test_the_first_sample_shows_its_intended_faults(run: Run, first: Path) -> None:
    # Paint under GP2; the sender shares it with pump and lamps; the pump hangs on a fuse alone; another colour.
    found = {(f["rule"], f["ids"][0]) for f in findings(run, first)["findings"]}
    assert {
        ("ground_rise", "GP2"),
        ("sensor_rise", "B1"),
        ("mixed_returns", "GP2"),
        ("fuel_pump_runs_on", "M2"),
        ("found_differs", "W40"),
    } <= found
