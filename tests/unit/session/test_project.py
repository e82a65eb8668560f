"""A harness and its file: opening, saving, and whether there is something to save."""

import os
from pathlib import Path

import pytest

from harness_studio.base.errors import HarnessError, InputError
from harness_studio.model.edits import change, put
from harness_studio.model.entities import Page
from harness_studio.session.project import Project, can_replace
from harness_studio.session.scheduler import Synchronous
from harness_studio.session.session import Session
from tests.unit.session.fakes import two_wires

TEXT = """\
# what the owner wrote at the top
harness_studio: 1
title: Barge tender
splices:
  SP1: {method: crimp}   # beside it
wires:
  # above the wire
  W1: {ends: [SP1, cut], colour: BN}
"""


@pytest.fixture
def file(tmp_path: Path) -> Path:
    path = tmp_path / "tender.yaml"
    path.write_text(TEXT, encoding="utf-8")
    return path


def test_an_opened_file_is_saved_with_its_owners_words(file: Path) -> None:
    project = Project.open(file)
    assert (project.title, project.path, project.unsaved, project.read_only) == (
        "Barge tender",
        file,
        False,
        False,
    )
    project.apply(change(project.harness, "wires", "W1", colour="RD"))
    assert project.unsaved
    project.save()
    assert not project.unsaved
    assert file.read_text(encoding="utf-8") == TEXT.replace("BN", "RD")
    assert file.with_name("tender.yaml.bak").read_text(encoding="utf-8") == TEXT


def test_undoing_a_saved_step_is_unsaved_and_redoing_it_is_not(file: Path) -> None:
    project = Project.open(file)
    project.apply(change(project.harness, "wires", "W1", colour="RD"))
    project.save()
    project.history.undo()
    assert project.unsaved
    project.history.redo()
    assert not project.unsaved
    project.history.undo()
    project.save()
    assert file.read_text(encoding="utf-8") == TEXT


def test_saving_under_another_name_moves_the_project_there(file: Path) -> None:
    project = Project.open(file)
    project.apply(change(project.harness, "wires", "W1", colour="RD"))
    other = file.with_name("other.yaml")
    project.save(other)
    assert (project.path, project.unsaved) == (other, False)
    assert file.read_text(encoding="utf-8") == TEXT
    assert Project.open(other).harness.wires["W1"].colour == "RD"


def test_a_new_harness_is_saved_where_it_is_told(tmp_path: Path) -> None:
    project = Project(two_wires())
    with pytest.raises(HarnessError, match="no file yet"):
        project.save()
    project.save(tmp_path / "new.yaml")
    assert Project.open(tmp_path / "new.yaml").harness == project.harness


def test_a_file_that_somebody_else_changed_is_not_written_over(file: Path) -> None:
    project = Project.open(file)
    project.apply(change(project.harness, "wires", "W1", colour="RD"))
    theirs = TEXT.replace("crimp", "solder")
    file.write_text(theirs, encoding="utf-8")
    with pytest.raises(HarnessError, match="changed by another program since it was opened"):
        project.save()
    assert file.read_text(encoding="utf-8") == theirs
    assert project.unsaved
    project.save(file)  # said on purpose
    assert "RD" in file.read_text(encoding="utf-8")


def test_a_file_that_was_deleted_meanwhile_is_written_again(file: Path) -> None:
    project = Project.open(file)
    file.unlink()
    project.apply(change(project.harness, "wires", "W1", colour="RD"))
    project.save()
    assert "RD" in file.read_text(encoding="utf-8")


def test_a_failed_save_leaves_everything_as_it_was(file: Path, tmp_path: Path) -> None:
    project = Project.open(file)
    project.apply(change(project.harness, "wires", "W1", colour="RD"))
    with pytest.raises(HarnessError, match=r"cannot be saved: the folder is not there"):
        project.save(tmp_path / "nowhere" / "x.yaml")
    assert (project.path, project.unsaved) == (file, True)


def test_a_file_with_errors_is_not_opened(file: Path) -> None:
    file.write_text(TEXT.replace("SP1, cut", "SP9, cut"), encoding="utf-8")
    with pytest.raises(InputError, match="SP9"):
        Project.open(file)


@pytest.mark.skipif(os.name == "nt", reason="rights of a folder are another matter there")
def test_read_only_follows_the_rights_of_file_and_folder(file: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    # Asked through os.access, which a superuser always passes: the answers are given by hand.
    closed: set[Path] = set()
    monkeypatch.setattr(os, "access", lambda path, _: Path(path) not in closed)
    project = Project.open(file)
    assert can_replace(file)
    for place in (file, file.parent):
        closed.add(place)
        assert project.read_only
        closed.clear()
    assert not project.read_only


def test_moving_a_symbol_leaves_the_circuits_revision(file: Path) -> None:
    project = Project.open(file)
    project.apply(change(project.harness, "wires", "W1", area_mm2=1.0))
    wired = project.circuit_revision
    project.apply(put("pages", Page("p")))
    assert project.circuit_revision == wired
    project.apply(change(project.harness, "wires", "W1", area_mm2=1.5))
    assert project.circuit_revision not in (0, wired)
    for expected in (wired, wired, 0):
        project.history.undo()
        assert project.circuit_revision == expected


def test_a_session_opens_solves_and_saves_a_file(sample_projects_dir: Path, tmp_path: Path) -> None:
    copy = tmp_path / "copy.yaml"
    copy.write_bytes((sample_projects_dir / "first_harness.yaml").read_bytes())
    session = Session.open(copy, Synchronous())
    assert session.solution is not None
    assert session.solve_ms is not None
    session.choose("GP2")
    ground_map = session.ground_map()
    assert ground_map is not None
    assert {row.part for row in ground_map.rows} >= {"M2", "E5", "E6", "B1"}
    before = abs(ground_map.joint_amperes)
    session.apply(change(session.harness, "joints", "GP2", mohm=400.0))
    after = session.ground_map()
    assert after is not None
    assert abs(after.joint_amperes) < before / 2  # the current takes the other way
    session.save()
    assert not session.unsaved
    assert Session.open(copy, Synchronous()).harness.joints["GP2"].mohm == 400.0
