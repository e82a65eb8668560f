"""Direct-current circuits whose answers are printed in textbooks.

Sources
-------
Tony R. Kuphaldt, "Lessons In Electric Circuits", vol. I (DC): the circuits in `dc/textbook_dc.json` of the sample
files, each with the place it is printed at; an answer is compared in the digits that are printed.

W. Moebs, S. J. Ling, J. Sanny, "University Physics", vol. 2, OpenStax 2016, section 10.3 "Kirchhoff's Rules": the two
worked examples and the check between them, amperes and watts as printed. (R3 of the second one is printed as 20 ohm in
its figure and as 10 ohm in one line; the watts are those of 20 ohm.)
"""

import json
import re
from functools import cache
from pathlib import Path
from typing import Any

import pytest

from harness_studio.electrics.solution import Solution
from tests.support.builders import of_resistances
from tests.support.physics import IDEAL_SOURCE_A, solved

NAMES = (
    "two batteries three resistors",
    "unbalanced Wheatstone bridge",
    "unbalanced bridge (delta-wye check)",
    "node voltage method example",
    "series-parallel",
    "series divider",
    "shunt 1 ohm in 15k load",
)


@cache
def book(folder: Path) -> dict[str, dict[str, Any]]:
    data = json.loads((folder / "dc" / "textbook_dc.json").read_text(encoding="utf-8"))
    return {circuit["name"]: circuit for circuit in data["circuits"]}


def solution_of(circuit: dict[str, Any]) -> Solution:
    """Solve a circuit; where a source's own node is not asked for, its series resistance is taken as internal.

    (An ideal source is one behind 1 µΩ here, which shows in the seventh digit.)
    """
    sources = [(name, plus, minus, float(volts)) for name, plus, minus, volts in circuit["V"]]
    resistances = [(a, b, float(ohm)) for _, a, b, ohm in circuit["R"]]
    internal_mohm = {}
    asked = set(re.findall(r"\w+", " ".join(circuit["published"])))
    for name, plus, minus, volts in sources:
        here = [r for r in resistances if plus in r[:2]]
        if len(here) == 1 and plus not in asked:
            a, b, ohm = here[0]
            resistances.remove(here[0])
            internal_mohm[name] = 1000.0 * ohm
            sources[[s[0] for s in sources].index(name)] = (name, b if a == plus else a, minus, volts)
    return solved(of_resistances(resistances, sources, "0", internal_mohm), floor_a=IDEAL_SOURCE_A)


def answer(solution: Solution, asked: str) -> float:
    """Return v(a), v(a,b), or i(source): the current into its positive terminal."""
    form = re.fullmatch(r"([vi])\((\w+)(?:,(\w+))?\)", asked)
    assert form, asked
    kind, first, second = form.groups()
    if kind == "i":
        return dict(solution.parts())[first].terminals[f"{first}.30"]
    volts = [solution.volt(f"N{node}") if node else 0.0 for node in (first, second)]
    assert None not in volts
    return float(volts[0] or 0.0) - float(volts[1] or 0.0)


def as_printed(value: float, digits: int) -> float:
    return float(f"{value:.{digits - 1}e}")


@pytest.mark.parametrize("name", NAMES)
def test_answers_have_the_printed_digits(samples_dir: Path, name: str) -> None:
    circuit = book(samples_dir)[name]
    solution = solution_of(circuit)
    found = {asked: as_printed(answer(solution, asked), circuit["digits"]) for asked in circuit["published"]}
    printed = {asked: as_printed(value, circuit["digits"]) for asked, value in circuit["published"].items()}
    assert found == pytest.approx(printed, rel=10.0 ** -circuit["digits"], abs=0.0)


def test_no_circuit_of_the_sample_file_is_left_out(samples_dir: Path) -> None:
    assert sorted(book(samples_dir)) == sorted(NAMES)


def amperes_out(solution: Solution, source: str) -> float:
    return -dict(solution.parts())[source].terminals[f"{source}.30"]


def watts(solution: Solution, part: str) -> float:
    return dict(solution.parts())[part].watts


def test_two_loops_of_three_sources() -> None:
    s = solved(
        of_resistances(
            [
                ("1", "x", 1.0),
                ("y", "z", 5.0),
                ("c", "2", 1.0),
                ("x", "c", 2.0),
                ("3", "y", 1.0),
                ("z", "c", 2.0),
            ],
            [("V1", "1", "0", 0.5), ("V2", "0", "2", 0.6), ("V3", "3", "0", 2.3)],
            "0",
        ),
        floor_a=IDEAL_SOURCE_A,
    )
    found = [amperes_out(s, "V1"), amperes_out(s, "V3"), amperes_out(s, "V2")]
    assert [f"{i:.2f}" for i in found] == ["0.20", "0.30", "0.50"]
    printed = {"R1": "0.04", "R2": "0.45", "R3": "0.25", "R4": "0.08", "R5": "0.09", "R6": "0.18"}
    assert {part: f"{watts(s, part):.2f}" for part in printed} == printed
    assert [f"{-watts(s, v):.2f}" for v in ("V1", "V3", "V2")] == ["0.10", "0.69", "0.30"]
    assert f"{sum(watts(s, part) for part in printed):.2f}" == "1.09"


def test_a_source_can_take_power() -> None:
    # 24 V against 12 V through 10 kΩ and 30 kΩ: I = 0.30 mA, 7.20 mW given, as much taken.
    sources = [("V1", "1", "0", 24.0), ("V2", "2", "3", 12.0)]
    s = solved(of_resistances([("1", "2", 10e3), ("3", "0", 30e3)], sources, "0"), floor_a=IDEAL_SOURCE_A)
    assert f"{-1000.0 * watts(s, 'V1'):.2f}" == "7.20"
    assert f"{1000.0 * (watts(s, 'V2') + watts(s, 'R1') + watts(s, 'R2')):.1f}" == "7.2"


def test_two_sources_against_one_another() -> None:
    sources = [("V2", "1", "0", 24.0), ("V1", "3", "4", 12.0)]
    ring = [("1", "2", 20.0), ("2", "3", 10.0), ("4", "0", 30.0)]
    s = solved(of_resistances(ring, sources, "0"), floor_a=IDEAL_SOURCE_A)
    assert f"{amperes_out(s, 'V2'):.2f}" == "0.20"
    printed = {"R2": "0.40", "R3": "1.20", "R1": "0.80", "V1": "2.40", "V2": "-4.80"}
    assert {part: f"{watts(s, part):.2f}" for part in printed} == printed
