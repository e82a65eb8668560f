"""A return taken from one ground and put on another: ends, stacks and records follow, and undo brings all back."""

import pytest

from harness_studio.base.errors import EditError
from harness_studio.model.returns import ground_of, move_return
from harness_studio.storage.project_file import read_project


@pytest.fixture
def harness(sample_projects_dir):
    return read_project(sample_projects_dir / "first_harness.yaml").harness


def test_the_ring_moves_to_the_top_of_the_other_stack(harness):
    before = harness.snapshot()
    undo, changes = move_return(harness, "W40", "GP5").apply(harness)
    assert [str(e) for e in harness.wires["W40"].ends] == ["M2.31", "GP5"]
    assert harness.grounds["GP2"].stack == (("W31",), ("W41",))
    assert harness.grounds["GP5"].stack == (("W33",), ("W40",))
    assert harness.wires["W40"].plan == "move"
    assert ("wires", "W40") in changes.updated
    undo.apply(harness)
    assert harness.tables == before.tables


def test_two_wires_in_one_ring_part(sample_projects_dir, harness):
    from dataclasses import replace

    stud = harness.grounds["GP2"]
    harness.grounds["GP2"] = replace(stud, stack=(("W31",), ("W40", "W41")))
    move_return(harness, "W40", "GP5").apply(harness)
    assert harness.grounds["GP2"].stack == (("W31",), ("W41",))


def test_records_of_the_crimp_go_along_and_those_of_the_contact_do_not(harness):
    from harness_studio.model.entities import JointRecord

    for name in ("W40@GP2", "GP2/W40"):
        harness.joints[name] = JointRecord(name, mohm=3.0)
    move_return(harness, "W40", "GP5").apply(harness)
    assert harness.joints["W40@GP5"].mohm == 3.0
    assert not {"W40@GP2", "GP2/W40", "GP5/W40"} & set(harness.joints)
    assert harness.joints["GP2"].mohm == 45


@pytest.mark.parametrize(
    ("wire", "to", "complaint"),
    [
        ("W40", "GP2", "W40 is on GP2 already"),
        ("W40", "GP99", "GP99 is no ground"),
        ("W99x", "GP5", "W99x is no wire"),
        ("W24", "GP5", "W24 ends at no ground"),
    ],
)
def test_what_cannot_be_moved_is_told_and_nothing_changes(harness, wire, to, complaint):
    before = harness.snapshot()
    with pytest.raises(EditError, match=complaint):
        move_return(harness, wire, to).apply(harness)
    assert harness.tables == before.tables


def test_the_grounds_of_a_wire(harness):
    assert ground_of(harness, "W40") == ["GP2"]
    assert ground_of(harness, "W24") == []
