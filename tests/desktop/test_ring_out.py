"""Ringing wires out with real keys: results are logged, open ends joined and wires parted, one step each."""

import datetime

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from harness_studio.desktop.bench.ring_page import RingPage
from harness_studio.desktop.window import Window
from harness_studio.model.edits import put
from harness_studio.model.entities import Wire
from harness_studio.model.values import End
from tests.support.pointing import press

CONTROL, SHIFT = Qt.KeyboardModifier.ControlModifier, Qt.KeyboardModifier.ShiftModifier
ENTER = Qt.Key.Key_Return


@pytest.fixture
def loose(pickup: Window) -> Window:
    """Return a window with two wires into the tape, on X7.5 and X8.6."""
    ends = End("point", "X7.5"), End("unknown"), End("point", "X8.6"), End("cut")
    wires = Wire("W77", ends[:2], 1.0, colour="GY"), Wire("W78", ends[2:], 1.0, colour="GY")
    pickup.session.apply(put("wires", *wires, words="two loose ends"))
    return pickup


def opened(window: Window) -> RingPage:
    press(window, Qt.Key.Key_B, CONTROL | SHIFT)
    page = window.drawer.current
    assert isinstance(page, RingPage)
    return page


def keys(*texts: str) -> None:
    for text in texts:
        QTest.keyClicks(QApplication.focusWidget(), text)
        QTest.keyClick(QApplication.focusWidget(), ENTER)


def test_a_wire_that_rings_through_is_joined_by_keys_alone(loose: Window) -> None:
    page = opened(loose)
    keys("X7.5", "", "X8.6")
    harness = loose.session.harness
    assert [str(end) for end in harness.wires["W77"].ends] == ["X7.5", "X8.6"]
    assert "W78" not in harness.wires
    today = datetime.datetime.now(tz=datetime.UTC).astimezone().date().isoformat()
    assert page.logged.item(0).text() == f"W77 rings to X8.6, {today}"
    assert page.said.text() == "W77 rings to X8.6: W78 joined to it"
    assert len(loose.session.history) == 2
    loose.session.undo()
    assert "W78" in loose.session.harness.wires


def test_what_does_not_ring_parts_the_wire(loose: Window) -> None:
    page = opened(loose)
    QTest.keyClicks(page.near, "W41")
    QTest.keyClick(page.near, ENTER)
    QTest.keyClick(page.which, Qt.Key.Key_Down)
    QTest.keyClick(page.which, ENTER)
    keys("GP2")
    assert str(loose.session.harness.wires["W41"].ends[1]) == "unknown"
    assert loose.session.harness.grounds["GP2"].stack[-1] == ("W79",)
    assert "parted, its end at GP2 is W79 now" in page.said.text()


def test_a_proposal_says_why_and_is_joined_with_enter(loose: Window) -> None:
    page = opened(loose)
    assert page.proposed.count() == 1
    assert page.proposed.item(0).text() == (
        "W77 and W78: both are grey, both are 1 mm², no other open end has this colour"
    )
    page.proposed.setFocus()
    QTest.keyClick(page.proposed, Qt.Key.Key_Home)
    page.proposed.setCurrentRow(0)
    assert loose.session.selection == {"W77", "W78"}
    QTest.keyClick(page.proposed, ENTER)
    assert "W78" not in loose.session.harness.wires
    assert page.proposed.count() == 0


def test_what_is_no_wire_or_point_is_refused_in_one_line(loose: Window) -> None:
    page = opened(loose)
    keys("X7.4", "", "X8.6")
    assert page.said.text() == "'X7.4' is no wire, and no wire is on it: write W77 or X7.7"
    page.near.setText("W77")
    page.far.setFocus()
    page.far.clear()
    keys("X99.1")
    assert "'X99' is not in this harness" in page.said.text()
    assert len(loose.session.history) == 1


def test_the_tab_key_goes_down_the_form_and_a_missing_point_is_asked_for(loose: Window) -> None:
    page = opened(loose)
    seen = [page.near]
    QTest.keyClicks(page.near, "W77")
    for _ in range(4):
        QTest.keyClick(QApplication.focusWidget(), Qt.Key.Key_Tab)
        seen.append(QApplication.focusWidget())
    assert seen == [page.near, page.which, page.far, page.date, page.note]
    QTest.keyClick(page.note, ENTER)
    assert page.said.text().startswith("Say to which point")
    assert page.far.hasFocus()
