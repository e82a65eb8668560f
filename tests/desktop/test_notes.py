"""Notes: written on what is selected, seen on the diagram, kept in the file, changed, taken off, undone."""

from pathlib import Path

import numpy as np
import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QImage
from pytestqt.qtbot import QtBot

from harness_studio.desktop.notes.page import NotesPage
from harness_studio.desktop.window import Window
from harness_studio.model.edits import Remove
from tests.support.pointing import click

CONTROL, SHIFT = Qt.KeyboardModifier.ControlModifier, Qt.KeyboardModifier.ShiftModifier


def picture(window: Window) -> np.ndarray:
    image = window.diagram.grab().toImage().convertToFormat(QImage.Format.Format_RGB32)
    rows = np.frombuffer(image.constBits(), np.uint32).reshape(image.height(), image.width())
    return rows.copy()


@pytest.fixture
def page(qtbot: QtBot, pickup: Window) -> NotesPage:
    for note in list(pickup.session.harness.tables["annotations"]):
        pickup.session.apply(Remove("annotations", note))
    click(pickup, "M2")
    qtbot.keyClick(pickup.diagram, Qt.Key.Key_N, SHIFT)
    found = pickup.drawer.current
    assert isinstance(found, NotesPage)
    return found


def write(qtbot: QtBot, page: NotesPage, text: str) -> None:
    assert page.words.hasFocus()
    qtbot.keyClicks(page.words, text)
    qtbot.keyClick(page.words, Qt.Key.Key_Return, CONTROL)


def test_a_note_is_written_on_what_is_selected(qtbot: QtBot, pickup: Window, page: NotesPage) -> None:
    assert page.on.text() == "M2"
    before = picture(pickup)
    write(qtbot, page, "hums, new seal wanted")
    (note,) = pickup.session.harness.tables["annotations"].values()
    assert (note.on, note.text) == ("M2", "hums, new seal wanted")
    assert note.offset_mm[0] > 0 > note.offset_mm[1]
    assert (picture(pickup) != before).sum() > 300
    pickup.undo()
    assert not pickup.session.harness.tables["annotations"]
    assert page.list.count() == 0
    assert (picture(pickup) != before).sum() == 0


def test_a_note_stays_in_the_file_and_reaches_the_sheets(
    qtbot: QtBot, pickup: Window, page: NotesPage, tmp_path
) -> None:
    from harness_studio.storage.project_file import read_project

    page.on.setText("X7.2")
    write(qtbot, page, "pushed back, check the lock")
    pickup.save()
    kept = read_project(pickup.session.path).harness.tables["annotations"]
    assert [(n.on, n.text) for n in kept.values()] == [("X7.2", "pushed back, check the lock")]


def test_a_note_is_changed_turned_and_taken_off(qtbot: QtBot, pickup: Window, page: NotesPage) -> None:
    write(qtbot, page, "first")
    page.list.setCurrentRow(0)
    assert page.words.toPlainText() == "first"
    assert page.keep.text() == "Change"
    qtbot.mouseClick(page.ways["↙"], Qt.MouseButton.LeftButton)
    page.words.setFocus()
    qtbot.keyClicks(page.words, "now the ")
    qtbot.mouseClick(page.keep, Qt.MouseButton.LeftButton)
    (note,) = pickup.session.harness.tables["annotations"].values()
    assert note.text == "now the first"
    assert note.offset_mm[0] < 0 < note.offset_mm[1]
    page.list.setCurrentRow(0)
    qtbot.mouseClick(page.remove, Qt.MouseButton.LeftButton)
    assert not pickup.session.harness.tables["annotations"]
    assert pickup.session.history[-1] == f"take note {note.id} off"


def test_what_cannot_be_kept_is_said_and_stays_written(qtbot: QtBot, pickup: Window, page: NotesPage) -> None:
    qtbot.keyClick(page.words, Qt.Key.Key_Return, CONTROL)
    assert page.said.text() == "A note without words was not kept."
    page.on.setText("X99.1")
    page.words.setFocus()
    write(qtbot, page, "where?")
    assert "X99" in page.said.text()
    assert page.words.toPlainText() == "where?"
    assert not pickup.session.harness.tables["annotations"]


def test_another_harness_starts_with_an_empty_form(
    qtbot: QtBot, pickup: Window, page: NotesPage, sample_projects_dir: Path
) -> None:
    write(qtbot, page, "dry here")
    assert page.said.text()
    pickup.files.open(sample_projects_dir / "track_buggy.yaml")
    assert (page.on.text(), page.said.text()) == ("", "")
