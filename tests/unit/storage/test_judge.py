"""References and contradictions are told at the place in the file that is wrong."""

import pytest

from harness_studio.base.errors import InputError
from harness_studio.storage.judge import words
from harness_studio.storage.project_file import parse

HEAD = """\
harness_studio: 1
bodies: {shell: {places_mohm: {bed: 0.2}}}
splices: {SP1: {}}
parts:
  E1: {kind: lamp}
  S1: {kind: switch}
halves: {X1: {face: {rows: [[1, 2]]}}}
"""


@pytest.mark.parametrize(
    ("line", "column", "told"),
    [
        ("wires: {W1: {ends: [SP1, SP2]}}", 26, "wires W1 ends: 'SP2' is not in this harness; nearest is 'SP1'"),
        ("wires: {W1: {ends: [SP1.1, cut]}}", 21, "'SP1.1': SP1 has no terminals; write 'SP1'"),
        ("wires: {W1: {ends: [E1, cut]}}", 21, "'E1' names no terminal, cavity or place of E1"),
        ("wires: {W1: {ends: [E1.2, cut]}}", 21, "'E1.2': E1 has no terminal '2'; it has 1, 31"),
        ("wires: {W1: {ends: [X1.3, cut]}}", 21, "'X1.3': X1 has no cavity '3'; it has 1, 2"),
        ("wires: {W1: {ends: [shell.bad, cut]}}", 21, "shell has no place 'bad'; it has bed"),
        ("wires: {W1: {ends: [cut, cut], runs: [r1]}}", 39, "wires W1 runs: 'r1' is not in runs"),
        ("wires: {W1: {ends: [cut, cut], rings_to: [{point: SP2}]}}", 51, "wires W1 rings_to point: 'SP2'"),
        ("wires: {W1: {ends: [cut, cut], as_found: {ends: [SP1, SP3]}}}", 55, "wires W1 as_found ends: 'SP3'"),
        ("grounds: {G: {stack: [[W1]]}}", 24, "grounds G stack: 'W1' is not in wires"),
        ("grounds: {G: {at: bk}}", 19, "grounds G at: 'bk' is not in breakouts"),
        ("grounds: {G: {at: {run: r, mm: 5}}}", 25, "grounds G at run: 'r' is not in runs"),
        ("modes: {m: {set: {S9: on}}}", 19, "modes m set S9: 'S9' is not in parts"),
        ("modes: {m: {like: n}}", 19, "modes m like: 'n' is not in modes"),
        ("multicores: {C: {wires: [W9], shield: W8}}", 26, "'W9' is not in wires"),
        ("annotations: {n: {on: X9, text: t}}", 23, "annotations n on: 'X9' is not in"),
        ("annotations: {n: {on: X1.9, text: t}}", 23, "X1 has no cavity '9'"),
        ("photos: {p: {file: a.png, on: [SP1, Z]}}", 37, "photos p on: 'Z' is not in"),
        ("bonds: {b: {ends: [shell.bed, shell.x], mohm: 1}}", 31, "shell has no place 'x'"),
        ("breakouts: {b: {zone: z}}", 23, "breakouts b zone: 'z' is not in zones"),
    ],
)  # fmt: skip
def test_a_reference_is_told_where_it_stands(line: str, column: int, told: str) -> None:
    with pytest.raises(InputError) as caught:
        parse(HEAD + line + "\n", "f")
    first = caught.value.problems[0]
    assert (first.line, first.column) == (8, column)
    assert told in first.what


def test_annotations_name_a_thing_or_a_point_of_it() -> None:
    parse(HEAD + "annotations: {n: {on: X1, text: t}, m: {on: X1.2, text: t}, o: {on: SP1, text: t}}\n")


def test_the_names_in_a_path() -> None:
    assert words(("ends", 0, "x", 3)) == ["ends", "x"]
