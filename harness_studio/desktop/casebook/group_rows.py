"""How a row of the suspects is painted: rank in a disc, members, added resistance, how sure."""

from __future__ import annotations

from PySide6.QtCore import QModelIndex, QPersistentModelIndex, QRect, QRectF, QSize, Qt
from PySide6.QtGui import QFontMetrics, QPainter, QPalette
from PySide6.QtWidgets import QStyledItemDelegate, QStyleOptionViewItem

from harness_studio.desktop.rows import back, write
from harness_studio.diagram.ranks import paint_disc
from harness_studio.drawing import fonts

SUB = Qt.ItemDataRole.UserRole + 21
SURE = Qt.ItemDataRole.UserRole + 22
RANK = Qt.ItemDataRole.UserRole + 23
WORD = Qt.ItemDataRole.UserRole + 24
DISC, GAP = 22, 9
Index = QModelIndex | QPersistentModelIndex


class GroupRows(QStyledItemDelegate):
    """Rows of two lines; a likely group has a full disc, a possible one a broad ring, an unlikely one a thin ring."""

    def sizeHint(self, option: QStyleOptionViewItem, index: Index) -> QSize:
        """Return two lines' room."""
        return QSize(100, 44)

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: Index) -> None:
        """Paint a row."""
        painter.save()
        back(painter, option)
        rect: QRect = option.rect.adjusted(8, 3, -6, -3)  # type: ignore[attr-defined]
        palette: QPalette = option.palette  # type: ignore[attr-defined]
        muted, ink = palette.color(QPalette.ColorRole.PlaceholderText), palette.color(QPalette.ColorRole.Text)
        disc = QRectF(rect.x(), rect.center().y() - DISC / 2 + 1, DISC, DISC)
        paint_disc(painter, disc, str(index.data(RANK)), index.data(WORD) or "", ink,
                   palette.color(QPalette.ColorRole.Base))  # fmt: skip
        small = fonts.font(fonts.SMALL_PX + 1)
        sure = index.data(SURE) or ""
        aside = QFontMetrics(small).horizontalAdvance(sure) + 8
        left = rect.x() + DISC + GAP
        half = rect.height() // 2
        right, align = rect.right() - aside, Qt.AlignmentFlag.AlignLeft
        write(painter, QRect(left, rect.y(), right - left, half), index.data(),
              fonts.font(fonts.TEXT_PX, fonts.STRONG), ink, align)  # fmt: skip
        write(painter, QRect(right, rect.y(), aside, half), sure, small, ink, Qt.AlignmentFlag.AlignRight)
        below = QRect(left, rect.y() + half, rect.right() - left, half)
        write(painter, below, index.data(SUB) or "", small, muted, align)
        painter.setPen(palette.color(QPalette.ColorRole.Mid))
        whole: QRect = option.rect  # type: ignore[attr-defined]
        painter.drawLine(whole.left(), whole.bottom(), whole.right(), whole.bottom())
        painter.restore()
