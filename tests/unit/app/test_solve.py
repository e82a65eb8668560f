"""``solve``: volts and amperes as tables and as JSON."""

import json
import re
from pathlib import Path
from typing import Any

import pytest

from tests.unit.app.conftest import Run

ONE_LAMP = """\
harness_studio: 1
title: One lamp
bodies: {shell: {places_mohm: {a: 0.1}}}
parts:
  GB1: {kind: battery, rest_v: 12, internal_mohm: 10}
  E1: {kind: resistor, ohm: 3}
  E2: {kind: resistor, ohm: 3}
wires:
  W1: {ends: [GB1.30, E1.1], area_mm2: 1.5, length_mm: 1000}
  W2: {ends: [E1.2, GB1.31], area_mm2: 1.5, length_mm: 1000}
  W3: {ends: [E2.1, E2.2], area_mm2: 1.5, length_mm: 1000}
joints:
  E1.2/W2: {mohm: open}
"""


def solve(run: Run, *words: str | Path) -> dict[str, Any]:
    done = run("solve", *words, "--json")
    assert (done.code, done.err) == (0, "")

    def refuse(constant: str) -> None:
        pytest.fail(f"{constant} in the output")

    document: dict[str, Any] = json.loads(done.out, parse_constant=refuse)
    return document


def test_the_json_has_the_named_keys(run: Run, first: Path) -> None:
    document = solve(run, first, "--mode", "braking")
    named = ["mode", "points", "wires", "joints", "parts", "states", "assumed", "unsolved"]
    assert list(document) == [*named, "sneak_paths"]
    assert document["mode"] == "braking"
    assert document["points"]["GB1.31"] == 0.0
    assert set(document["wires"]["W31"]) == {"amperes", "drop_v", "watts", "temperature_c"}
    assert set(document["joints"]["GP2"]) == {"amperes", "drop_v", "mohm"}
    assert document["joints"]["GP2"]["mohm"] == pytest.approx(45.0)
    assert {"GB1", "G1", "M2", "E5", "E6", "P1", "B1"} <= set(document["parts"])
    assert document["unsolved"] == []


def test_what_the_file_does_not_say_is_listed(run: Run, first: Path) -> None:
    before = {note["id"] for note in solve(run, first)["assumed"]}
    assert "W40" not in before
    text = first.read_text(encoding="utf-8").replace(
        "circuit: Fuel pump, length_mm: 800", "circuit: Fuel pump"
    )
    first.write_text(text, encoding="utf-8")
    notes = [note["what"] for note in solve(run, first)["assumed"] if note["id"] == "W40"]
    assert notes == ["length not known, 1 m assumed"]
    assert "  W40: length not known, 1 m assumed\n" in run("solve", first).out


def test_currents_are_positive_from_the_first_end_and_into_a_terminal(run: Run, first: Path) -> None:
    document = solve(run, first)
    assert document["wires"]["W40"]["amperes"] == pytest.approx(
        6.5, rel=0.05
    )  # pump → GP2, rated 6.5 A at 13.5 V
    into = document["parts"]["M2"]["amperes"]
    assert into["M2.15"] == pytest.approx(document["wires"]["W24"]["amperes"])
    assert into["M2.31"] == pytest.approx(-document["wires"]["W40"]["amperes"])
    assert document["parts"]["M2"]["watts"] > 0 > document["parts"]["G1"]["watts"]


def test_current_that_comes_to_a_splice_leaves_it(run: Run, first: Path) -> None:
    wires = solve(run, first)["wires"]
    # Kirchhoff's current law at SP3; W26 and W27 end there, W31 and W33 start there.
    total = sum(wires[w]["amperes"] * sign for w, sign in (("W26", 1), ("W27", 1), ("W31", -1), ("W33", -1)))
    assert total == pytest.approx(0.0, abs=1e-9)


def test_volts_of_an_island_are_null_and_an_open_joint_is_open(run: Run, tmp_path: Path) -> None:
    file = tmp_path / "one.yaml"
    file.write_text(ONE_LAMP)
    document = solve(run, file)
    assert document["mode"] is None
    joint = document["joints"]["E1.2/W2"]
    assert (joint["amperes"], abs(joint["drop_v"]), joint["mohm"]) == (0.0, pytest.approx(12.0), "open")
    assert document["points"]["E2.1"] is None
    (island,) = document["unsolved"]
    assert "W3" in island["what"]
    assert set(island["points"]) >= {"E2.1", "E2.2"}


def test_ohms_law_by_hand(run: Run, tmp_path: Path) -> None:
    file = tmp_path / "one.yaml"
    file.write_text(ONE_LAMP.replace("mohm: open", "mohm: 500"))
    document = solve(run, file)
    i = document["wires"]["W1"]["amperes"]
    carrying = [j["mohm"] / 1e3 for j in document["joints"].values() if j["amperes"]]
    wires = sum(document["wires"][w]["drop_v"] / i for w in ("W1", "W2"))
    # One loop: 12 V over the battery's 10 mΩ, the resistor's 3 Ω, every joint and both wires.
    assert i == pytest.approx(12 / (0.010 + 3 + sum(carrying) + wires))
    assert 0.5 in [pytest.approx(ohm) for ohm in carrying]
    assert document["parts"]["E1"]["watts"] == pytest.approx(3 * i**2)


def test_the_tables_have_heads_units_and_end_with_what_was_assumed(run: Run, first: Path) -> None:
    done = run("solve", first)
    text = done.out
    assert text.startswith("Slipway pickup, mode braking (Braking); volts against GB1.31\n")
    assert re.search(r"\npart +terminal +volts +into it +takes\n", text)
    assert "\nwire  from" in text
    assert "45 mΩ" in text
    assert " more that lose less than 1 mV\n" in text
    assert "\nassumed\n  GB1: " in text
    lost = [line for line in text.partition("\njoint")[2].splitlines() if "mΩ" in line]
    drops = [abs(float(line.split(" mV")[0].split()[-1])) for line in lost if " mV" in line]
    assert drops == sorted(drops, reverse=True)


def test_a_harness_with_nothing_in_it_has_nothing_to_solve(run: Run, tmp_path: Path) -> None:
    file = tmp_path / "empty.yaml"
    file.write_text("harness_studio: 1\n")
    document = solve(run, file)
    assert document["points"] == document["wires"] == document["joints"] == document["parts"] == {}
    assert [lost["what"] for lost in document["unsolved"]] == [
        "no battery: nothing drives a current and there is no post to read against"
    ]
    assert run("solve", file).code == 0
