"""The window as a whole: every command by keyboard and by name, names for those who do not see, no noise."""

import logging

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QAbstractButton, QAbstractItemView, QLineEdit, QTextBrowser, QWidget
from pytestqt.qtbot import QtBot

from harness_studio.desktop.commands import MENUS
from harness_studio.desktop.drawer import DETAILS, GROUND_MAP
from harness_studio.desktop.window import Window
from harness_studio.diagram.view import Diagram
from harness_studio.session.session import Session
from tests.support.pointing import click, press

CONTROL = Qt.KeyboardModifier.ControlModifier


def test_the_command_list_holds_every_command_and_runs_it(qtbot: QtBot, pickup: Window) -> None:
    press(pickup, Qt.Key.Key_K, CONTROL)
    assert set(pickup.command_list.rows) == set(pickup.commands.actions) - {"commands"}
    qtbot.keyClicks(pickup.command_list.line, "dark paper")
    assert pickup.command_list.rows == ["appear_dark"]
    qtbot.keyClick(pickup.command_list.line, Qt.Key.Key_Return)
    assert pickup.theme.dark


def test_a_command_that_cannot_be_done_is_not_run(qtbot: QtBot, pickup: Window) -> None:
    press(pickup, Qt.Key.Key_K, CONTROL)
    qtbot.keyClicks(pickup.command_list.line, "undo")
    qtbot.keyClick(pickup.command_list.line, Qt.Key.Key_Return)
    assert pickup.command_list.isVisible()
    assert pickup.bar.text == ""


def test_every_command_stands_in_a_menu(pickup: Window) -> None:
    inside = {
        action.objectName()
        for menu in pickup.menuBar().actions()
        if menu.menu()
        for action in menu.menu().actions()
    }
    assert set(pickup.commands.actions) <= inside


def test_no_menu_is_longer_than_a_small_screen(pickup: Window) -> None:
    """At 1366 x 768 a menu below the bar has 700 px; what is longer is broken into columns, the last one cut off."""
    for action in pickup.menuBar().actions():
        assert action.menu().sizeHint().height() < 700, action.text()
    names = [action.text() for action in pickup.menuBar().actions()]
    assert names == [*MENUS]


def test_every_command_has_keys(pickup: Window) -> None:
    assert [command.id for command in pickup.commands.all if not command.keys] == []


def test_no_two_commands_have_the_same_keys(pickup: Window) -> None:
    keys = [k.toString() for action in pickup.commands.actions.values() for k in action.shortcuts()]
    assert len(keys) == len(set(keys))


def test_menus_and_lists_say_what_can_be_done(pickup: Window) -> None:
    assert not pickup.commands.actions["undo"].isEnabled()
    click(pickup, "M2")
    press(pickup, Qt.Key.Key_Right)
    assert pickup.commands.actions["undo"].isEnabled()
    assert pickup.commands.actions["clear"].isEnabled()


def test_everything_that_takes_keys_has_a_name(pickup: Window) -> None:
    nameless = []
    for widget in pickup.findChildren(QWidget):
        if widget.focusPolicy() == Qt.FocusPolicy.NoFocus or not widget.isVisibleTo(pickup):
            continue
        if isinstance(widget, QAbstractButton):
            named = bool(widget.text() or widget.accessibleName())
        elif isinstance(widget, Diagram | QAbstractItemView | QLineEdit | QTextBrowser):
            named = bool(widget.accessibleName())
        else:
            continue
        if not named:
            nameless.append(widget)
    assert nameless == []


def test_tab_reaches_diagram_strip_and_drawer(qtbot: QtBot, pickup: Window) -> None:
    seen: set[QWidget | None] = set()
    for _ in range(30):
        seen.add(pickup.focusWidget())
        qtbot.keyClick(pickup.focusWidget(), Qt.Key.Key_Tab)
    assert pickup.diagram in seen
    assert pickup.drawer.tabs in seen
    assert set(pickup.strip.buttons.values()) & seen


def test_focus_by_keyboard_is_visible(qtbot: QtBot, pickup: Window) -> None:
    pickup.diagram.setFocus(Qt.FocusReason.MouseFocusReason)
    plain = pickup.diagram.grab().toImage()
    pickup.drawer.tabs.setFocus()
    pickup.diagram.setFocus(Qt.FocusReason.TabFocusReason)
    assert pickup.diagram.grab().toImage() != plain


def test_the_drawer_can_be_put_away(pickup: Window) -> None:
    press(pickup, Qt.Key.Key_D, CONTROL)
    assert not pickup.drawer.isVisible()
    press(pickup, Qt.Key.Key_D, CONTROL)
    assert pickup.drawer.isVisible()


def test_pages_open_for_what_is_clicked(pickup: Window) -> None:
    click(pickup, "M2")
    assert pickup.drawer.tabs.currentIndex() == DETAILS
    click(pickup, "GP2")
    assert pickup.drawer.tabs.currentIndex() == GROUND_MAP


def test_details_list_facts_and_wires_and_links_lead_on(pickup: Window) -> None:
    from PySide6.QtCore import QUrl

    click(pickup, "M2")
    text = pickup.drawer.details.said()
    for words in (
        "M2 fuel pump",
        "motor",
        "13.5 V",
        "6.5 A",
        "19 A",
        "2 wires",
        "W40",
        "BN/WH",
        "2.5 mm²",
        "GP2",
    ):
        assert words in text
    pickup.drawer.details.text.anchorClicked.emit(QUrl("thing:W40"))
    assert pickup.session.selection == {"W40"}
    text = pickup.drawer.details.said()
    for words in ("brown with white tracer (BN/WH)", "800 mm", "previous owner", "lost"):
        assert words in text


def test_details_of_several_things(pickup: Window) -> None:
    pickup.session.select({"E5", "E6", "W40"})
    text = pickup.drawer.details.said()
    assert "3 things selected" in text
    assert "E6 " in text


def test_arrange_is_one_step(pickup: Window) -> None:
    before = dict(pickup.session.harness.pages["rear"].items)
    pickup.commands.actions["arrange"].trigger()
    assert pickup.session.history == ("arrange",)
    assert pickup.session.harness.pages["rear"].items != before
    press(pickup, Qt.Key.Key_Z, CONTROL)
    assert pickup.session.harness.pages["rear"].items == before


def test_what_goes_wrong_in_a_listener_does_not_stop_the_window(
    pickup: Window, monkeypatch: pytest.MonkeyPatch, expected_logs: list[logging.LogRecord]
) -> None:
    def broken(_: Session) -> None:
        raise RuntimeError("broken page")

    monkeypatch.setattr(pickup.drawer.details, "show_session", broken)
    click(pickup, "M2")
    assert pickup.session.selection == {"M2"}
    assert any("listener" in record.getMessage() for record in expected_logs)


def test_modes_are_words(pickup: Window) -> None:
    titles = [button.text() for button in pickup.strip.buttons.values()]
    assert titles == [mode.title for mode in pickup.session.harness.modes.values()]
    assert pickup.strip.buttons["braking"].isChecked()


def test_a_session_that_was_replaced_is_heard_no_more(pickup: Window) -> None:
    old = pickup.session
    pickup.files.open_sample()
    old.select({"M2"})
    assert pickup.diagram.state.selected == frozenset()
    assert pickup.session is not old
