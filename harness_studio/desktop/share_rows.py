"""How a row of the ground map is painted: load, its way and amperes, the share as a bar, readings now and clean."""

from __future__ import annotations

from PySide6.QtCore import QModelIndex, QObject, QPersistentModelIndex, QRect, QRectF, QSize, Qt
from PySide6.QtGui import QPainter, QPalette
from PySide6.QtWidgets import QStyledItemDelegate, QStyleOptionViewItem

from harness_studio.drawing import fonts

from .rows import back, write

SUB = Qt.ItemDataRole.UserRole + 11
SHARE = Qt.ItemDataRole.UserRole + 12
ASIDE = Qt.ItemDataRole.UserRole + 13
HEAD = Qt.ItemDataRole.UserRole + 14
CLEAN = Qt.ItemDataRole.UserRole + 15
NOTICED = Qt.ItemDataRole.UserRole + 16
BAR_WIDTH, ASIDE_WIDTH, GAP = 40, 74, 8
Index = QModelIndex | QPersistentModelIndex


class ShareRows(QStyledItemDelegate):
    """Rows of two lines with a hairline below.

    Parameters
    ----------
    aside_px
        How broad the columns of now and clean are.
    """

    def __init__(self, parent: QObject | None = None, aside_px: int = ASIDE_WIDTH) -> None:
        super().__init__(parent)
        self._aside_px = aside_px

    def sizeHint(self, option: QStyleOptionViewItem, index: Index) -> QSize:
        """Return one line's room for headings and folds, two for loads."""
        return QSize(100, 44 if index.data(SHARE) is not None else 28)

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: Index) -> None:
        """Paint a row."""
        painter.save()
        rect: QRect = option.rect  # type: ignore[attr-defined]
        palette: QPalette = option.palette  # type: ignore[attr-defined]
        muted, ink = palette.color(QPalette.ColorRole.PlaceholderText), palette.color(QPalette.ColorRole.Text)
        small = fonts.font(fonts.SMALL_PX + 1)
        strong = fonts.font(fonts.TEXT_PX, fonts.STRONG)
        share = index.data(SHARE)
        columns = _columns(rect, self._aside_px)
        whole = rect.adjusted(2, 3, -2, -3)
        if index.data(HEAD):
            alone = not (index.data(SUB) or index.data(ASIDE))
            first = whole if alone else columns[0]
            write(painter, first, index.data(), fonts.font(fonts.SMALL_PX + 1, fonts.STRONG), muted,
                  Qt.AlignmentFlag.AlignLeft)  # fmt: skip
            write(painter, columns[1], index.data(SUB) or "", small, muted, Qt.AlignmentFlag.AlignLeft)
            write(painter, columns[2], index.data(ASIDE) or "", small, muted, Qt.AlignmentFlag.AlignRight)
            write(painter, columns[3], index.data(CLEAN) or "", small, muted, Qt.AlignmentFlag.AlignRight)
        elif share is None:
            back(painter, option)
            write(painter, whole, index.data(), small, palette.color(QPalette.ColorRole.Link),
                  Qt.AlignmentFlag.AlignLeft)  # fmt: skip
        else:
            back(painter, option)
            upper, lower = _halves(columns[0])
            write(painter, upper, index.data(), strong, ink, Qt.AlignmentFlag.AlignLeft)
            wide = QRect(lower.x(), lower.y(), columns[3].right() - lower.x(), lower.height())
            write(painter, wide, index.data(SUB) or "", small, muted, Qt.AlignmentFlag.AlignLeft)
            _bar(painter, _halves(columns[1])[0], abs(share), palette)
            noticed = bool(index.data(NOTICED))
            colour = palette.color(QPalette.ColorRole.BrightText) if noticed else ink
            now, plain = index.data(ASIDE) or "", fonts.font(fonts.TEXT_PX)
            right = Qt.AlignmentFlag.AlignRight
            write(painter, _halves(columns[2])[0], now, strong if noticed else plain, colour, right)
            write(painter, _halves(columns[3])[0], index.data(CLEAN) or "", plain, ink, right)
        painter.setPen(palette.color(QPalette.ColorRole.Mid))
        painter.drawLine(rect.left(), rect.bottom(), rect.right(), rect.bottom())
        painter.restore()


def _columns(rect: QRect, aside_px: int) -> tuple[QRect, QRect, QRect, QRect]:
    """Return where load, bar, reading now and clean stand; in a narrow drawer the clean one gives way."""
    inner = rect.adjusted(2, 3, -2, -3)
    fits = inner.width() >= 290
    clean = QRect(
        inner.right() - (aside_px if fits else 0), inner.top(), aside_px if fits else 0, inner.height()
    )
    now = QRect(clean.left() - (GAP if fits else 0) - aside_px, inner.top(), aside_px, inner.height())
    bar = QRect(now.left() - GAP - BAR_WIDTH, inner.top(), BAR_WIDTH, inner.height())
    return QRect(inner.left(), inner.top(), bar.left() - GAP - inner.left(), inner.height()), bar, now, clean


def _halves(rect: QRect) -> tuple[QRect, QRect]:
    half = rect.height() // 2
    return QRect(rect.x(), rect.y(), rect.width(), half), QRect(rect.x(), rect.y() + half, rect.width(), half)


def _bar(painter: QPainter, rect: QRect, share: float, palette: QPalette) -> None:
    painter.setRenderHint(QPainter.RenderHint.Antialiasing, True)
    painter.setPen(Qt.PenStyle.NoPen)
    whole = QRectF(rect.x(), rect.center().y() - 4, rect.width(), 8)
    painter.setBrush(palette.color(QPalette.ColorRole.Mid))
    painter.drawRoundedRect(whole, 4, 4)
    painter.setBrush(palette.color(QPalette.ColorRole.Highlight))
    painter.drawRoundedRect(QRectF(whole.x(), whole.y(), max(4.0, whole.width() * min(1.0, share)), 8), 4, 4)
