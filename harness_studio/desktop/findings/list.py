"""The list of findings as a widget: headings, and for each finding its sign, number, thing, sentence and numbers."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QModelIndex, QPointF, QRect, QSize, Qt, Signal
from PySide6.QtGui import QColor, QPainter, QPalette, QResizeEvent, QStandardItem, QStandardItemModel
from PySide6.QtWidgets import QListView, QStyledItemDelegate, QStyleOptionViewItem, QWidget

from harness_studio.checks.finding import Finding
from harness_studio.desktop.rows import PAD, Index, back, write
from harness_studio.diagram.finding_marks import paint_sign
from harness_studio.drawing import fonts
from harness_studio.drawing.theme import Theme, light

from .rows import Row

ROW = Qt.ItemDataRole.UserRole
NUMBER_PX = 38


class FindingRows(QStyledItemDelegate):
    """Paints the lines."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.theme: Theme = light()

    def sizeHint(self, option: QStyleOptionViewItem, index: Index) -> QSize:
        """Return two lines' room for a finding, one for a heading."""
        row: Row = index.data(ROW)
        return QSize(100, 30 if row.finding is None else 44)

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: Index) -> None:
        """Paint a line."""
        row: Row = index.data(ROW)
        painter.save()
        rect: QRect = option.rect.adjusted(PAD, 3, -PAD, -3)  # type: ignore[attr-defined]
        palette: QPalette = option.palette  # type: ignore[attr-defined]
        muted = palette.color(QPalette.ColorRole.PlaceholderText)
        if row.finding is None:
            self._heading(painter, rect, row, muted)
        else:
            back(painter, option)
            self._finding(painter, rect, row, palette.color(QPalette.ColorRole.Text), muted)
        painter.restore()

    def _heading(self, painter: QPainter, rect: QRect, row: Row, muted: QColor) -> None:
        left = Qt.AlignmentFlag.AlignLeft
        write(painter, rect, row.title, fonts.font(fonts.SMALL_PX + 1, fonts.BOLD), muted, left)
        count = fonts.font(fonts.SMALL_PX + 1)
        write(painter, rect, row.aside, count, muted, Qt.AlignmentFlag.AlignRight)

    def _finding(self, painter: QPainter, rect: QRect, row: Row, ink: QColor, muted: QColor) -> None:
        painter.setRenderHint(QPainter.RenderHint.Antialiasing, True)
        half = rect.height() // 2
        paint_sign(painter, row.kind, QPointF(rect.x() + 8, rect.y() + half / 2), 13, self.theme)
        bold, small = fonts.font(fonts.TEXT_PX, fonts.BOLD), fonts.font(fonts.SMALL_PX + 1)
        left, right = Qt.AlignmentFlag.AlignLeft, Qt.AlignmentFlag.AlignRight
        number = QRect(rect.x() + 18, rect.y(), NUMBER_PX - 20, half)
        write(painter, number, str(row.number), bold, ink, left)
        x = rect.x() + NUMBER_PX
        room = rect.width() - NUMBER_PX
        aside = min(room // 2, painter.fontMetrics().horizontalAdvance(row.aside) + 12 if row.aside else 0)
        write(
            painter, QRect(x, rect.y(), room - aside, half), row.title, fonts.font(fonts.TEXT_PX), ink, left
        )
        if row.aside:
            write(painter, QRect(x, rect.y(), room, half), row.aside, small, ink, right)
        write(painter, QRect(x, rect.y() + half, room, half), row.about, small, muted, left)


class FindingList(QListView):
    """The list. `chosen` tells a finding that was made the current one, by pointer or keys; `entered` one by Enter."""

    chosen = Signal(object)
    entered = Signal(object)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._rows = QStandardItemModel(self)
        self._delegate = FindingRows(self)
        self._filling = False
        self.setModel(self._rows)
        self.setItemDelegate(self._delegate)
        self.setEditTriggers(QListView.EditTrigger.NoEditTriggers)
        self.setAccessibleName("Findings")
        self.setUniformItemSizes(False)
        self.selectionModel().currentChanged.connect(self._current)
        self.clicked.connect(lambda index: self._current(index, index))
        self.activated.connect(self._activated)

    def set_theme(self, theme: Theme) -> None:
        """Draw in another theme."""
        self._delegate.theme = theme
        self.viewport().update()

    def show_rows(self, rows: Sequence[Row], chosen: str | None) -> None:
        """Show other lines; the finding with the key `chosen` stays the current one if it is there."""
        self._filling = True
        at = self.verticalScrollBar().value()
        self._rows.clear()
        current: QStandardItem | None = None
        for row in rows:
            item = QStandardItem(row.title)
            item.setData(row, ROW)
            item.setAccessibleText(row.spoken)
            still = row.finding is None
            item.setFlags(
                Qt.ItemFlag.NoItemFlags if still else Qt.ItemFlag.ItemIsEnabled | Qt.ItemFlag.ItemIsSelectable
            )
            item.setToolTip("" if row.finding is None else row.finding.sentence)
            self._rows.appendRow(item)
            if row.finding is not None and row.finding.key == chosen:
                current = item
        if current is not None:
            self.setCurrentIndex(current.index())
        self.verticalScrollBar().setValue(at)
        self._filling = False

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Keep the current finding in sight where the card takes room from the list."""
        super().resizeEvent(event)
        if self.currentIndex().isValid():
            self.scrollTo(self.currentIndex())

    @property
    def rows(self) -> list[Row]:
        """The lines as they are shown."""
        return [self._rows.item(n).data(ROW) for n in range(self._rows.rowCount())]

    def index_of(self, key: str) -> QModelIndex:
        """Return where a finding stands in the list; an invalid index where it is filtered out."""
        for n, row in enumerate(self.rows):
            if row.finding is not None and row.finding.key == key:
                return self._rows.index(n, 0)
        return QModelIndex()

    def point_out(self, key: str) -> bool:
        """Make a finding the current one and tell nobody; False where it is not listed."""
        index = self.index_of(key)
        if not index.isValid():
            return False
        self._filling = True
        self.setCurrentIndex(index)
        self.scrollTo(index)
        self._filling = False
        return True

    def _current(self, now: QModelIndex, _: QModelIndex) -> None:
        row = now.data(ROW) if now.isValid() else None
        if row is not None and row.finding is not None and not self._filling:
            self.chosen.emit(row.finding)

    def _activated(self, index: QModelIndex) -> None:
        found: Finding | None = index.data(ROW).finding
        if found is not None:
            self.entered.emit(found)
