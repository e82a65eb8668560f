"""Recovery copies: written as one step, found when their program is gone, taken over by one window."""

from pathlib import Path

import pytest

from harness_studio.base.errors import HarnessError
from harness_studio.model.entities import Splice
from harness_studio.model.harness import Harness
from harness_studio.storage import recovery
from harness_studio.storage.project_file import parse
from harness_studio.storage.recovery import About, Record

ABOUT = About("/shed/tender.yaml", "", "2026-03-02T10:42:00", "2026-03-02T10:50:00", 3)


def harness_with(*splices: str) -> Harness:
    harness = Harness()
    harness.tables["splices"].update({key: Splice(key) for key in splices})
    return harness


def test_a_copy_is_found_when_its_writer_lets_go_of_it() -> None:
    record = Record()
    record.write(harness_with("SP1"), ABOUT, record.state)
    assert recovery.abandoned() == []
    record.let_go()
    (found,) = recovery.abandoned()
    assert found.about == ABOUT
    assert set(parse(found.text).harness.splices) == {"SP1"}


def test_a_copy_is_a_project_file_itself() -> None:
    record = Record()
    record.write(harness_with("SP1"), ABOUT, record.state)
    assert record.path is not None
    assert set(parse(record.path.read_text(encoding="utf-8")).harness.splices) == {"SP1"}
    assert not record.path.with_name(record.path.name + ".bak").exists()


def test_a_write_that_comes_after_the_copy_was_dropped_does_nothing() -> None:
    record = Record()
    state = record.state
    record.write(harness_with("SP1"), ABOUT, state)
    record.drop()
    record.write(harness_with("SP1"), ABOUT, state)
    assert record.path is not None
    assert not record.path.exists()


def test_an_older_write_that_comes_late_does_not_replace_a_newer_one() -> None:
    record = Record()
    record.write(harness_with("SP1", "SP2"), recovery.renewed(ABOUT, edits=4), record.state)
    record.write(harness_with("SP1"), ABOUT, record.state)
    record.let_go()
    assert recovery.abandoned()[0].about.edits == 4


def test_a_copy_is_taken_over_once_and_thrown_away_by_its_owner_only() -> None:
    record = Record()
    record.write(harness_with("SP1"), ABOUT, record.state)
    record.let_go()
    (copy,) = recovery.abandoned()
    mine = recovery.claim(copy)
    assert mine is not None
    assert recovery.claim(copy) is None
    recovery.discard(copy)
    assert copy.path.exists()
    mine.let_go()
    recovery.discard(copy)
    assert not copy.path.exists()
    assert recovery.claim(copy) is None


def test_other_files_of_the_folder_are_no_copies() -> None:
    recovery.folder().mkdir(parents=True)
    (recovery.folder() / "x.yaml").write_text("harness_studio: 1\n")
    (recovery.folder() / "y.yaml").write_text("# recovery copy: {nonsense\n")
    (recovery.folder() / "z.yaml").write_bytes(b"\xff\xfe\x00")
    assert recovery.abandoned() == []


def test_a_folder_that_cannot_be_had_is_said(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    (tmp_path / "file").write_text("")
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "file"))
    record = Record()
    with pytest.raises(HarnessError, match="recovery"):
        record.write(harness_with("SP1"), ABOUT, record.state)
