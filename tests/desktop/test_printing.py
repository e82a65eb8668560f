"""Sheets from the window: ticked, ordered, previewed, written, printed."""

import io
from pathlib import Path

import pypdf
import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtGui import QImage
from PySide6.QtPrintSupport import QPrinter
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from harness_studio.desktop.printing import room
from harness_studio.desktop.printing.page import SheetsPage
from harness_studio.desktop.printing.preview import Preview
from harness_studio.desktop.window import Window
from tests.desktop.conftest import Answers

LONG_MS = 20_000


@pytest.fixture
def page(pickup: Window, qtbot: QtBot) -> SheetsPage:
    qtbot.keyClick(pickup, Qt.Key.Key_P, Qt.KeyboardModifier.ControlModifier)
    found = pickup.findChild(SheetsPage)
    assert found.isVisible()
    return found


def tick(page: SheetsPage, *names: str) -> None:
    page.tick(False)
    for row in range(page.list.count()):
        item = page.list.item(row)
        if item.data(Qt.ItemDataRole.UserRole) in names:
            item.setCheckState(Qt.CheckState.Checked)


def press(qtbot: QtBot, page: SheetsPage, what: str) -> None:
    qtbot.mouseClick(page.buttons[what], Qt.MouseButton.LeftButton)


def ready(qtbot: QtBot, page: SheetsPage) -> None:
    qtbot.waitUntil(lambda: page.buttons["preview"].isEnabled(), timeout=LONG_MS)


def headings(content: bytes) -> list[str]:
    return [str(o["/Title"]) for o in pypdf.PdfReader(io.BytesIO(content)).outline if not isinstance(o, list)]


def test_ctrl_p_opens_the_page_with_every_sheet(page: SheetsPage) -> None:
    from harness_studio.sheets.catalogue import SHEETS

    assert page.list.count() == len(SHEETS)
    assert page.list.hasFocus()
    assert "build_board_1to1" not in page.chosen
    assert {"pinout", "grounds", "fuses"} <= set(page.chosen)


def test_the_file_has_the_ticked_sheets_in_the_order_of_the_list(
    qtbot: QtBot, page: SheetsPage, answers: Answers, tmp_path: Path
) -> None:
    tick(page, "grounds", "fuses")
    rows = [page.list.item(r).data(Qt.ItemDataRole.UserRole) for r in range(page.list.count())]
    page.list.setCurrentRow(rows.index("fuses"))
    qtbot.keyClick(page.list, Qt.Key.Key_Up, Qt.KeyboardModifier.AltModifier)
    assert page.chosen == ("fuses", "grounds")
    answers.save = tmp_path / "out.pdf"
    press(qtbot, page, "file")
    assert not page.buttons["file"].isEnabled()
    ready(qtbot, page)
    assert "written" in page.said.text()
    assert [h.split(" ")[0] for h in headings(answers.save.read_bytes())] == ["Fuse", "Ground"]


def test_paper_and_modes_are_those_chosen(
    qtbot: QtBot, pickup: Window, page: SheetsPage, answers: Answers, tmp_path: Path
) -> None:
    tick(page, "pinout")
    page.paper.setCurrentText("Letter")
    qtbot.mouseClick(page.lying, Qt.MouseButton.LeftButton, pos=QPoint(8, page.lying.height() // 2))
    for box in page.modes[1:]:
        box.setCurrentIndex(0)
    last = page.modes[0].count() - 1
    page.modes[0].setCurrentIndex(last)
    title = page.modes[0].itemText(last)
    answers.save = tmp_path / "out.pdf"
    press(qtbot, page, "file")
    ready(qtbot, page)
    first = pypdf.PdfReader(answers.save).pages[0]
    assert float(first.mediabox.width) == pytest.approx(279.4 / 25.4 * 72, abs=0.01)
    assert float(first.mediabox.height) == pytest.approx(215.9 / 25.4 * 72, abs=0.01)
    assert f"volts for: {title}" in first.extract_text().replace("\t", " ")


def test_the_preview_shows_what_the_file_holds_and_jumps(
    qtbot: QtBot, pickup: Window, page: SheetsPage
) -> None:
    tick(page, "grounds", "wires")
    press(qtbot, page, "preview")
    ready(qtbot, page)
    preview = pickup.findChild(Preview)
    assert isinstance(preview, Preview)
    assert preview.isVisible()
    assert preview.pages.leaves[0].sheet == "Ground list"
    picture = preview.pages.grab(preview.pages.place(0)).toImage()
    dark = sum(
        QImage.pixelColor(picture, x, y).lightness() < 100
        for x in range(0, picture.width(), 2)
        for y in range(0, picture.height(), 2)
    )
    assert dark > 300
    wires = next(r for r in range(preview.contents.count()) if "Wire list" in preview.contents.item(r).text())
    preview.contents.setCurrentRow(wires)
    assert preview.area.verticalScrollBar().value() > 0
    wide = preview.pages.sizeHint().width()
    qtbot.keyClick(preview, Qt.Key.Key_Plus, Qt.KeyboardModifier.ControlModifier)
    assert preview.pages.sizeHint().width() > wide
    qtbot.keyClick(preview, Qt.Key.Key_Escape)
    assert not preview.isVisible()


def test_stop_leaves_the_file_as_it_was(
    qtbot: QtBot, page: SheetsPage, answers: Answers, tmp_path: Path
) -> None:
    answers.save = tmp_path / "out.pdf"
    answers.save.write_bytes(b"what was there")
    press(qtbot, page, "file")
    qtbot.mouseClick(page.stop, Qt.MouseButton.LeftButton)
    ready(qtbot, page)
    assert page.said.text() == "Stopped; nothing was printed."
    assert answers.save.read_bytes() == b"what was there"


def test_a_printer_gets_every_page(
    qtbot: QtBot, page: SheetsPage, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def into_a_file(_: object) -> QPrinter:
        printer = QPrinter(QPrinter.PrinterMode.HighResolution)
        printer.setOutputFormat(QPrinter.OutputFormat.PdfFormat)
        printer.setOutputFileName(str(tmp_path / "printed.pdf"))
        return printer

    monkeypatch.setattr(room, "by_dialog", into_a_file)
    tick(page, "grounds", "poster")
    press(qtbot, page, "printer")
    ready(qtbot, page)
    sent = pypdf.PdfReader(tmp_path / "printed.pdf")
    assert page.said.text() == f"{len(sent.pages)} pages sent to the printer."
    assert "bed loom" in sent.pages[0].extract_text().replace("\t", " ")
    wide, high = float(sent.pages[0].mediabox.width), float(sent.pages[0].mediabox.height)
    assert (wide, high) == pytest.approx((595.3, 841.9), abs=1.0)


def test_nothing_ticked_and_a_wrong_grid_say_so(qtbot: QtBot, page: SheetsPage) -> None:
    page.tick(False)
    press(qtbot, page, "preview")
    assert page.said.text() == "No sheet is ticked."
    tick(page, "labels")
    page.grid.setEditText("a4_66")
    press(qtbot, page, "preview")
    ready(qtbot, page)
    assert page.said.text().startswith("there is no label grid 'a4_66'; nearest is 'a4_65'")


def test_own_measures_of_labels(qtbot: QtBot, pickup: Window, page: SheetsPage) -> None:
    tick(page, "labels")
    page.grid.setEditText("Letter, 2 x 5, 100 x 50 mm, from 4 x 10, every 104 x 52")
    press(qtbot, page, "preview")
    ready(qtbot, page)
    leaves = pickup.findChild(Preview).pages.leaves
    assert leaves[0].paper.name == "Letter"
    ends = 2 * len(pickup.session.harness.wires)
    assert len(leaves) == -(-ends // 10)


def test_a_disk_that_is_full_is_said_and_the_page_goes_on(
    qtbot: QtBot, page: SheetsPage, answers: Answers, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    from harness_studio.storage import disk

    def full(path: Path, _: bytes) -> None:
        raise OSError(28, "No space left on device", str(path))

    monkeypatch.setattr(disk, "replace_file", full)
    tick(page, "grounds")
    answers.save = tmp_path / "out.pdf"
    press(qtbot, page, "file")
    ready(qtbot, page)
    assert page.said.text() == f"{answers.save}: No space left on device"


def test_pinouts_of_the_selected_connectors_only(qtbot: QtBot, pickup: Window, page: SheetsPage) -> None:
    tick(page, "pinout")
    page.only.setChecked(True)
    press(qtbot, page, "preview")
    assert page.said.text().startswith("No connector is selected")
    half = next(h for h in pickup.session.harness.halves.values() if h.mates)
    pickup.session.select({half.id})
    assert page.isVisible()  # selecting opens no other page
    press(qtbot, page, "preview")
    ready(qtbot, page)
    told = {
        name.split()[0]
        for leaf in pickup.findChild(Preview).pages.leaves
        for level, name in leaf.marks
        if level
    }
    assert told == {half.id, *half.mates}


def test_a_long_message_moves_no_field(pickup: Window, page: SheetsPage) -> None:
    QApplication.processEvents()
    before = page.grid.y()
    page.say(
        "there is no label grid 'a4_66'; nearest is 'a4_65'; or give its measures, like the ones in the list"
    )
    QApplication.processEvents()
    assert page.grid.y() == before
