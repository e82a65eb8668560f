"""The guide: opened by a key where one is, searched, followed; what is made from the program is as the program is."""

import re

import pytest
from PySide6.QtCore import Qt, QUrl
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from harness_studio.app import reference
from harness_studio.base import resources
from harness_studio.desktop.guide import chapters
from harness_studio.desktop.guide.reader import Reader
from harness_studio.desktop.window import Window

KEY = re.compile(r"(?:(?:Ctrl|Alt|Shift)\+)*(?:[A-Z0-9.+=\-]|F\d+|Enter|Escape|Esc|Del|Up|Down|Left|Right)")
OF_LISTS_AND_FIELDS = {
    "Enter", "Escape", "Esc", "Up", "Down", "Alt+Up", "Alt+Down", "Ctrl+A", "Ctrl+Enter", "=", "1", "5", "9",
}  # fmt: skip
"""Keys that no command has: those of lists, fields and the stock."""
LINK = re.compile(r"(!?)\[[^\]]*\]\(([^)\s]+)\)")


def reader_of(window: Window) -> Reader:
    found = window.findChild(Reader)
    assert found is not None
    return found


@pytest.fixture
def reader(qtbot: QtBot, pickup: Window) -> Reader:
    qtbot.keyClick(pickup, Qt.Key.Key_F1)
    return reader_of(pickup)


def test_f1_opens_the_chapter_of_the_open_page(qtbot: QtBot, pickup: Window) -> None:
    pickup.drawer.open("keys")
    qtbot.keyClick(pickup, Qt.Key.Key_F1)
    reader = reader_of(pickup)
    assert reader.isVisible()
    assert reader.chapter == chapters.FOR_PAGE["keys"]
    assert reader.list.currentItem().text() == chapters.title(reader.chapter)
    assert "Ctrl+K" in reader.text.toPlainText()


def test_every_page_of_the_drawer_has_a_chapter(pickup: Window) -> None:
    assert set(chapters.FOR_PAGE) == set(pickup.drawer._pages)
    assert set(chapters.FOR_PAGE.values()) <= set(chapters.CHAPTERS)


def test_typed_words_find_a_section_and_enter_goes_there(qtbot: QtBot, reader: Reader) -> None:
    reader.field.setFocus()
    qtbot.keyClicks(reader.field, "ids points joints")
    assert reader.list.item(0).text() == "The project file: Ids, points and joints"
    qtbot.keyClick(reader.field, Qt.Key.Key_Return)
    assert reader.chapter == "project-file"
    assert reader.text.textCursor().block().text() == "Ids, points and joints"
    assert reader.text.verticalScrollBar().value() > 0
    qtbot.keyClick(reader.list, Qt.Key.Key_Escape)
    assert [reader.list.item(r).text() for r in range(reader.list.count())] == [
        chapters.title(c) for c in chapters.CHAPTERS
    ]


def test_what_is_not_there_is_said(qtbot: QtBot, reader: Reader) -> None:
    qtbot.keyClicks(reader.field, "xylophone")
    assert [reader.list.item(r).text() for r in range(reader.list.count())] == ["nothing found"]


def test_a_link_leads_to_its_chapter_and_heading(reader: Reader) -> None:
    reader.text.anchorClicked.emit(QUrl("commands.md#solve"))
    assert reader.chapter == "commands"
    assert reader.text.textCursor().block().text() == "solve"


@pytest.mark.parametrize("chapter", chapters.CHAPTERS)
def test_links_and_pictures_lead_somewhere(chapter: str) -> None:
    headings = {(s.chapter, s.heading.lower()) for s in chapters.sections()}
    for picture, target in LINK.findall(chapters.markdown(chapter)):
        if picture:
            assert resources.path("guide").joinpath(target).is_file(), target
        elif target.startswith(chapters.SAMPLES):
            assert resources.sample_projects().joinpath(target.removeprefix(chapters.SAMPLES)).is_file(), (
                target
            )
        elif "://" not in target:
            name, _, heading = target.partition("#")
            name = name.removesuffix(".md") or chapter
            assert name in chapters.CHAPTERS, target
            assert not heading or (name, heading.replace("-", " ")) in headings, target


@pytest.mark.parametrize("page", reference.PAGES)
def test_what_is_made_from_the_program_is_up_to_date(qapp: QApplication, page: str) -> None:
    text = resources.text("guide", page)
    assert reference.made(text) == text, "run: python -m harness_studio.app.reference"


def test_every_key_that_is_told_is_one_of_the_program(qapp: QApplication) -> None:
    known = {key for command in reference.window_commands() for key in reference.key_words(command)}
    texts = {c: chapters.markdown(c) for c in chapters.CHAPTERS if c not in ("project-file", "commands")}
    readme = resources.path("guide").parents[1] / "README.md"
    table = "".join(
        re.findall(r"(?m)^\| ([^|`]+) \| (?!---)", readme.read_text(encoding="utf-8").split("| key |")[1])
    )
    told = [
        (c, key)
        for c, text in texts.items()
        for key in re.findall(r"`([^`\n]+)`", text)
        if KEY.fullmatch(key)
    ]
    told += [("README", key) for key in re.findall(r"(?:(?:Ctrl|Alt|Shift)\+)[A-Z0-9]\b", table)]
    assert len(told) > 150
    assert [(c, key) for c, key in told if key not in known | OF_LISTS_AND_FIELDS] == []


def test_the_tutorial_lies_small_beside_the_work_and_its_search_is_called(
    qtbot: QtBot, pickup: Window
) -> None:
    qtbot.keyClick(pickup, Qt.Key.Key_F1, Qt.KeyboardModifier.AltModifier)
    reader = reader_of(pickup)
    assert reader.chapter == chapters.TUTORIAL
    assert reader.width() < pickup.width() // 2
    assert pickup.geometry().contains(reader.geometry())
    assert not reader.field.isVisible()
    assert not reader.text.horizontalScrollBar().isVisible()
    reader.activateWindow()
    qtbot.waitUntil(reader.isActiveWindow)
    qtbot.keyClick(reader.text, Qt.Key.Key_F, Qt.KeyboardModifier.ControlModifier)
    assert reader.field.hasFocus()
    qtbot.keyClicks(reader.field, "kelvin")
    qtbot.keyClick(reader.field, Qt.Key.Key_Return)
    assert reader.chapter == "numbers"
    reader.resize(1000, 700)
    assert reader.list.isVisible()


def test_pictures_are_as_wide_as_the_text_whatever_its_width(qtbot: QtBot, pickup: Window) -> None:
    qtbot.keyClick(pickup, Qt.Key.Key_F1, Qt.KeyboardModifier.AltModifier)
    reader = reader_of(pickup)
    for width in (500, 1100, 640):
        reader.resize(width, 600)
        QApplication.processEvents()
        image = reader.text.loadResource(2, QUrl("pictures/ten_wires.png"))
        shown = reader.text.document().resource(2, QUrl("pictures/ten_wires.png"))
        assert shown.width() == image.width()
        assert 0.7 * reader.text.viewport().width() < shown.width() < reader.text.viewport().width()


def test_the_tutorial_comes_back_where_it_was_left(qtbot: QtBot, pickup: Window) -> None:
    qtbot.keyClick(pickup, Qt.Key.Key_F1, Qt.KeyboardModifier.AltModifier)
    reader = reader_of(pickup)
    reader.text.verticalScrollBar().setValue(900)
    qtbot.keyClick(reader.text, Qt.Key.Key_Escape)
    assert not reader.isVisible()
    qtbot.keyClick(pickup, Qt.Key.Key_F1, Qt.KeyboardModifier.AltModifier)
    assert reader.isVisible()
    assert reader.text.verticalScrollBar().value() == 900
