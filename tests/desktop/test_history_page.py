"""The history as a list: a click goes back, another one forward, and new work cuts off what was undone."""

import pytest
from PySide6.QtCore import Qt
from pytestqt.qtbot import QtBot

from harness_studio.desktop.history.page import HistoryPage
from harness_studio.desktop.window import Window
from harness_studio.model.edits import put
from harness_studio.model.entities import Splice
from tests.support.pointing import press

CONTROL = Qt.KeyboardModifier.ControlModifier


@pytest.fixture
def page(pickup: Window) -> HistoryPage:
    for number in range(71, 76):
        pickup.session.apply(put("splices", Splice(f"SP{number}"), words=f"add SP{number}"))
    press(pickup, Qt.Key.Key_H, CONTROL)
    found = pickup.drawer.current
    assert isinstance(found, HistoryPage)
    return found


def own(window: Window) -> list[str]:
    return [key for key in window.session.harness.splices if key.startswith("SP7")]


def lines(page: HistoryPage) -> list[str]:
    return [page.steps.item(row).text() for row in range(page.steps.count())]


def click(qtbot: QtBot, page: HistoryPage, row: int) -> None:
    middle = page.steps.visualItemRect(page.steps.item(row)).center()
    qtbot.mouseClick(page.steps.viewport(), Qt.MouseButton.LeftButton, pos=middle)


def test_a_click_goes_back_and_forward(qtbot: QtBot, pickup: Window, page: HistoryPage) -> None:
    assert lines(page)[0] == "As it was opened"
    assert lines(page)[-1] == "Add SP75 · you are here"
    told: list[object] = []
    pickup.session.subscribe("changes", told.append)
    click(qtbot, page, 2)
    assert own(pickup) == ["SP71", "SP72"]
    assert lines(page)[2:4] == ["Add SP72 · you are here", "Add SP73 · undone"]
    assert len(told) == 1
    click(qtbot, page, 5)
    assert own(pickup) == ["SP71", "SP72", "SP73", "SP74", "SP75"]
    click(qtbot, page, 0)
    assert own(pickup) == []
    assert not pickup.session.unsaved


def test_keys_walk_by_and_enter_goes(qtbot: QtBot, pickup: Window, page: HistoryPage) -> None:
    qtbot.keyClick(page.steps, Qt.Key.Key_Up)
    qtbot.keyClick(page.steps, Qt.Key.Key_Up)
    assert len(own(pickup)) == 5
    qtbot.keyClick(page.steps, Qt.Key.Key_Return)
    assert len(own(pickup)) == 3


def test_new_work_cuts_off_what_was_undone(qtbot: QtBot, pickup: Window, page: HistoryPage) -> None:
    click(qtbot, page, 1)
    pickup.session.apply(put("splices", Splice("SP79"), words="add SP79"))
    assert lines(page)[1:] == ["Add SP71", "Add SP79 · you are here"]
