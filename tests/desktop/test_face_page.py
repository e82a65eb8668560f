"""A connector's face is drawn up on its page, with its view always said, and written as one step."""

import pytest
from PySide6.QtCore import QPoint, QPointF, Qt
from PySide6.QtTest import QTest

from harness_studio.desktop.bench.face_page import FacePage
from harness_studio.desktop.window import Window
from harness_studio.drawing.faces import cell_boxes
from harness_studio.model.values import Face
from harness_studio.placing.faces import face_shape
from tests.support.pointing import press

CONTROL, ALT = Qt.KeyboardModifier.ControlModifier, Qt.KeyboardModifier.AltModifier


def opened(window: Window, half: str) -> FacePage:
    window.session.select({half})
    press(window, Qt.Key.Key_B, CONTROL | ALT)
    page = window.drawer.current
    assert isinstance(page, FacePage)
    assert page.half == half
    return page


def test_it_begins_with_the_face_there_is(pickup: Window) -> None:
    page = opened(pickup, "X7")
    assert page.text.toPlainText() == "1 2 3\n4 5 6"
    assert page.picture.words == "mating face, looking at the side that plugs"
    assert page.choices["lock"].currentText() == "top"


def test_names_and_layout_by_keys_become_one_step(pickup: Window) -> None:
    page = opened(pickup, "X7")
    page.names.selectAll()
    QTest.keyClicks(page.names, "8")
    assert page.text.toPlainText() == "1 2 3 4\n5 6 7 8"
    page.choices["numbering"].setFocus()
    QTest.keyClick(page.choices["numbering"], Qt.Key.Key_End)
    assert page.text.toPlainText() == "1 3 5 7\n2 4 6 8"
    page.choices["view"].setFocus()
    QTest.keyClick(page.choices["view"], Qt.Key.Key_Down)
    assert page.picture.words == "wire entry, looking from the wires"
    assert pickup.session.history == ()
    QTest.keyClick(page.text, Qt.Key.Key_Return, CONTROL)
    face = pickup.session.harness.halves["X7"].face
    assert face == Face("wire entry", (("1", "3", "5", "7"), ("2", "4", "6", "8")), lock="top")
    assert pickup.session.history == ("face of X7",)


def test_rows_and_places_are_typed_by_hand(pickup: Window) -> None:
    page = opened(pickup, "X7")
    page.text.setFocus()
    page.text.selectAll()
    QTest.keyClicks(page.text, "1 2 3 . 4 4")
    assert page.refusal.text() == "cavity 4 stands there twice"
    page.text.setPlainText("1: 0; 9\n2: 6; 3\n3: -6; 3\n4: 0; 0\n5: 4; -6\n6: -4; -6")
    page.choices["typed as"].setCurrentText("places in mm")
    page.choices["outline"].setCurrentText("round")
    page.write()
    face = pickup.session.harness.halves["X7"].face
    assert face is not None
    assert face.at_mm["3"] == (-6.0, 3.0)
    assert face.outline == "round"


def test_seen_from_the_other_side_it_is_the_same_connector(pickup: Window) -> None:
    page = opened(pickup, "X7")
    QTest.mouseClick(page.behind, Qt.MouseButton.LeftButton)
    assert page.text.toPlainText() == "3 2 1\n6 5 4"
    assert page.picture.words == "wire entry, looking from the wires"


def test_a_wired_cavity_cannot_be_lost(pickup: Window) -> None:
    page = opened(pickup, "X7")
    page.text.setPlainText("4 5\n6 .")
    page.write()
    assert page.refusal.text() == "W11 is in cavity 1, which this face does not show"
    assert pickup.session.history == ()


def cavity_at(page: FacePage, name: str) -> QPoint:
    picture = page.picture
    assert picture.shape is not None
    box = cell_boxes(picture.shape, picture._origin())[name]
    return QPointF(box.centre.x_mm * picture._scale(), box.centre.y_mm * picture._scale()).toPoint()


def pull_cavity(page: FacePage, name: str, by: QPoint) -> None:
    start = cavity_at(page, name)
    QTest.mousePress(page.picture, Qt.MouseButton.LeftButton, pos=start)
    for part in (0.3, 0.7, 1.0):
        QTest.mouseMove(page.picture, start + by * part)
    QTest.mouseRelease(page.picture, Qt.MouseButton.LeftButton, pos=start + by)


def test_a_cavity_is_pulled_to_its_place_and_comes_into_line(pickup: Window) -> None:
    page = opened(pickup, "X7")
    before = cavity_at(page, "6")
    pull_cavity(page, "6", QPoint(40, 30))
    assert page.choices["typed as"].currentText() == "places in mm"
    face = page.draft()
    start = {c.name: c.at for c in face_shape(pickup.session.harness.halves["X7"]).cells}
    x, y = face.at_mm["6"]
    assert x > start["6"].x_mm + 1.0  # to the right
    assert y < -start["6"].y_mm - 1.0  # and down: the file counts upwards
    assert x % 0.5 == y % 0.5 == 0.0
    for name, place in face.at_mm.items():
        assert name == "6" or place == pytest.approx((start[name].x_mm, -start[name].y_mm))
    pull_cavity(page, "6", before + QPoint(1, 1) - cavity_at(page, "6"))
    pull_cavity(page, "5", cavity_at(page, "2") + QPoint(2, 40) - cavity_at(page, "5"))
    assert page.draft().at_mm["5"][0] == page.draft().at_mm["2"][0]
    assert pickup.session.history == ()
    page.write()
    written = pickup.session.harness.halves["X7"].face
    assert written is not None
    assert written.at_mm == page.draft().at_mm


def test_a_click_moves_no_cavity(pickup: Window) -> None:
    page = opened(pickup, "X7")
    text = page.text.toPlainText()
    QTest.mouseClick(page.picture, Qt.MouseButton.LeftButton, pos=cavity_at(page, "2"))
    assert page.text.toPlainText() == text
