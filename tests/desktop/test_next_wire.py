"""Size, colour and insulation of the next wire are seen at the foot and set before it is laid, by keys or mouse."""

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QWidget
from pytestqt.qtbot import QtBot

from harness_studio.desktop.drawing.next_wire import NextWire
from harness_studio.desktop.window import Window
from harness_studio.model.edits import change
from tests.support.drawing_hands import key, point, pull

SHIFT = Qt.KeyboardModifier.ShiftModifier


@pytest.fixture
def row(pickup: Window) -> NextWire:
    pickup.diagram.setFocus()
    return pickup.findChild(NextWire)


def type_into(widget: QWidget | None, text: str) -> None:
    assert widget is not None
    QTest.keyClicks(widget, text)


def lay(window: Window, a: str, b: str) -> str:
    before = set(window.session.harness.wires)
    pull(window, point(window, a), point(window, b))
    (made,) = set(window.session.harness.wires) - before
    return made


def test_it_is_set_by_keys_before_the_first_wire_is_laid(qtbot: QtBot, pickup: Window, row: NextWire) -> None:
    assert row.button.isVisible()
    assert row.button.text() == "next wire: of no size and colour yet"
    key(pickup, Qt.Key.Key_W, SHIFT)
    assert QApplication.focusWidget() is row.lines["size"]
    type_into(QApplication.focusWidget(), "14 AWG")
    QTest.keyClick(QApplication.focusWidget(), Qt.Key.Key_Tab)
    assert QApplication.focusWidget() is row.lines["colour"]
    type_into(QApplication.focusWidget(), "brown with white")
    QTest.keyClick(QApplication.focusWidget(), Qt.Key.Key_Return)
    assert not row.isVisible()
    assert QApplication.focusWidget() is pickup.diagram
    assert row.button.text() == "next wire: AWG 14, BN/WH"
    wire = pickup.session.harness.wires[lay(pickup, "S1.54", "SP3")]
    assert (wire.awg, wire.area_mm2, wire.colour) == ("14", None, "BN/WH")
    assert pickup.session.history == (f"lay {wire.id} from S1.54 to SP3",)


def test_what_cannot_be_read_is_told_beside_it_and_changes_nothing(pickup: Window, row: NextWire) -> None:
    QTest.mouseClick(row.button, Qt.MouseButton.LeftButton)
    type_into(row.lines["size"], "thick")
    QTest.keyClick(row.lines["size"], Qt.Key.Key_Return)
    assert row.isVisible()
    assert "thick" in row.refusal.text()
    assert row.pen.area_mm2 is None
    QTest.keyClick(row.lines["size"], Qt.Key.Key_Escape)
    QTest.keyClick(row.lines["size"], Qt.Key.Key_Escape)
    assert not row.isVisible()
    assert row.button.text() == "next wire: of no size and colour yet"


def test_it_follows_what_is_laid_and_changed(pickup: Window, row: NextWire) -> None:
    key(pickup, Qt.Key.Key_W, SHIFT)
    QTest.keyClicks(row.lines["colour"], "gn")
    QTest.keyClick(row.lines["colour"], Qt.Key.Key_Tab)
    QTest.keyClicks(row.lines["insulation"], "TXL")
    QTest.keyClick(row.lines["insulation"], Qt.Key.Key_Return)
    assert row.pen.insulation == "TXL"
    made = lay(pickup, "S1.54", "SP3")
    assert pickup.session.harness.wires[made].insulation == "TXL"
    assert row.button.text() == "next wire: GN, TXL"
    pickup.session.apply(change(pickup.session.harness, "wires", made, area_mm2=1.5))
    assert row.button.text() == "next wire: 1.5 mm², GN, TXL"
    pickup.session.undo()
    assert row.pen.colour == "GN"


def test_leaving_a_field_is_no_edit_of_the_harness(pickup: Window, row: NextWire) -> None:
    key(pickup, Qt.Key.Key_W, SHIFT)
    QTest.keyClicks(row.lines["size"], "2,5")
    QTest.mouseClick(row.button, Qt.MouseButton.LeftButton)
    assert row.pen.area_mm2 == 2.5
    assert pickup.session.history == ()
