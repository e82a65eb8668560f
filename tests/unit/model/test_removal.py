"""Taking things out: nothing names them afterwards, and nothing else is touched."""

from pathlib import Path

import pytest

from harness_studio.base.changes import Ref
from harness_studio.model.edits import put, remove_with_wires
from harness_studio.model.entities import Body, Bond, Ground, Wire, Zone
from harness_studio.model.harness import SECTIONS, Harness
from harness_studio.model.references import problem_with, references
from harness_studio.model.values import End, Ring
from harness_studio.storage.project_file import read_project

EXAMPLE = Path(__file__).parents[1] / "storage" / "example.yaml"
ALL = [
    (section, key)
    for section, table in read_project(EXAMPLE).harness.tables.items()
    if section != "settings"
    for key in table
]


@pytest.fixture
def harness() -> Harness:
    return read_project(EXAMPLE).harness


def removed(harness: Harness, *refs: Ref) -> set[Ref]:
    """Take things out and return everything that went."""
    _, changes = remove_with_wires(harness, refs).apply(harness)
    return set(changes.removed)


@pytest.mark.parametrize("ref", ALL)
def test_anything_can_be_taken_out_and_put_back(harness: Harness, ref: Ref) -> None:
    before = repr(harness)
    inverse, changes = remove_with_wires(harness, [ref]).apply(harness)
    assert ref in changes.removed
    assert ref[1] not in harness.tables[ref[0]]
    wrong = [
        problem_with(harness, r)
        for s, t in harness.tables.items()
        for e in t.values()
        for r in references(s, e)
    ]
    assert [w for w in wrong if w] == []
    inverse.apply(harness)
    assert repr(harness) == before


def test_everything_at_once(harness: Harness) -> None:
    assert removed(harness, *ALL) >= set(ALL)
    assert {name: len(t) for name, t in harness.tables.items() if t} == {"settings": 1}


def test_wires_stay_with_an_open_end(harness: Harness) -> None:
    assert removed(harness, ("halves", "X7")) == {("halves", "X7"), ("annotations", "n1")}
    assert harness.wires["W50"].ends == (End("unknown"), End("point", "X20.1"))
    assert harness.wires["W77"].ends[1].what == "words"
    assert "X7" not in harness.pages["rear"].items


def test_a_stack_loses_the_wire_and_an_empty_ring(harness: Harness) -> None:
    removed(harness, ("wires", "W31"))
    assert harness.grounds["GP2"].stack == (("W40", "W41"),)
    removed(harness, ("wires", "W40"))
    assert harness.grounds["GP2"].stack == (("W41",),)


def test_a_body_takes_mounts_bonds_and_places_along(harness: Harness) -> None:
    assert removed(harness, ("bodies", "shell")) == {("bodies", "shell"), ("bonds", "throttle_cable")}
    assert harness.parts["B1"].mount is None
    assert harness.parts["G1"].mount is not None
    assert harness.grounds["GP2"].place is None


def test_a_run_has_no_meaning_without_its_breakout(harness: Harness) -> None:
    assert removed(harness, ("breakouts", "bk2")) == {("breakouts", "bk2"), ("runs", "bed_left")}
    assert harness.wires["W31"].runs == ()
    assert harness.splices["SP3"].at is None
    assert harness.halves["X7"].at is None


def test_a_part_leaves_its_box_its_half_and_its_modes(harness: Harness) -> None:
    removed(harness, ("parts", "M2"), ("parts", "S1"), ("parts", "K2"))
    assert harness.halves["X9"].part is None
    assert [c.terminal for c in harness.halves["X9"].cavities.values()] == [None, None, None]
    assert harness.modes["cruise"].set == {}
    assert harness.modes["cruise"].loads == {}
    assert harness.parts["A9"].ratings.holds == ("F4", "F5")
    assert harness.parts["A9"].ratings.buses == (("F4.in", "F5.in"),)


def test_a_multicore_goes_with_its_last_wire(harness: Harness) -> None:
    removed(harness, ("wires", "W50"), ("wires", "W52"))
    assert harness.tables["multicores"]["C1"].wires == ("W51",)
    assert harness.tables["multicores"]["C1"].shield is None
    assert ("multicores", "C1") in removed(harness, ("wires", "W51"))


def test_a_mode_that_others_are_like(harness: Harness) -> None:
    removed(harness, ("modes", "cruise"))
    assert harness.modes["braking"].like is None


def test_rings_that_name_it_go(harness: Harness) -> None:
    assert harness.wires["W77"].rings_not == (Ring("GP2"),)
    removed(harness, ("grounds", "GP2"), ("parts", "F4"))
    assert (harness.wires["W77"].rings_to, harness.wires["W77"].rings_not) == ((), ())


def test_joints_and_cases_keep_what_was_written(harness: Harness) -> None:
    removed(harness, ("grounds", "GP2"))
    assert list(harness.joints) == ["GP2/W40", "W40@GP2"]


def test_a_zone_with_the_id_of_a_body_goes_alone() -> None:
    # Only bodies, parts and the like share one set of ids; a zone may be named as a body is.
    harness = Harness()
    harness.zones["engine"] = Zone("engine")
    harness.bodies["engine"] = Body("engine", places_mohm={"block": 0.05}, note="cast")
    harness.bodies["shell"] = Body("shell", places_mohm={"bed": 0.2})
    put("bonds", Bond("cable", ("engine.block", "shell.bed"), 120.0)).apply(harness)
    put("grounds", Ground("GP1", place="engine.block", zone="engine")).apply(harness)
    put("wires", Wire("W1", (End("point", "engine.block"), End("cut")))).apply(harness)
    assert removed(harness, ("zones", "engine")) == {("zones", "engine")}
    assert harness.grounds["GP1"] == Ground("GP1", place="engine.block")
    assert harness.wires["W1"].ends[0] == End("point", "engine.block")
    harness.zones["engine"] = Zone("engine")
    removed(harness, ("bodies", "engine"))
    assert "engine" in harness.zones


def test_every_section_that_refers_to_something_can_be_cleaned() -> None:
    from harness_studio.model.references import _FIND
    from harness_studio.model.removal import _CLEAN

    assert set(_FIND) == set(_CLEAN)
    assert set(_FIND) <= set(SECTIONS)
