"""Pages onto a printer, one at a turn of the window's loop, so that the window goes on living."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING

from PySide6.QtCore import QMarginsF, QSizeF
from PySide6.QtGui import QPageLayout, QPageSize, QPainter
from PySide6.QtPrintSupport import QPrintDialog, QPrinter
from PySide6.QtWidgets import QWidget

from harness_studio.session.scheduler import Scheduler

if TYPE_CHECKING:
    from PySide6.QtGui import QFont

    from harness_studio.sheets.leaf import Leaf
    from harness_studio.sheets.paper import Paper


def by_dialog(parent: QWidget) -> QPrinter | None:
    """Ask with the dialog of the system."""
    printer = QPrinter(QPrinter.PrinterMode.HighResolution)
    dialog = QPrintDialog(printer, parent)
    return printer if dialog.exec() == QPrintDialog.DialogCode.Accepted else None


class Printing:
    """One print run. `told` gets pages done and pages in all, `done` what to say at its end."""

    def __init__(
        self,
        scheduler: Scheduler,
        printer: QPrinter,
        leaves: Sequence[Leaf],
        told: Callable[[str, int, int], None],
        done: Callable[[str], None],
    ) -> None:
        self._scheduler, self._printer, self._leaves = scheduler, printer, leaves
        self._told, self._done = told, done
        self._painter = QPainter()
        self._fonts: dict[tuple[int, int], QFont] = {}
        self._number, self._end = 0, False

    def begin(self) -> None:
        """Start with the first page."""
        self._printer.setFullPage(True)
        self._set_paper(self._leaves[0].paper)
        if not self._painter.begin(self._printer):
            self._done("The printer does not start: nothing was printed.")
            return
        self._page()

    def stop(self) -> None:
        """End after the page that is being drawn."""
        self._end = True

    def _set_paper(self, paper: Paper) -> None:
        short, long = sorted((paper.width_mm, paper.height_mm))
        size = QPageSize(QSizeF(short, long), QPageSize.Unit.Millimeter)
        turned = paper.width_mm > paper.height_mm
        way = QPageLayout.Orientation.Landscape if turned else QPageLayout.Orientation.Portrait
        self._printer.setPageLayout(QPageLayout(size, way, QMarginsF(0, 0, 0, 0)))

    def _page(self) -> None:
        from harness_studio.sheets.write import draw_page

        count = len(self._leaves)
        if self._end:
            self._painter.end()
            self._printer.abort()
            self._done(f"Stopped after page {self._number} of {count}.")
            return
        leaf = self._leaves[self._number]
        if self._number:
            self._set_paper(leaf.paper)
            self._printer.newPage()
        draw_page(self._painter, leaf, self._printer.resolution() / 25.4, self._fonts)
        self._number += 1
        self._told("Printing page", self._number, count)
        if self._number < count:
            self._scheduler.later(0, self._page)
        else:
            self._painter.end()
            self._done(f"{count} {'page' if count == 1 else 'pages'} sent to the printer.")
