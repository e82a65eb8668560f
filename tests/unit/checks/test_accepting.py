"""Keeping a finding with a reason, limit sets, and limits of the project's own: one undoable step each."""

from pathlib import Path

import pytest

from harness_studio.base.errors import EditError
from harness_studio.checks import accepting
from harness_studio.checks.finding import Finding
from harness_studio.checks.runner import check, standing
from harness_studio.checks.scope import scope_of
from harness_studio.model.harness import Harness
from harness_studio.storage.project_file import read_project, write_project
from tests.unit.checks import harnesses as h


def found_in(x: Harness, key: str) -> Finding:
    return next(f for f in check(scope_of(x)) if key in f.keys)


def test_an_accepted_finding_keeps_its_reason_in_the_file(tmp_path: Path) -> None:
    x = h.sound()
    edit = accepting.accept(found_in(x, "fuse_missing/W1"), "  a hand's breadth,\n sleeved ", "2026-11-25")
    assert edit.words == "accept fuse_missing/W1"
    inverse, _ = edit.apply(x)
    write_project(tmp_path / "x.yaml", x, None)
    again = read_project(tmp_path / "x.yaml").harness
    entry = again.tables["accepted"]["fuse_missing/W1"]
    assert (entry.reason, entry.date) == ("a hand's breadth, sleeved", "2026-11-25")
    assert standing(check(scope_of(again))) == ()
    inverse.apply(x)
    assert not x.tables["accepted"]


def test_no_reason_no_acceptance() -> None:
    with pytest.raises(EditError, match="write why it may stay"):
        accepting.accept(found_in(h.sound(), "fuse_missing/W1"), "  ")


def test_what_is_told_as_one_is_accepted_as_one_and_a_new_one_stands() -> None:
    x = h.sound()
    for name in ("W3", "W4"):
        h.wire(x, name, area_mm2=0.35)
    one = found_in(x, "fuse_wire/W4")
    assert set(one.keys) == {"fuse_wire/W3", "fuse_wire/W4"}
    accepting.accept(one, "until the winter").apply(x)
    assert not {k for f in standing(check(scope_of(x))) for k in f.keys if k.startswith("fuse_wire")}
    h.wire(x, "W2", area_mm2=0.35)
    assert {k for f in standing(check(scope_of(x))) for k in f.keys if k.startswith("fuse_wire")} == {
        "fuse_wire/W2"
    }
    back = accepting.take_back(x, found_in(x, "fuse_wire/W4"))
    assert back is not None
    back.apply(x)
    assert not x.tables["accepted"]


def test_nothing_to_take_back() -> None:
    x = h.sound()
    assert accepting.take_back(x, found_in(x, "fuse_missing/W1")) is None


def test_another_limit_set_keeps_the_projects_own_limits() -> None:
    x = h.sound()
    h.limit(x, "wire_drop_v", 0.3)
    accepting.choose_set(x, "small_craft").apply(x)
    assert (x.settings.limits.set, list(x.settings.limits.override)) == ("small_craft", ["wire_drop_v"])
    with pytest.raises(EditError, match="there is no limit set 'ships'"):
        accepting.choose_set(x, "ships")


def test_the_way_to_find_ampacity_stays_in_the_file_and_goes_again(tmp_path: Path) -> None:
    x = h.sound()
    edit = accepting.choose_way(x, "iso-6722")
    assert edit is not None
    assert edit.words == "ampacity by handbook table iso_6722"
    inverse, _ = edit.apply(x)
    assert accepting.choose_way(x, "iso_6722") is None
    accepting.choose_set(x, "small_craft").apply(x)
    accepting.override(x, "rise_ground_v", 0.25, "long way to the rear").apply(x)
    write_project(tmp_path / "x.yaml", x, None)
    assert "ampacity: iso_6722" in (tmp_path / "x.yaml").read_text(encoding="utf-8")
    again = read_project(tmp_path / "x.yaml").harness
    assert again.settings.limits == x.settings.limits
    assert str(scope_of(again).how) == "handbook table iso_6722"
    back = accepting.choose_way(again, None)
    assert back is not None
    back.apply(again)
    assert str(scope_of(again).how) == "handbook table cfr_33_183_425"  # what the set for small craft says
    assert "rise_ground_v" in again.settings.limits.override
    inverse.apply(x)
    assert x.settings.limits.ampacity is None
    with pytest.raises(
        EditError, match="no way 'iso_6723' to find ampacity; there are heat_balance, handbook, "
    ):
        accepting.choose_way(x, "iso_6723")


def test_a_limit_of_the_projects_own_has_a_reason_and_goes_again() -> None:
    x = h.sound()
    accepting.override(x, "rise_ground_v", 0.25, "long way to the rear").apply(x)
    assert x.settings.limits.override["rise_ground_v"].value == 0.25
    back = accepting.as_the_set_says(x, "rise_ground_v")
    assert back is not None
    assert accepting.as_the_set_says(x, "wire_drop_v") is None
    back.apply(x)
    assert not x.settings.limits.override
    for name, reason, words in (("rise_v", "because", "no limit"), ("rise_ground_v", " ", "write why")):
        with pytest.raises(EditError, match=words):
            accepting.override(x, name, 0.25, reason)
