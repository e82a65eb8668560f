"""Recovery copies of a session: a moment behind the edits, gone with a save, brought back after a crash."""

from collections.abc import Callable
from datetime import datetime
from pathlib import Path
from typing import Any

import pytest

from harness_studio.base.errors import HarnessError
from harness_studio.model.edits import change, put
from harness_studio.model.entities import Ground, Splice
from harness_studio.session.project import Project
from harness_studio.session.recovery import WITHIN_MS, Recovery, bring_back, held
from harness_studio.session.scheduler import Synchronous
from harness_studio.session.session import Session
from harness_studio.storage import recovery as copies
from harness_studio.storage.project_file import read_project

TEXT = "# mine\nharness_studio: 1\ntitle: Tender\ngrounds:\n  GP2: {}\n"


class Waiting:
    """A scheduler that does things when told."""

    def __init__(self) -> None:
        self.due: list[Callable[[], None]] = []
        self.waits: list[int] = []

    def later(self, ms: int, do: Callable[[], None]) -> Callable[[], None]:
        self.due.append(do)
        self.waits.append(ms)
        return lambda: self.due.remove(do) if do in self.due else None

    def run(self, work: Callable[[], Any], done: Callable[[Any], None]) -> None:
        done(work())

    def turn(self) -> None:
        due, self.due = self.due, []
        for do in due:
            do()


@pytest.fixture
def file(tmp_path: Path) -> Path:
    path = tmp_path / "tender.yaml"
    path.write_text(TEXT, encoding="utf-8")
    return path


@pytest.fixture
def scheduler() -> Waiting:
    return Waiting()


def opened(file: Path, scheduler: Waiting) -> tuple[Session, Recovery]:
    session = Session.open(file, Synchronous())
    return session, Recovery(session, scheduler, lambda line: pytest.fail(line))


def edit(session: Session, number: int) -> None:
    session.apply(put("splices", Splice(f"SP{number}")))


def crash(recovery: Recovery) -> copies.Copy:
    """Let go as a program does that is killed."""
    recovery.record.let_go()
    (found,) = copies.abandoned()
    return found


def test_a_copy_is_written_within_the_time_of_the_first_edit(file: Path, scheduler: Waiting) -> None:
    session, recovery = opened(file, scheduler)
    for number in (1, 2, 3):
        edit(session, number)
    assert scheduler.waits == [WITHIN_MS]
    assert WITHIN_MS < 3000 / 2
    scheduler.turn()
    session.apply(change(session.harness, "grounds", "GP2", stud="M8"))
    scheduler.turn()
    copy = crash(recovery)
    today = datetime.fromisoformat(copy.about.since)
    said = f"4 edits since {today:%H:%M}: 3 splices added, ground GP2 changed"
    assert held(copy, today) == said
    assert held(copy, datetime(2001, 1, 1)).startswith(f"4 edits since {today:%Y-%m-%d %H:%M}")


def test_what_is_brought_back_is_unsaved_and_saves_with_its_owners_words(
    file: Path, scheduler: Waiting
) -> None:
    session, recovery = opened(file, scheduler)
    edit(session, 1)
    scheduler.turn()
    project = bring_back(crash(recovery))
    assert (project.path, project.unsaved, set(project.harness.splices)) == (file, True, {"SP1"})
    project.save()
    assert not project.unsaved
    assert file.read_text(encoding="utf-8").startswith("# mine\n")
    assert set(read_project(file).harness.splices) == {"SP1"}


def test_work_on_a_file_that_was_changed_since_comes_back_without_it(file: Path, scheduler: Waiting) -> None:
    session, recovery = opened(file, scheduler)
    edit(session, 1)
    scheduler.turn()
    copy = crash(recovery)
    file.write_text(TEXT.replace("Tender", "Theirs"), encoding="utf-8")
    project = bring_back(copy)
    assert (project.path, project.unsaved) == (None, True)
    with pytest.raises(HarnessError, match="no file yet"):
        project.save()
    assert "Theirs" in file.read_text(encoding="utf-8")


def test_a_save_or_an_undo_to_the_saved_state_drops_the_copy(file: Path, scheduler: Waiting) -> None:
    session, recovery = opened(file, scheduler)
    edit(session, 1)
    scheduler.turn()
    session.save()
    assert recovery.record.path is not None
    assert not recovery.record.path.exists()
    edit(session, 2)
    scheduler.turn()
    assert recovery.record.path.exists()
    session.undo()
    assert not recovery.record.path.exists()
    scheduler.turn()
    assert not recovery.record.path.exists()


def test_leaving_drops_the_copy_and_being_ended_completes_it(file: Path, scheduler: Waiting) -> None:
    session, recovery = opened(file, scheduler)
    edit(session, 1)
    scheduler.turn()
    recovery.end(left=True)
    assert copies.abandoned() == []
    session, recovery = opened(file, scheduler)
    edit(session, 1)
    recovery.end(left=False)
    (copy,) = copies.abandoned()
    assert copy.about.edits == 1
    edit(session, 2)
    assert not scheduler.due


def test_a_new_harness_has_copies_too(scheduler: Waiting) -> None:
    session = Session.new(Synchronous())
    recovery = Recovery(session, scheduler, pytest.fail)
    session.apply(put("grounds", Ground("GP1")))
    scheduler.turn()
    project = bring_back(crash(recovery))
    assert (project.path, set(project.harness.grounds)) == (None, {"GP1"})


def test_work_brought_back_is_kept_on_in_the_same_copy(file: Path, scheduler: Waiting) -> None:
    session, recovery = opened(file, scheduler)
    edit(session, 1)
    scheduler.turn()
    copy = crash(recovery)
    session = Session(bring_back(copy), Synchronous())
    recovery = Recovery(session, scheduler, pytest.fail, copies.claim(copy))
    edit(session, 2)
    scheduler.turn()
    again = crash(recovery)
    assert (again.path, again.about.edits, again.about.since) == (copy.path, 2, copy.about.since)
    assert held(again).endswith("splices SP1 and SP2 added")


def test_a_copy_that_cannot_be_written_is_said_once(
    file: Path, scheduler: Waiting, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "full").write_text("")
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "full"))
    said: list[str] = []
    session = Session.open(file, Synchronous())
    Recovery(session, scheduler, said.append)
    for number in (1, 2):
        edit(session, number)
        scheduler.turn()
    assert len(said) == 1
    assert said[0].startswith("No recovery copy can be written, save more often: ")


def test_a_second_project_of_a_file_is_read_only_until_the_first_lets_go(file: Path, tmp_path: Path) -> None:
    first, second = Project.open(file), Project.open(file)
    assert first.hold() is None
    assert second.hold() is not None
    assert (first.read_only, second.read_only) == (False, True)
    second.apply(put("splices", Splice("SP1")))
    with pytest.raises(HarnessError, match="is open in another window"):
        second.save()
    other = tmp_path / "other.yaml"
    second.save(other)
    assert not second.read_only
    with pytest.raises(HarnessError, match="is open in another window"):
        first.save(other)
    first.release()
    third = Project.open(file)
    assert third.hold() is None
    for project in (second, third):
        project.release()
    assert sorted(p.name for p in tmp_path.glob(".*")) == []


def test_what_others_wrote_is_noticed_taken_over_or_overruled(file: Path) -> None:
    theirs = TEXT.replace("Tender", "Theirs")
    session = Session.open(file, Synchronous())
    edit(session, 1)
    assert not session.project.changed_by_others()
    file.write_text(theirs, encoding="utf-8")
    assert session.project.changed_by_others()
    session.take_over()
    assert (session.title, session.unsaved, session.project.changed_by_others()) == ("Theirs", False, False)
    session.undo()
    assert (session.title, session.unsaved, set(session.harness.splices)) == ("Tender", True, {"SP1"})
    file.write_text(theirs + "# again\n", encoding="utf-8")
    with pytest.raises(HarnessError, match="changed by another program"):
        session.save()
    session.project.overrule()
    session.save()
    assert set(read_project(file).harness.splices) == {"SP1"}
    assert file.with_name(file.name + ".bak").read_text(encoding="utf-8").endswith("# again\n")
