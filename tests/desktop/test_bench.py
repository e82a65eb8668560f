"""A connector is captured with the keyboard alone."""

from pathlib import Path

from PySide6.QtCore import Qt
from PySide6.QtGui import QColor, QPixmap
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from harness_studio.desktop.bench.bench_page import BenchPage
from harness_studio.desktop.window import Window
from harness_studio.model.edits import put
from harness_studio.model.entities import Photo
from tests.support.pointing import press

CONTROL = Qt.KeyboardModifier.ControlModifier
ENTER = Qt.Key.Key_Return
SEEN = {
    "1": ("bn", "wh", "1,5", "31-7"), "2": ("rd", "", "2.5 mm²", ""), "3": ("bk", "", "14 AWG", ""),
    "4": ("gn/ye", "", "", "PE"), "5": ("plug",), "6": ("yellow", "black", "0,75", ""), "7": ("", "", "", ""),
    "8": ("white", "", "18 awg", "S2"),
}  # fmt: skip


def keys(text: str) -> None:
    QTest.keyClicks(QApplication.focusWidget(), text)


def enter() -> None:
    QTest.keyClick(QApplication.focusWidget(), ENTER)


def opened(window: Window) -> BenchPage:
    press(window, Qt.Key.Key_B, CONTROL)
    page = window.drawer.current
    assert isinstance(page, BenchPage)
    return page


def test_an_eight_cavity_connector_by_the_keyboard_alone(pickup: Window) -> None:
    page = opened(pickup)
    keys("X30 8")
    enter()
    for cavity, typed in SEEN.items():
        assert page.cavity == cavity
        for text in typed:
            keys(text)
            enter()
    harness = pickup.session.harness
    made = [harness.wires[f"W{n}"] for n in range(42, 48)]
    assert [(str(w.ends[0]), w.colour, w.area_mm2, w.awg, w.marked) for w in made] == [
        ("X30.1", "BN/WH", 1.5, None, "31-7"),
        ("X30.2", "RD", 2.5, None, None),
        ("X30.3", "BK", None, "14", None),
        ("X30.4", "GN/YE", None, None, "PE"),
        ("X30.6", "YE/BK", 0.75, None, None),
        ("X30.8", "WH", None, "18", "S2"),
    ]
    assert all(str(w.ends[1]) == "unknown" for w in made)
    assert harness.halves["X30"].cavities["5"].plug == "fitted"
    assert len(pickup.session.history) == 8
    assert page.cavity == "1"
    assert "X30" in pickup.diagram.scene.symbols
    for _ in range(8):
        pickup.session.undo()
    assert "X30" not in pickup.session.harness.halves


def test_what_is_refused_stays_and_says_why(pickup: Window) -> None:
    page = opened(pickup)
    keys("X7")
    enter()
    assert page.half == "X7"
    page.go_to("5")
    for text in ("mud", "", "", "x"):
        keys(text)
        enter()
    assert page.refusal.text() == "cavity 5: 'mud' is no colour: write BN/WH or brown with white"
    assert page.lines["colour"].text() == "mud"
    assert page.cavity == "5"
    assert pickup.session.history == ()


def test_a_selected_half_comes_on_the_bench_and_its_view_is_stated(pickup: Window) -> None:
    page = opened(pickup)
    pickup.session.select({"X8"})
    assert page.half == "X8"
    assert page.picture.words == "mating face, looking at the side that plugs"
    assert page.list.count() == 6
    page.go_to("5")
    QTest.keyClick(page.lines["colour"], Qt.Key.Key_Down)
    assert (page.cavity, page.number.text(), page.list.currentRow()) == ("4", "4", 5)


def test_its_photo_stands_beside_it(qtbot: QtBot, pickup: Window) -> None:
    path = pickup.session.path
    assert path is not None
    picture = QPixmap(60, 40)
    picture.fill(QColor("red"))
    Path(path.parent / "photos").mkdir()
    assert picture.save(str(path.parent / "photos" / "x7.png"))
    pickup.session.apply(put("photos", Photo("p1", "photos/x7.png", ("X7",))))
    page = opened(pickup)
    page.take("X7")
    assert page.photo.isVisible()
    page.take("X8")
    assert not page.photo.isVisible()


def test_a_ditto_mark_repeats_what_the_cavity_before_had(pickup: Window) -> None:
    opened(pickup)
    keys("X30 3")
    enter()
    for typed in (("bn", "", "1,5", ""), ("bk", "", '"', ""), ('"', "", "=", "7")):
        for text in typed:
            keys(text)
            enter()
    made = [pickup.session.harness.wires[f"W{n}"] for n in (42, 43, 44)]
    assert [(w.colour, w.area_mm2, w.marked) for w in made] == [
        ("BN", 1.5, None),
        ("BK", 1.5, None),
        ("BK", 1.5, "7"),
    ]


def test_with_a_connector_selected_the_keys_go_to_its_first_free_cavity(pickup: Window) -> None:
    pickup.session.select({"X7"})
    page = opened(pickup)
    assert page.half == "X7"
    assert page.lines["colour"].hasFocus()
    pickup.session.select(())
    assert opened(pickup).which.hasFocus()
