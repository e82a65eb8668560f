"""``size``: advice as JSON and as text, exit codes, bad input; the file stays as it is."""

import json
from pathlib import Path
from typing import Any

import pytest

from harness_studio.storage.project_file import write_project
from tests.unit.app.conftest import Run
from tests.unit.checks import harnesses as h


@pytest.fixture
def thin(tmp_path: Path) -> Path:
    """Return a project in which W3 is too thin for its length and W4 for its fuse."""
    x = h.sound()
    h.wire(x, "W3", area_mm2=0.75, length_mm=6000.0)
    h.wire(x, "W4", area_mm2=0.22)
    write_project(tmp_path / "thin.yaml", x, None)
    return tmp_path / "thin.yaml"


def advice(run: Run, *words: str | Path, code: int) -> dict[str, Any]:
    done = run("size", *words, "--json")
    assert (done.code, done.err) == (code, "")
    document: dict[str, Any] = json.loads(done.out)
    return document


def test_one_wire(run: Run, tmp_path: Path) -> None:
    x = h.sound()
    h.wire(x, "W3", area_mm2=0.75, length_mm=6000.0)
    thin = tmp_path / "one.yaml"
    write_project(thin, x, None)
    before = thin.read_bytes()
    document = advice(run, thin, "--wire", "W3", code=0)
    (wire,) = document["wires"]
    assert wire["wire"] == "W3"
    assert wire["present"] == {"area_mm2": 0.75, "awg": None, "text": "0.75 mm²"}
    assert wire["proposed"]["area_mm2"] == wire["smallest"]["area_mm2"] == 2.5
    assert wire["decided_by"] == "wire_drop"
    assert wire["next_smaller"].startswith("2 mm² loses")
    assert wire["problem"] is None
    assert [f["fuse"] for f in document["fuses"]] == ["F2"]
    assert "wire_drop" in {f["rule"] for f in document["mends"]}
    assert document["findings"] == []
    assert document["cautions"][0].startswith("Planning aid")
    assert thin.read_bytes() == before


METHODS = {
    "heat-balance": "heat balance; Churchill-Chu 1975, radiation, insulation; heat balance in still air",
    "cfr_33_183_425": "handbook table; 33 CFR 183.425 table 5; ",
    "iso_6722": "handbook table; Guide currents of DIN VDE 0298-4 for ISO 6722 cable; ",
}


@pytest.mark.parametrize("method", METHODS)
def test_an_ampacity_says_method_table_and_source(run: Run, tmp_path: Path, method: str) -> None:
    # 44 A: the smallest size that passes for drop over 0.1 m is too thin for the heat.
    x = h.sound()
    h.part(x, "E1", rated_w=600.0)
    h.part(x, "F2", rated_a=None, style=None)
    for name in ("W2", "W3", "W4", "W5"):
        h.wire(x, name, length_mm=100.0, area_mm2=1.0)
    hot = tmp_path / "hot.yaml"
    write_project(hot, x, None)
    done = run("size", hot, "--wire", "W3", "--method", method, "--json")
    (wire,) = json.loads(done.out)["wires"]
    assert wire["decided_by"] == "wire_ampacity", wire
    assert wire["source"].startswith(METHODS[method])
    text = " ".join(run("size", hot, "--wire", "W3", "--method", method).out.split())
    assert f"these numbers rest on {METHODS[method]}" in text
    found = json.loads(run("check", hot, "--method", method, "--json").out)["findings"]
    told = [f for f in found if f["rule"] == "wire_ampacity" and "W3" in f["ids"]]
    assert told
    assert METHODS[method] in told[0]["source"]


def test_the_exit_code_is_one_while_a_stop_stands_on_what_is_sized(run: Run, thin: Path) -> None:
    document = advice(run, thin, "--wire", "W4", code=1)
    assert {f["rule"] for f in document["findings"]} == {"fuse_wire", "fuse_withstand"}
    assert advice(run, thin, code=1)["findings"]


def test_a_circuit(run: Run, thin: Path) -> None:
    document = advice(run, thin, "--circuit", "Blower", code=0)
    assert [wire["wire"] for wire in document["wires"]] == ["W6", "W7", "W8"]


def test_the_text_is_a_table_with_what_decided(run: Run, thin: Path) -> None:
    text = run("size", thin, "--circuit", "Lamp").out
    lines = text.splitlines()
    assert lines[3].split()[:2] == ["wire", "now"]
    assert any(line.startswith("W3") and "wire_drop" in line and "2.5 mm²" in line for line in lines)
    assert any(line.startswith("F2") and "15 A" in line for line in lines)
    assert any("takes away" in line for line in lines)
    assert "stop: stands as it is now" in text
    assert "Planning aid" in text


def test_what_is_not_known_is_named_and_nothing_passes(run: Run, tmp_path: Path) -> None:
    x = h.sound()
    h.wire(x, "W3", length_mm=None)
    write_project(tmp_path / "unknown.yaml", x, None)
    document = advice(run, tmp_path / "unknown.yaml", "--wire", "W3", code=0)
    (wire,) = document["wires"]
    assert (wire["smallest"], wire["proposed"]) == (None, None)
    assert wire["problem"] == "its length is not known"
    assert "W3: its length is not known" in run("size", tmp_path / "unknown.yaml", "--wire", "W3").out


@pytest.mark.parametrize(
    ("words", "complaint"),
    [
        (["--wire", "W33"], "there is no wire 'W33'; nearest is 'W3'"),
        (["--circuit", "Lamps"], "there is no circuit 'Lamps'; nearest is 'Lamp'"),
        (["--mode", "drive"], "there is no mode 'drive'; nearest is 'driving'"),
        (
            ["--method", "guess"],
            "--method: there is no way 'guess' to find ampacity; there are heat-balance, handbook",
        ),
        (["--wire", "W3", "--circuit", "Lamp"], "argument --circuit: not allowed with argument --wire"),
    ],
)
def test_what_is_not_there_is_told_in_one_line(
    run: Run, thin: Path, words: list[str], complaint: str
) -> None:
    done = run("size", thin, *words)
    assert (done.code, done.out) == (2, "")
    assert len(done.complaints) == 1
    assert complaint in done.err


def test_every_sample_project_is_sized(run: Run, sample_projects_dir: Path) -> None:
    for project in sorted(sample_projects_dir.glob("*.yaml")):
        assert run("size", project, "--json").code in (0, 1)
