"""Letters typed into a list that opens choose from it and call no command."""

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QComboBox
from pytestqt.qtbot import QtBot

from harness_studio.desktop.combo import Combo
from harness_studio.desktop.window import Window


def test_every_list_that_opens_keeps_its_letters(pickup: Window) -> None:
    for page in pickup.drawer._pages:
        pickup.drawer.open(page)
    combos = pickup.findChildren(QComboBox)
    assert len(combos) >= 8
    assert [c.accessibleName() for c in combos if not isinstance(c, Combo)] == []


def test_a_table_is_chosen_by_its_first_letters(qtbot: QtBot, pickup: Window) -> None:
    pickup.drawer.open("lists")
    page = pickup.drawer.current
    page.others.setFocus()
    qtbot.keyClicks(page.others, "mod")  # M alone would open the meter
    assert page.others.currentText() == "modes"
    assert pickup.drawer.current is page
    qtbot.keyClick(pickup, Qt.Key.Key_M)
