"""Nothing is lost: copies offered after a crash, one window per file, and what others do to it, with real clicks."""

from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QPushButton
from pytestqt.qtbot import QtBot

from harness_studio.desktop.window import Window
from harness_studio.model.edits import change, put
from harness_studio.model.entities import Splice
from harness_studio.session.recovery import Recovery
from harness_studio.session.scheduler import Synchronous
from harness_studio.session.session import Session
from harness_studio.storage import recovery as copies
from harness_studio.storage.project_file import read_project

from .conftest import Answers


def crashed(project: Path, *splices: str) -> None:
    """Leave what a program leaves that was killed after these edits."""
    session = Session.open(project, Synchronous())
    recovery = Recovery(session, Synchronous(), pytest.fail)
    for splice in splices:
        session.apply(put("splices", Splice(splice)))
    recovery.record.let_go()


def shown(qtbot: QtBot, answers: Answers) -> Window:
    made = Window(answers)
    qtbot.addWidget(made)
    made.resize(1280, 800)
    made.show()
    qtbot.waitExposed(made)
    return made


def offered(window: Window, title: str) -> QPushButton:
    return next(button for button in window.offer.offers if button.text() == title)


def click(qtbot: QtBot, window: Window, title: str) -> None:
    qtbot.mouseClick(offered(window, title), Qt.MouseButton.LeftButton)


def test_work_of_a_crash_is_offered_and_brought_back(qtbot: QtBot, answers: Answers, project: Path) -> None:
    crashed(project, "SP71", "SP72", "SP73")
    window = shown(qtbot, answers)
    assert "pickup.yaml, 3 edits since " in window.offer.text
    assert window.offer.text.endswith(": 3 splices added.")
    click(qtbot, window, "Bring it back")
    assert {"SP71", "SP72", "SP73"} <= set(window.session.harness.splices)
    assert (window.session.path, window.session.unsaved, window.offer.text) == (project, True, "")
    window.save()
    assert "SP73" in read_project(project).harness.splices
    assert copies.abandoned() == []


def test_keys_reach_the_offer(qtbot: QtBot, answers: Answers, project: Path) -> None:
    crashed(project, "SP71")
    window = shown(qtbot, answers)
    button = offered(window, "Throw it away")
    button.setFocus()
    qtbot.keyClick(button, Qt.Key.Key_Space)
    assert window.offer.text == ""
    assert copies.abandoned() == []


def test_an_offer_put_off_comes_back_in_the_next_window(
    qtbot: QtBot, answers: Answers, project: Path
) -> None:
    crashed(project, "SP71")
    first = shown(qtbot, answers)
    click(qtbot, first, "Later")
    assert first.offer.text == ""
    assert "1 edit since" in shown(qtbot, answers).offer.text


def test_edits_are_in_a_copy_soon(qtbot: QtBot, pickup: Window) -> None:
    pickup.session.apply(put("splices", Splice("SP71")))
    qtbot.waitUntil(lambda: any(copies.folder().glob("*.yaml")), timeout=10_000)
    (path,) = copies.folder().glob("*.yaml")
    copy = copies.read(path)
    assert copy is not None
    assert "SP71" in copy.text
    pickup.close()
    assert not path.exists()


def test_ending_without_being_asked_leaves_the_copy(qtbot: QtBot, pickup: Window) -> None:
    pickup.session.apply(put("splices", Splice("SP71")))
    pickup.take_down()
    assert [copy.about.edits for copy in copies.abandoned()] == [1]


def test_a_second_window_on_a_file_is_read_only(
    qtbot: QtBot, answers: Answers, pickup: Window, project: Path, tmp_path: Path
) -> None:
    second = shown(qtbot, answers)
    assert second.files.open(project)
    assert "pickup.yaml is open in another window" in second.offer.text
    assert second.session.read_only
    second.session.apply(put("splices", Splice("SP71")))
    answers.save = tmp_path / "mine.yaml"
    second.save()
    assert "SP71" not in read_project(project).harness.splices
    assert "SP71" in read_project(tmp_path / "mine.yaml").harness.splices
    assert (second.session.read_only, second.offer.text) == (False, "")
    assert not pickup.session.read_only


def test_the_file_is_free_when_the_other_window_closes(
    qtbot: QtBot, answers: Answers, pickup: Window, project: Path
) -> None:
    second = shown(qtbot, answers)
    second.files.open(project)
    pickup.close()
    qtbot.waitUntil(lambda: not second.session.read_only, timeout=15_000)
    assert "in no other window any more" in second.offer.text
    second.session.apply(put("splices", Splice("SP71")))
    second.save()
    assert "SP71" in read_project(project).harness.splices


def outside(project: Path) -> None:
    """Change the file as another program does that replaces it."""
    other = Session.open(project, Synchronous())
    other.apply(change(other.harness, "settings", "", title="Theirs"))
    spare = project.with_name("spare.yaml")
    other.save(spare)
    spare.replace(project)


def test_a_change_from_outside_is_offered_and_can_be_undone(
    qtbot: QtBot, pickup: Window, project: Path
) -> None:
    before = pickup.session.title
    outside(project)
    qtbot.waitUntil(lambda: pickup.offer.text != "", timeout=15_000)
    assert pickup.offer.text == "pickup.yaml was changed by another program."
    click(qtbot, pickup, "Take its changes over")
    assert (pickup.session.title, pickup.session.unsaved) == ("Theirs", False)
    pickup.undo()
    assert pickup.session.title == before


def test_ones_own_work_can_be_kept_instead(qtbot: QtBot, pickup: Window, project: Path) -> None:
    pickup.session.apply(put("splices", Splice("SP71")))
    outside(project)
    qtbot.waitUntil(lambda: pickup.offer.text != "", timeout=15_000)
    click(qtbot, pickup, "Keep mine")
    pickup.save()
    assert pickup.bar.text == ""
    assert "SP71" in read_project(project).harness.splices
    assert read_project(project.with_name("pickup.yaml.bak")).harness.settings.title == "Theirs"


def test_ones_own_save_is_no_change_from_outside(qtbot: QtBot, pickup: Window) -> None:
    pickup.session.apply(put("splices", Splice("SP71")))
    pickup.save()
    qtbot.wait(900)
    assert pickup.offer.text == ""


def test_a_file_that_is_gone_is_said_and_written_again(qtbot: QtBot, pickup: Window, project: Path) -> None:
    project.unlink()
    qtbot.waitUntil(lambda: pickup.offer.text != "", timeout=15_000)
    assert "moved or removed" in pickup.offer.text
    pickup.session.apply(put("splices", Splice("SP71")))
    pickup.save()
    assert "SP71" in read_project(project).harness.splices
