"""The window of the guide: chapters and what was found at the left, the text at the right."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QRect, Qt, QUrl, Signal
from PySide6.QtGui import QDesktopServices, QImage, QKeyEvent, QResizeEvent, QTextCursor
from PySide6.QtWidgets import (
    QHBoxLayout,
    QLineEdit,
    QListWidget,
    QListWidgetItem,
    QTextBrowser,
    QVBoxLayout,
    QWidget,
)

from harness_studio.base import resources
from harness_studio.desktop.rows import ABOUT, TitleRows
from harness_studio.drawing import fonts

from . import chapters
from .typeset import typeset

CHAPTER, HEADING = Qt.ItemDataRole.UserRole + 10, Qt.ItemDataRole.UserRole + 11
_SIDE_PX, _MARGIN_PX = 290, 28
_BOTH_PX, _BESIDE_PX = 760, (560, 520)
"""How wide a window shows chapters beside the text, and the size of one that lies beside the work."""


class Text(QTextBrowser):
    """A chapter; pictures are never wider than the text. `widened` tells that they are to be fitted anew."""

    widened = Signal()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Tell of another width once it is there: the window around is resized before it."""
        super().resizeEvent(event)
        if event.size().width() != event.oldSize().width():
            self.widened.emit()

    def loadResource(self, kind: int, url: QUrl | str) -> object:
        """Return a picture, made to fit."""
        if kind != 2:  # QTextDocument.ResourceType.ImageResource
            return None
        name = url.path() if isinstance(url, QUrl) else url
        image = QImage(str(resources.path("guide") / name))
        room = round((self.viewport().width() - 2 * _MARGIN_PX - 4) * self.devicePixelRatioF())
        if image.width() > room > 0:
            image = image.scaledToWidth(room, Qt.TransformationMode.SmoothTransformation)
        image.setDevicePixelRatio(self.devicePixelRatioF())
        return image


class Reader(QWidget):
    """The guide. `sample` carries the path of a sample project whose link was pressed."""

    sample = Signal(object)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent, Qt.WindowType.Window)
        self.setObjectName("guide")
        self.setWindowTitle("Guide")
        self.resize(1080, 820)
        self.chapter = ""
        self.field = QLineEdit(self)
        self.field.setAccessibleName("Search the guide")
        self.field.setPlaceholderText("search the guide …")
        self.field.setClearButtonEnabled(True)
        self.list = QListWidget(self)
        self.list.setAccessibleName("Chapters, or what was found")
        self.list.setItemDelegate(TitleRows(self.list))
        self.text = Text(self)
        self.text.setAccessibleName("Text of the guide")
        self.text.setOpenLinks(False)
        self.text.setVerticalScrollBarPolicy(
            Qt.ScrollBarPolicy.ScrollBarAlwaysOn
        )  # pictures are fitted beside it
        self.text.document().setDocumentMargin(_MARGIN_PX)
        self.text.document().setDefaultFont(fonts.font(fonts.TEXT_PX + 1))
        self.side = side = QWidget(self)
        side.setFixedWidth(_SIDE_PX)
        column = QVBoxLayout(side)
        column.addWidget(self.field)
        column.addWidget(self.list, 1)
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(0)
        row.addWidget(side)
        row.addWidget(self.text, 1)
        self.field.textChanged.connect(self._search)
        self.field.returnPressed.connect(self._first)
        self.list.currentItemChanged.connect(self._picked)
        self.text.anchorClicked.connect(self._follow)
        self.text.widened.connect(self._set_anew)
        self._search("")

    def open_at(self, chapter: str, heading: str = "") -> None:
        """Show a chapter, from one of its headings on."""
        if chapter != self.chapter:
            self.chapter = chapter
            self.text.setMarkdown(chapters.markdown(chapter))
            typeset(self.text.document(), self.palette())
        self.setWindowTitle(f"Guide · {chapters.title(chapter)}")
        self.text.moveCursor(QTextCursor.MoveOperation.Start)
        self.text.verticalScrollBar().setValue(0)
        block = self.text.document().begin()
        while heading and block.isValid():
            if block.blockFormat().headingLevel() and block.text() == heading:
                top = self.text.document().documentLayout().blockBoundingRect(block).top()
                self.text.verticalScrollBar().setValue(round(top) - 8)
                self.text.setTextCursor(QTextCursor(block))
                break
            block = block.next()
        if not self.field.text():
            self._mark(chapter)

    def _mark(self, chapter: str) -> None:
        self.list.blockSignals(True)
        for row in range(self.list.count()):
            if self.list.item(row).data(CHAPTER) == chapter:
                self.list.setCurrentRow(row)
        self.list.blockSignals(False)

    def _search(self, text: str) -> None:
        self.list.blockSignals(True)
        self.list.clear()
        if not text.strip():
            for chapter in chapters.CHAPTERS:
                self._add(chapters.title(chapter), "", chapter, "")
        for found in chapters.find(text):
            section = found.section
            where = f"{chapters.title(section.chapter)}: {section.heading}"
            if section.heading == chapters.title(section.chapter):
                where = section.heading
            self._add(where, found.about, section.chapter, section.heading)
        if text.strip() and not self.list.count():
            item = QListWidgetItem("nothing found")
            item.setFlags(Qt.ItemFlag.NoItemFlags)
            self.list.addItem(item)
        self.list.blockSignals(False)
        if not text.strip() and self.chapter:
            self._mark(self.chapter)

    def _add(self, name: str, about: str, chapter: str, heading: str) -> None:
        item = QListWidgetItem(name)
        item.setData(ABOUT, about)
        item.setData(CHAPTER, chapter)
        item.setData(HEADING, heading)
        item.setToolTip(about)
        self.list.addItem(item)

    def _first(self) -> None:
        if self.list.count():
            self.list.setCurrentRow(0)
            self.list.setFocus()

    def _picked(self, item: QListWidgetItem | None, _: object = None) -> None:
        if item is not None and item.data(CHAPTER):
            self.open_at(item.data(CHAPTER), item.data(HEADING))

    def _follow(self, url: QUrl) -> None:
        """Follow a link: to a chapter, to a sample project, or out of the guide."""
        name = url.path().removesuffix(".md")
        if not url.scheme() and name in chapters.CHAPTERS:
            wanted = url.fragment().replace("-", " ").lower()
            headings = [s.heading for s in chapters.sections() if s.chapter == name]
            self.field.clear()
            self.open_at(name, next((h for h in headings if h.lower() == wanted), ""))
        elif not url.scheme() and url.path().startswith(chapters.SAMPLES):
            self.sample.emit(resources.sample_projects() / url.path().removeprefix(chapters.SAMPLES))
        elif url.scheme() in ("http", "https"):
            QDesktopServices.openUrl(url)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Leave chapters and search away in a narrow window until they are called."""
        super().resizeEvent(event)
        self.side.setVisible(self.width() >= _BOTH_PX or self.field.hasFocus())

    def search(self) -> None:
        """Give the keys to the search, in a narrow window, too."""
        self.side.show()
        self.field.setFocus()
        self.field.selectAll()

    def open_beside(self, over: QRect) -> None:
        """Take little room at the lower left of a window, for steps that are done in that window meanwhile."""
        self.resize(min(_BESIDE_PX[0], over.width() // 2), min(_BESIDE_PX[1], over.height() * 2 // 3))
        self.move(over.left() + 8, over.bottom() - self.height() - 40)

    def changeEvent(self, event: QEvent) -> None:
        """Set the chapter in the colours of another theme."""
        super().changeEvent(event)
        if event.type() == QEvent.Type.PaletteChange:
            self._set_anew()

    def _set_anew(self) -> None:
        chapter, self.chapter = self.chapter, ""
        if chapter:
            at = self.text.verticalScrollBar().value()
            self.open_at(chapter)
            self.text.verticalScrollBar().setValue(at)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Search and close by keys."""
        if event.key() == Qt.Key.Key_Escape and self.field.text():
            self.field.clear()
        elif event.key() == Qt.Key.Key_Escape:
            self.close()
        elif event.key() == Qt.Key.Key_F and event.modifiers() & Qt.KeyboardModifier.ControlModifier:
            self.search()
        else:
            super().keyPressEvent(event)
