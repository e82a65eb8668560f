"""The preview: pages as they will be printed, one below the other, drawn as vectors at any size."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from PySide6.QtCore import QRect, QSize, Qt
from PySide6.QtGui import QColor, QKeyEvent, QPainter, QPaintEvent, QResizeEvent, QWheelEvent
from PySide6.QtWidgets import QHBoxLayout, QLabel, QListWidget, QScrollArea, QVBoxLayout, QWidget

from harness_studio.drawing import fonts

if TYPE_CHECKING:
    from PySide6.QtGui import QFont

    from harness_studio.sheets.leaf import Leaf

GAP_PX = 18
FINE_PX_PER_MM = 20.0
"""Texts are set at this scale and then made smaller, so that a line is as long as on paper."""
LEAST, MOST = 0.3, 6.0
"""How large a page may be shown, in widths of the window."""
STEP = 1.2


class Pages(QWidget):
    """The pages themselves; only those in view are drawn."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setAccessibleName("Pages as they will be printed")
        self.leaves: Sequence[Leaf] = ()
        self.enlarged = 1.0
        self.room_px = 700
        self._fonts: dict[tuple[int, int], QFont] = {}

    def show_leaves(self, leaves: Sequence[Leaf]) -> None:
        """Show other pages."""
        self.leaves = leaves
        self._settle()

    def zoom(self, factor: float) -> None:
        """Show them larger or smaller."""
        self.enlarged = min(MOST, max(LEAST, self.enlarged * factor))
        self._settle()

    def fill(self, room_px: int) -> None:
        """Take the width there is: at size 1 each page fills it."""
        if room_px != self.room_px:
            self.room_px = room_px
            self._settle()

    def px_per_mm(self, leaf: Leaf) -> float:
        """Return the scale of a page."""
        return self.enlarged * (self.room_px - 2 * GAP_PX) / leaf.paper.width_mm

    def sizeHint(self) -> QSize:
        """Return the room of all pages."""
        high = sum(leaf.paper.height_mm * self.px_per_mm(leaf) + GAP_PX for leaf in self.leaves)
        return QSize(round(self.enlarged * (self.room_px - 2 * GAP_PX)) + 2 * GAP_PX, round(high) + GAP_PX)

    def place(self, number: int) -> QRect:
        """Return where a page lies."""
        top = GAP_PX + sum(
            leaf.paper.height_mm * self.px_per_mm(leaf) + GAP_PX for leaf in self.leaves[:number]
        )
        leaf = self.leaves[number]
        scale = self.px_per_mm(leaf)
        wide, high = round(leaf.paper.width_mm * scale), round(leaf.paper.height_mm * scale)
        return QRect(max(GAP_PX, (self.width() - wide) // 2), round(top), wide, high)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw the pages in view."""
        from harness_studio.sheets.write import draw_page

        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        for number, leaf in enumerate(self.leaves):
            place = self.place(number)
            if not place.intersects(event.rect()):
                continue
            painter.fillRect(place, QColor("white"))
            painter.save()
            painter.setClipRect(place)
            painter.translate(place.topLeft())
            painter.scale(self.px_per_mm(leaf) / FINE_PX_PER_MM, self.px_per_mm(leaf) / FINE_PX_PER_MM)
            draw_page(painter, leaf, FINE_PX_PER_MM, self._fonts)
            painter.restore()
        painter.end()

    def _settle(self) -> None:
        self.setMinimumSize(self.sizeHint())
        self.updateGeometry()
        self.update()


class Preview(QWidget):
    """A window of its own: contents at the left, pages at the right."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent, Qt.WindowType.Window)
        self.setObjectName("preview")
        self.setWindowTitle("Preview")
        self.resize(980, 900)
        self.contents = QListWidget(self)
        self.contents.setAccessibleName("Contents")
        self.contents.setFixedWidth(250)
        self.contents.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.contents.setTextElideMode(Qt.TextElideMode.ElideMiddle)
        self.contents.setFont(fonts.font(fonts.TEXT_PX))
        self.pages = Pages()
        self.area = QScrollArea(self)
        self.area.setWidgetResizable(True)
        self.area.setWidget(self.pages)
        self.hint = QLabel("Ctrl + and − or Ctrl and wheel: larger, smaller. Esc closes.", self)
        self.hint.setObjectName("quiet")
        self.contents.currentRowChanged.connect(self._jump)
        row = QHBoxLayout()
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(0)
        row.addWidget(self.contents)
        row.addWidget(self.area, 1)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 6)
        column.addLayout(row, 1)
        column.addWidget(self.hint, 0, Qt.AlignmentFlag.AlignHCenter)
        self._starts: list[int] = []

    def show_leaves(self, leaves: Sequence[Leaf], title: str) -> None:
        """Show pages and where each sheet begins."""
        self.setWindowTitle(f"Preview · {title} · {len(leaves)} {'page' if len(leaves) == 1 else 'pages'}")
        self.pages.show_leaves(leaves)
        self.contents.blockSignals(True)
        self.contents.clear()
        self._starts = []
        for number, leaf in enumerate(leaves):
            for level, name in leaf.marks:
                self._starts.append(number)
                self.contents.addItem(f"{'    ' * level}{name}")
                self.contents.item(self.contents.count() - 1).setToolTip(name)
        self.contents.blockSignals(False)
        self.area.verticalScrollBar().setValue(0)
        self.show()
        self.raise_()
        self.activateWindow()
        self.pages.setFocus()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Let the pages fill the width."""
        super().resizeEvent(event)
        bar = self.area.verticalScrollBar().sizeHint().width()
        self.pages.fill(self.width() - self.contents.width() - bar - 4)

    def _jump(self, row: int) -> None:
        if 0 <= row < len(self._starts):
            self.area.verticalScrollBar().setValue(self.pages.place(self._starts[row]).top() - GAP_PX // 2)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Zoom, turn pages, close."""
        control = bool(event.modifiers() & Qt.KeyboardModifier.ControlModifier)
        bar = self.area.verticalScrollBar()
        if event.key() == Qt.Key.Key_Escape:
            self.close()
        elif control and event.key() in (Qt.Key.Key_Plus, Qt.Key.Key_Equal):
            self.pages.zoom(STEP)
        elif control and event.key() == Qt.Key.Key_Minus:
            self.pages.zoom(1 / STEP)
        elif event.key() in (Qt.Key.Key_PageDown, Qt.Key.Key_PageUp):
            sign = 1 if event.key() == Qt.Key.Key_PageDown else -1
            bar.setValue(bar.value() + sign * bar.pageStep())
        elif event.key() in (Qt.Key.Key_Home, Qt.Key.Key_End):
            bar.setValue(bar.minimum() if event.key() == Qt.Key.Key_Home else bar.maximum())
        else:
            super().keyPressEvent(event)

    def wheelEvent(self, event: QWheelEvent) -> None:
        """Zoom with Ctrl held."""
        if event.modifiers() & Qt.KeyboardModifier.ControlModifier:
            self.pages.zoom(STEP if event.angleDelta().y() > 0 else 1 / STEP)
        else:
            super().wheelEvent(event)
