"""The first minute: samples, recent projects, an empty page that says how to go on."""

from collections.abc import Callable
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from pytestqt.qtbot import QtBot

from harness_studio.desktop.remembered import add_recent, recent
from harness_studio.desktop.window import Window
from harness_studio.storage.samples import samples
from tests.desktop.conftest import Answers
from tests.support.pointing import press
from tests.unit.session.fakes import Clock

CONTROL, SHIFT = Qt.KeyboardModifier.ControlModifier, Qt.KeyboardModifier.ShiftModifier
LEFT = Qt.MouseButton.LeftButton


def test_every_sample_is_offered_with_a_line(qtbot: QtBot, window: Window, sample_projects_dir: Path) -> None:
    buttons = window.start_page.samples
    assert len(buttons) == len(list(sample_projects_dir.glob("*.yaml"))) >= 4
    assert buttons[0].text() == "Slipway pickup"
    assert all(len(b.accessibleDescription()) > 15 for b in buttons)
    for number, sample in enumerate(samples()):
        qtbot.mouseClick(buttons[number], LEFT)
        assert window.session.title == sample.title
        assert window.session.path is None
        press(window, Qt.Key.Key_W, CONTROL)
        assert window.start_page.isVisible()


def test_recent_projects_are_listed_and_opened_by_click_and_by_key(
    qtbot: QtBot, window: Window, answers: Answers, project: Path
) -> None:
    assert window.start_page.recents == []
    answers.open = project
    press(window, Qt.Key.Key_O, CONTROL)
    press(window, Qt.Key.Key_W, CONTROL)
    (button,) = window.start_page.recents
    assert button.text() == "pickup"
    qtbot.mouseClick(button, LEFT)
    assert window.session.path == project.resolve()
    press(window, Qt.Key.Key_W, CONTROL)
    press(window, Qt.Key.Key_O, CONTROL | SHIFT)
    finder = window.stack.findChildren(type(window.search))[-1]
    qtbot.keyClicks(finder.line, "pick")
    qtbot.keyClick(finder.line, Qt.Key.Key_Return)
    assert window.session.path == project.resolve()


def test_the_list_holds_what_is_still_there_once(tmp_path: Path) -> None:
    paths = [tmp_path / f"{n}.yaml" for n in range(15)]
    for path in (*paths, paths[3]):
        path.write_text("")
        add_recent(path)
    assert recent()[:2] == [paths[3], paths[14]]
    assert len(recent()) == 12
    paths[14].unlink()
    assert paths[14] not in recent()


def test_a_new_harness_is_an_empty_page_that_says_how_to_go_on(qtbot: QtBot, window: Window) -> None:
    qtbot.mouseClick(window.start_page.buttons["new"], LEFT)
    assert window.diagram.isVisible()
    assert not window.session.unsaved
    hints = [child for child in window.diagram.children() if type(child).__name__ == "Hint"]
    assert hints[0].isVisible()
    assert "This page is empty." in hints[0].text()
    assert "Alt+F1 leads through the first ten minutes" in hints[0].text()
    assert "Ctrl+K lists everything" in hints[0].text()


def test_a_page_with_something_on_it_has_no_hint(pickup: Window) -> None:
    hints = [child for child in pickup.diagram.children() if type(child).__name__ == "Hint"]
    assert not hints[0].isVisible()


def test_a_large_page_that_is_still_being_laid_out_is_not_called_empty(
    qtbot: QtBot, window: Window, copied: Callable[[str], Path], monkeypatch: pytest.MonkeyPatch
) -> None:
    qtbot.mouseClick(window.start_page.buttons["new"], LEFT)
    (hint,) = (child for child in window.diagram.children() if type(child).__name__ == "Hint")
    assert hint.isVisible()
    held = Clock()
    monkeypatch.setattr(window.diagram.staging, "_scheduler", held)
    window.files.open(copied("estuary_pickup"))
    qtbot.waitUntil(lambda: bool(window.session.harness.wires), timeout=20_000)
    assert window.diagram.busy
    assert window.diagram.scene.empty
    assert not hint.isVisible()
    while window.diagram.busy:  # simply first, then properly
        held.finish_one()
    assert not window.diagram.scene.empty
    assert not hint.isVisible()


def test_enter_presses_what_the_start_page_has_the_keys_on(qtbot: QtBot, window: Window) -> None:
    button = window.start_page.samples[0]
    button.setFocus()
    qtbot.keyClick(button, Qt.Key.Key_Return)
    assert not window.start_page.isVisible()
    assert window.session.harness.wires


def test_only_what_needs_no_harness_can_be_done_beside_the_start_page(window: Window) -> None:
    able = {key for key, action in window.commands.actions.items() if action.isEnabled()}
    assert able == {
        "new", "open", "open_sample", "import_kbl", "new_from_photo", "quit", "commands",
        "appear_system", "appear_light", "appear_dark",
        "guide", "guide_tutorial", "guide_search", "guide_keys",
    }  # fmt: skip
    for key, modifiers in (
        (Qt.Key.Key_J, Qt.KeyboardModifier.NoModifier),
        (Qt.Key.Key_J, SHIFT),
        (Qt.Key.Key_M, Qt.KeyboardModifier.NoModifier),
        (Qt.Key.Key_C, Qt.KeyboardModifier.NoModifier),
        (Qt.Key.Key_D, CONTROL),
    ):
        press(window, key, modifiers)
        assert window.start_page.isVisible()
        assert not window.drawer.isVisible()
    listed = {row.id: row.able for row in window.commands.found("")}
    assert listed["open"]
    assert not listed["meter"]


def test_all_of_it_can_be_done_in_a_harness_that_was_just_begun(qtbot: QtBot, window: Window) -> None:
    qtbot.mouseClick(window.start_page.buttons["new"], LEFT)
    press(window, Qt.Key.Key_J)
    assert window.drawer.current is not None
    assert window.drawer.current.isVisible()
    assert window.drawer.page_id == "common"
    press(window, Qt.Key.Key_W, CONTROL)
    assert window.start_page.isVisible()
    assert not window.commands.actions["common"].isEnabled()
