"""Points: which are there, and what is said of those that are not."""

from pathlib import Path

import pytest

from harness_studio.base.errors import AddressError
from harness_studio.model.harness import Harness
from harness_studio.model.references import Reference, check_point, problem_with, references
from harness_studio.storage.project_file import read_project

EXAMPLE = Path(__file__).parents[1] / "storage" / "example.yaml"


@pytest.fixture(scope="module")
def harness() -> Harness:
    return read_project(EXAMPLE).harness


@pytest.mark.parametrize(
    "text",
    ["SP3", "GP2", "GB1.31", "G1.B+", "X7.8", "X9.anything", "shell.bed_rear", "W40@GP2", "W40@X9.2", "E5.58", "S1.54",
     "A9.stud"],
)  # fmt: skip
def test_points_that_are_there(harness: Harness, text: str) -> None:
    check_point(harness, text)


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("SP4", "'SP4' is not in this harness; nearest is 'SP3'"),
        ("QQQQ", "'QQQQ' is not in this harness"),
        ("SP3.1", "'SP3.1': SP3 has no terminals; write 'SP3'"),
        ("GB1", "'GB1' names no terminal, cavity or place of GB1"),
        ("GB1.15", "'GB1.15': GB1 has no terminal '15'; it has 30, 31"),
        ("X7.9", "'X7.9': X7 has no cavity '9'; it has 1, 2, 3, 4, 5, 6, 7, 8"),
        ("shell.roof", "'shell.roof': shell has no place 'roof'; it has cab_floor, bed_rear"),
        ("W31", "'W31' is a wire, not a point"),
        ("throttle_cable", "'throttle_cable' is a bond, not a point"),
        ("W40@SP3", "'W40@SP3': W40 ends at X9.2 and GP2, not at SP3"),
        ("W99@GP2", "'W99' is not in wires"),
        ("cut", "'cut' is not a point"),
        ("a b", "'a b' is not a point"),
        ("", "'' is not a point"),
    ],
)
def test_points_that_are_not(harness: Harness, text: str, told: str) -> None:
    with pytest.raises(AddressError) as caught:
        check_point(harness, text)
    assert str(caught.value).startswith(told)


def test_what_a_wire_refers_to(harness: Harness) -> None:
    found = list(references("wires", harness.wires["W77"]))
    assert [(r.path, r.text, r.target) for r in found] == [
        (("ends", 0), "X7.7", "X7"),
        (("rings_to", 0, "point"), "F4.out", "F4"),
        (("rings_not", 0, "point"), "GP2", "GP2"),
    ]
    assert all(r.is_point for r in found)


def test_what_a_half_refers_to(harness: Harness) -> None:
    half = harness.halves["X9"]
    found = [(r.path, r.text, r.sections) for r in references("halves", half)]
    assert found == [
        (("part",), "M2", ("parts",)),
        (("cavities", "1", "terminal"), "M2.15", ()),
        (("cavities", "2", "terminal"), "M2.31", ()),
    ]


def test_an_id_may_be_in_one_of_several_sections(harness: Harness) -> None:
    assert problem_with(harness, Reference(("on", 0), "GP2", ("parts", "grounds"))) is None
    problem = problem_with(harness, Reference(("on", 0), "GP3", ("parts", "grounds")))
    assert problem == "'GP3' is not in parts or grounds; nearest is 'GP2'"


def test_every_reference_of_the_example_holds(harness: Harness) -> None:
    found = [r for s, t in harness.tables.items() for e in t.values() for r in references(s, e)]
    assert len(found) > 60
    assert [problem_with(harness, r) for r in found if problem_with(harness, r)] == []


def test_cases_and_joints_are_not_held_to_the_harness(harness: Harness) -> None:
    assert list(references("joints", harness.joints["GP2/W40"])) == []
    assert list(references("settings", harness.settings)) == []
