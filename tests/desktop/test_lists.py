"""The lists page with real keys and mouse: filter, sort, edit, fill, paste, and one selection for list and diagram."""

from PySide6.QtCore import QPoint, Qt
from PySide6.QtGui import QGuiApplication
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from harness_studio.desktop.window import Window
from tests.desktop.lists_hand import click_cell, opened, typed
from tests.support.pointing import click, press

CONTROL, SHIFT = Qt.KeyboardModifier.ControlModifier, Qt.KeyboardModifier.ShiftModifier
NONE = Qt.KeyboardModifier.NoModifier


def test_keys_open_the_page_and_type_a_cell(pickup: Window) -> None:
    page = opened(pickup)
    assert page.table.hasFocus()
    assert page.line.text() == "19 wires"
    click_cell(page, "W40", "colour")
    typed(page, "br/ws")
    assert pickup.session.harness.wires["W40"].colour == "BN/WH"
    click_cell(page, "W40", "size")
    typed(page, "4 mm²")
    assert pickup.session.harness.wires["W40"].area_mm2 == 4
    assert pickup.session.history == ("size of W40: 4 mm²",)


def test_letters_that_are_commands_elsewhere_are_typed_here(pickup: Window) -> None:
    page = opened(pickup)
    click_cell(page, "W40", "note")
    typed(page, "dmf")
    assert pickup.session.harness.wires["W40"].note == "dmf"


def test_a_refused_cell_keeps_its_text_and_says_why(pickup: Window) -> None:
    page = opened(pickup)
    click_cell(page, "W40", "colour")
    typed(page, "mud")
    assert page.table.currentIndex().row() == page.things.ids.index("W40")
    index = page.table.currentIndex()
    assert index.data() == "mud"
    assert page.line.text() == "W40 colour: 'mud' is no colour: write BN/WH or brown with white"
    assert pickup.session.history == ()
    typed(page, "rd")
    assert page.table.currentIndex().row() == page.things.ids.index("W41")
    assert (index.data(), page.line.text()) == ("RD", "19 wires")


def test_a_filter_and_a_click_on_the_head_arrange_the_rows(qtbot: QtBot, pickup: Window) -> None:
    page = opened(pickup)
    press(pickup, Qt.Key.Key_L, CONTROL | SHIFT)
    assert page.filter.hasFocus()
    qtbot.keyClicks(page.filter, "size < 1, zone: bed")
    assert page.things.ids == ["W14", "W25", "W41"]
    assert page.line.text() == "3 of 19 wires"
    page.filter.clear()
    head = page.table.horizontalHeader()
    length = [c.name for c in page.things.rows.columns].index("length")
    page.table.scrollTo(page.things.index(0, length))
    at = QPoint(head.sectionViewportPosition(length) + 10, 8)
    QTest.mouseClick(head.viewport(), Qt.MouseButton.LeftButton, NONE, at)
    assert page.things.ids[0] in ("W31", "W4")
    QTest.mouseClick(head.viewport(), Qt.MouseButton.LeftButton, NONE, at)
    assert {page.things.ids[0]} < {"W31", "W4"}


def test_list_and_diagram_show_one_selection(pickup: Window) -> None:
    page = opened(pickup)
    click_cell(page, "W26", "colour")
    click_cell(page, "W31", "colour", CONTROL)
    assert pickup.session.selection == {"W26", "W31"}
    assert pickup.diagram.state.selected == {"W26", "W31"}
    assert pickup.drawer.current is page
    page.open_table("parts")
    click(pickup, "M2")
    assert pickup.drawer.current is page
    assert [page.things.ids[r] for r in page.table.selected_rows()] == ["M2"]


def test_several_rows_change_as_one_step(pickup: Window) -> None:
    page = opened(pickup)
    for n, row in enumerate(("W26", "W27", "W31")):
        click_cell(page, row, "insulation", CONTROL if n else NONE)
    typed(page, "GXL", modifiers=CONTROL)
    harness = pickup.session.harness
    assert {harness.wires[w].insulation for w in ("W26", "W27", "W31")} == {"GXL"}
    assert pickup.session.history == ("insulation of 3 wires: GXL",)


def test_fill_down_by_keys(pickup: Window) -> None:
    page = opened(pickup)
    click_cell(page, "W40", "length")
    press(pickup, Qt.Key.Key_Down, SHIFT)
    press(pickup, Qt.Key.Key_Down, CONTROL | SHIFT)
    assert pickup.session.harness.wires["W41"].length_mm == 800
    assert pickup.session.history == ("fill down: 1 cells",)


def test_copy_and_paste_with_a_spreadsheet(pickup: Window) -> None:
    page = opened(pickup)
    page.filter.setText("circuit = pump")
    click_cell(page, "W12", "colour")
    press(pickup, Qt.Key.Key_A, CONTROL)
    press(pickup, Qt.Key.Key_C, CONTROL)
    lines = QGuiApplication.clipboard().text().split("\n")
    assert lines[0].split("\t")[:4] == ["id", "from", "to", "colour"]
    assert [line.split("\t")[0] for line in lines[1:]] == ["W12", "W24", "W40"]
    QGuiApplication.clipboard().setText("bu\t1,5 mm²\nbu\t14 AWG\n")
    click_cell(page, "W24", "colour")
    press(pickup, Qt.Key.Key_V, CONTROL)
    wires = pickup.session.harness.wires
    assert (wires["W24"].colour, wires["W24"].area_mm2, wires["W40"].awg) == ("BU", 1.5, "14")
    assert pickup.session.history == ("paste 4 cells",)
    press(pickup, Qt.Key.Key_Z, CONTROL)
    assert wires["W24"].colour == "GN/BK"


def test_every_table_opens_and_the_list_can_be_wide(pickup: Window) -> None:
    page = opened(pickup)
    for section, button in page.kinds.items():
        QTest.mouseClick(button, Qt.MouseButton.LeftButton)
        assert page.things.ids == list(pickup.session.harness.tables[section])
    for at in range(page.others.count()):
        page.others.setFocus()
        QTest.keyClick(page.others, Qt.Key.Key_Down)
        assert page.section == page.others.itemText(at)
        assert page.things.ids == list(pickup.session.harness.tables[page.section])
    narrow = page.width()
    press(pickup, Qt.Key.Key_L, CONTROL | Qt.KeyboardModifier.AltModifier)
    assert page.width() > narrow + 200
    pickup.drawer.open("details")
    assert pickup.drawer.width() < narrow + 40


def test_a_zone_and_a_run_are_shown_in_the_details_too(pickup: Window) -> None:
    page = opened(pickup)
    page.open_table("zones")
    click_cell(page, "bay", "ambient")
    typed(page, "203 °F")
    assert pickup.session.harness.zones["bay"].ambient_c == 95
    click_cell(page, "cab", "ambient")
    pickup.drawer.open("details")
    assert "ambient 35 °C" in pickup.drawer.details.said()
    pickup.session.select({"cab_bed"})
    assert "length 1900 mm" in pickup.drawer.details.said()


def test_cells_of_a_refused_paste_do_not_stay_among_the_next_and_go_by_escape(pickup: Window) -> None:
    page = opened(pickup)
    click_cell(page, "W40", "colour")
    held = dict(page.things.refused)
    page.paste_text("1.5\t1200\n2.5\t900")
    assert len(page.things.refused) == len(held) + 4
    page.paste_text("BU\t16\nBN\t2.5")
    assert [text for text, _ in page.things.refused.values()] == ["16"]
    QTest.keyClick(page.table, Qt.Key.Key_Escape)
    assert page.things.refused == {}
    assert page.line.text() == "19 wires"
