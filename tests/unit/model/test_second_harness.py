"""Two harnesses in one: ids, origins, plans, needed cavities and joins. What is expected was read off the samples."""

from dataclasses import replace
from pathlib import Path

import pytest

from harness_studio.base.errors import EditError
from harness_studio.model.edits import Put, Together, change
from harness_studio.model.entities import Half
from harness_studio.model.harness import Harness
from harness_studio.model.second_harness import (
    HERE,
    bring_in,
    joins,
    need_pins,
    origin_of,
    pins_of,
    plan_wires,
    units,
)
from harness_studio.model.values import Cavity, End
from harness_studio.session.history import History
from harness_studio.storage.project_file import parse, read_project, render


@pytest.fixture
def host(sample_projects_dir: Path) -> Harness:
    return read_project(sample_projects_dir / "first_harness.yaml").harness


@pytest.fixture
def donor(sample_projects_dir: Path) -> Harness:
    return read_project(sample_projects_dir / "track_buggy.yaml").harness


def test_the_second_harness_comes_under_its_prefix_as_one_step(host: Harness, donor: Harness) -> None:
    before = host.snapshot()
    history = History(host)
    history.apply(bring_in(host, donor, "D-", "donor"))
    assert len(host.wires) == len(before.wires) + len(donor.wires)
    assert {f"D-{key}" for key in donor.parts} <= host.parts.keys()
    # The strap from the engine, which both vehicles have, to the frame, which only the buggy has.
    assert [str(e) for e in host.wires["D-W4"].ends] == ["engine.mount", "D-frame.rear"]
    assert host.settings == before.settings
    assert origin_of(host)["D-W4"] == "donor"
    assert "W4" not in origin_of(host)
    assert host.pages["D-vehicle"].title == "donor: Supply, cut-off, starting and grounds"
    assert history.done == ("bring in Track buggy",)
    history.undo()
    assert host == before


def test_what_came_in_is_written_and_read_back(host: Harness, donor: Harness) -> None:
    History(host).apply(bring_in(host, donor, "D-", "donor"))
    assert parse(render(host)).harness == host


def test_bodies_and_zones_of_the_same_name_are_one(host: Harness, sample_projects_dir: Path) -> None:
    donor = read_project(sample_projects_dir / "estuary_pickup.yaml").harness
    both = set(host.bodies) & set(donor.bodies)
    assert "shell" in both
    ours = dict(host.bodies["shell"].places_mohm)
    History(host).apply(bring_in(host, donor, "E_", "estuary"))
    places = host.bodies["shell"].places_mohm
    assert {**donor.bodies["shell"].places_mohm, **ours} == places
    assert "E_shell" not in host.bodies
    ground = next(g for g in donor.grounds.values() if g.place and g.place.startswith("shell."))
    assert host.grounds[f"E_{ground.id}"].place == ground.place


def test_what_cannot_be_is_refused(host: Harness, donor: Harness) -> None:
    before = host.snapshot()
    history = History(host)
    with pytest.raises(EditError, match="choose another"):
        history.apply(bring_in(host, donor, "", "donor"))
    with pytest.raises(EditError, match="cannot be a prefix"):
        bring_in(host, donor, "D.", "donor")
    with pytest.raises(EditError, match="cannot be the name"):
        bring_in(host, donor, "D-", "the donor")
    with pytest.raises(EditError, match="is empty"):
        bring_in(host, Harness(), "D-", "donor")
    donor.tables["settings"][""] = replace(donor.settings, system_v=24)
    with pytest.raises(EditError, match="the second harness is 24 V, negative ground; this one is 12 V"):
        bring_in(host, donor, "D-", "donor")
    assert host == before


def test_plans_of_many_wires_are_one_step(host: Harness) -> None:
    history = History(host)
    history.apply(plan_wires(host, {"W31", "W40", "GP2"}, "extend"))
    assert [w.id for w in host.wires.values() if w.plan == "extend"] == ["W31", "W40"]
    assert history.done == ("plan W31, W40: extend",)
    with pytest.raises(EditError, match="select the wires"):
        plan_wires(host, {"GP2"}, "keep")


def test_needed_cavities_without_a_wire_are_open(host: Harness) -> None:
    history = History(host)
    half = Half("X20", part="S1", cavities={"1": Cavity(function="feed"), "2": Cavity(), "3": Cavity()})
    wire = replace(host.wires["W10"], id="W90", ends=(End("point", "X20.1"), End("point", "F5.out")))
    history.apply(Together((Put("halves", half), Put("wires", wire)), "add"))
    assert units(host) == ["S1"]
    history.apply(need_pins(host, [("X20", "1"), ("X20", "2")], "needed"))
    history.apply(need_pins(host, [("X20", "3")], "unused"))
    assert [(p.name, p.need, p.wires, p.open) for p in pins_of(host, "S1")] == [
        ("1", "needed", ("W90",), False),
        ("2", "needed", (), True),
        ("3", "unused", (), False),
    ]
    history.apply(plan_wires(host, {"W90"}, "remove"))
    assert [p.name for p in pins_of(host, "S1") if p.open] == ["1", "2"]


def test_joins_are_wires_and_matings_between_the_two(host: Harness, donor: Harness) -> None:
    history = History(host)
    assert joins(host) == []
    history.apply(bring_in(host, donor, "D-", "donor"))
    assert joins(host) == []
    wire = host.wires["W12"]
    into = End("point", "D-GB1.30")
    history.apply(change(host, "wires", "W12", ends=(wire.ends[0], into), plan="extend"))
    (found,) = joins(host)
    assert (found.thing, found.kind, found.of, found.plan) == ("W12", "wire", (HERE, "donor"), "extend")
