"""The drawer: pinned it stays, torn off it lives in a window of its own, and both are remembered."""

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import (
    QAbstractButton,
    QAbstractItemView,
    QAbstractSlider,
    QAbstractSpinBox,
    QComboBox,
    QLineEdit,
    QScrollBar,
    QTextEdit,
    QWidget,
)
from pytestqt.qtbot import QtBot

from harness_studio.desktop.apart import Apart
from harness_studio.desktop.drawer import DETAILS, GROUND_MAP
from harness_studio.desktop.window import Window
from tests.desktop.conftest import Answers
from tests.support.pointing import click, press

CONTROL, SHIFT = Qt.KeyboardModifier.ControlModifier, Qt.KeyboardModifier.ShiftModifier


def test_a_pinned_page_stays_whatever_is_clicked(qtbot: QtBot, pickup: Window) -> None:
    pickup.drawer.open("keys")
    qtbot.mouseClick(pickup.drawer.pin_button, Qt.MouseButton.LeftButton)
    click(pickup, "M2")
    click(pickup, "GP2")
    assert pickup.drawer.page_id == "keys"
    press(pickup, Qt.Key.Key_D, CONTROL | SHIFT)
    assert not pickup.drawer.pinned
    click(pickup, "GP1")
    assert pickup.drawer.page_id == "ground_map"


def apart(window: Window) -> Apart:
    (found,) = window.findChildren(Apart)
    return found


def test_a_page_in_a_window_of_its_own_follows_the_session(qtbot: QtBot, pickup: Window) -> None:
    pickup.drawer.open(GROUND_MAP)
    qtbot.mouseClick(pickup.drawer.apart_button, Qt.MouseButton.LeftButton)
    own = apart(pickup)
    assert own.isVisible()
    assert own.windowTitle() == "Ground map · Harness Studio"
    pickup.drawer.open(DETAILS)
    pickup.activateWindow()
    click(pickup, "GP2")
    assert pickup.drawer.page_id == "details"
    assert own.page.isVisible()
    own.close()
    pickup.drawer.open(GROUND_MAP)
    assert pickup.drawer.current is pickup.drawer.ground_map
    assert pickup.drawer.ground_map.isVisible()


def test_keys_of_commands_work_in_the_other_window(qtbot: QtBot, pickup: Window) -> None:
    pickup.drawer.open("keys")
    press(pickup, Qt.Key.Key_W, CONTROL | SHIFT)
    own = apart(pickup)
    own.activateWindow()
    qtbot.waitActive(own)
    qtbot.keyClick(own, Qt.Key.Key_D, CONTROL)
    assert pickup.drawer.isHidden()


def test_the_layout_is_remembered(qtbot: QtBot, answers: Answers, pickup: Window) -> None:
    pickup.drawer.open("keys")
    pickup.drawer.tear_off("ground_map")
    pickup.drawer.pin(True)
    pickup.close()
    again = Window(answers)
    qtbot.addWidget(again)
    assert (again.drawer.page_id, again.drawer.pinned) == ("keys", True)
    assert list(again.drawer.apart()) == ["ground_map"]
    assert not apart(again).isVisible()
    again.files.open_sample()
    assert apart(again).isVisible()
    again.toggle_drawer()
    again.close()
    third = Window(answers)
    qtbot.addWidget(third)
    third.files.open_sample()
    assert third.drawer.isHidden()
    third.toggle_drawer()
    assert not third.drawer.isHidden()


@pytest.mark.parametrize("kept", ["nonsense", "[1, 2]", '{"no_such_page": "AAAA", "details": 3}'])
def test_a_layout_that_makes_no_sense_is_left_out(qtbot: QtBot, answers: Answers, kept: str) -> None:
    from harness_studio.desktop.remembered import settings

    settings().setValue("drawer/apart", kept)
    settings().setValue("drawer/page", "no_such_page")
    settings().setValue("recent", kept)
    settings().setValue("keys", kept)
    made = Window(answers)
    qtbot.addWidget(made)
    assert made.drawer.apart() == {}


def _named(widget: QWidget) -> bool:
    if isinstance(widget, QAbstractButton):
        return bool(widget.text() or widget.accessibleName())
    return bool(widget.accessibleName())


def test_whatever_takes_keys_on_any_page_has_a_name(qtbot: QtBot, pickup: Window) -> None:
    kinds = (
        QAbstractButton,
        QAbstractItemView,
        QAbstractSlider,
        QAbstractSpinBox,
        QComboBox,
        QLineEdit,
        QTextEdit,
    )
    nameless = []
    for number in range(pickup.drawer.tabs.count()):
        pickup.drawer.open(number)
        page = pickup.drawer.current
        assert page is not None
        for widget in page.findChildren(QWidget):
            within = isinstance(widget.parent(), QComboBox | QAbstractSpinBox) or isinstance(
                widget, QScrollBar
            )
            takes_keys = widget.focusPolicy() != Qt.FocusPolicy.NoFocus and widget.isVisibleTo(pickup)
            if isinstance(widget, kinds) and takes_keys and not within and not _named(widget):
                nameless.append(
                    (pickup.drawer.tabs.tabText(number), type(widget).__name__, widget.objectName())
                )
    assert nameless == []
