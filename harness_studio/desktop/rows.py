"""How rows of lists are painted: a title, a muted second line, a note at the right."""

from __future__ import annotations

from PySide6.QtCore import QModelIndex, QPersistentModelIndex, QRect, QSize, Qt
from PySide6.QtGui import QFont, QFontMetrics, QPainter, QPalette
from PySide6.QtWidgets import QStyle, QStyledItemDelegate, QStyleOptionViewItem

from harness_studio.drawing import fonts

ABOUT = Qt.ItemDataRole.UserRole + 1
ASIDE = Qt.ItemDataRole.UserRole + 2
Index = QModelIndex | QPersistentModelIndex
PAD = 10


def back(painter: QPainter, option: QStyleOptionViewItem) -> None:
    """Paint the ground of a row: a wash when it is the current one, with a bar at its left."""
    if option.state & QStyle.StateFlag.State_Selected:  # type: ignore[attr-defined]
        rect: QRect = option.rect  # type: ignore[attr-defined]
        colour = option.palette.color(QPalette.ColorRole.Highlight)  # type: ignore[attr-defined]
        painter.fillRect(rect.x(), rect.y(), 3, rect.height(), colour)
        colour.setAlphaF(0.12)
        painter.fillRect(rect, colour)


def write(
    painter: QPainter, rect: QRect, text: str, font: QFont, colour: object, align: Qt.AlignmentFlag
) -> None:
    """Write one line, cut short where it does not fit."""
    painter.setFont(font)
    painter.setPen(colour)  # type: ignore[call-overload]
    shown = QFontMetrics(font).elidedText(text, Qt.TextElideMode.ElideRight, rect.width())
    painter.drawText(rect, int(align | Qt.AlignmentFlag.AlignVCenter), shown)


class TitleRows(QStyledItemDelegate):
    """Rows with a title and, below it, what it is."""

    def sizeHint(self, option: QStyleOptionViewItem, index: Index) -> QSize:
        """Return two lines' room where there is a second line."""
        return QSize(100, 42 if index.data(ABOUT) else 28)

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: Index) -> None:
        """Paint a row."""
        painter.save()
        back(painter, option)
        rect: QRect = option.rect.adjusted(PAD, 3, -PAD, -3)  # type: ignore[attr-defined]
        palette: QPalette = option.palette  # type: ignore[attr-defined]
        able = bool(option.state & QStyle.StateFlag.State_Enabled)  # type: ignore[attr-defined]
        muted = palette.color(QPalette.ColorRole.PlaceholderText)
        ink = palette.color(QPalette.ColorRole.Text) if able else muted
        aside, about = index.data(ASIDE) or "", index.data(ABOUT) or ""
        small = fonts.font(fonts.SMALL_PX + 1)
        aside_width = QFontMetrics(small).horizontalAdvance(aside) + 8 if aside else 0
        first = QRect(
            rect.x(), rect.y(), rect.width() - aside_width, rect.height() // 2 if about else rect.height()
        )
        write(painter, first, index.data(), fonts.font(fonts.TEXT_PX), ink, Qt.AlignmentFlag.AlignLeft)
        if aside:
            write(painter, QRect(rect.x(), rect.y(), rect.width(), first.height()), aside, small, muted,
                  Qt.AlignmentFlag.AlignRight)  # fmt: skip
        if about:
            second = QRect(rect.x(), rect.y() + rect.height() // 2, rect.width(), rect.height() // 2)
            write(painter, second, about, small, muted, Qt.AlignmentFlag.AlignLeft)
        painter.restore()
