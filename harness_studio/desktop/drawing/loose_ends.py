"""What goes where a wire was let go on empty paper, and laying a wire by typing both of its ends."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QPoint

from harness_studio.base.errors import EditError
from harness_studio.desktop.finder import Finder, Row
from harness_studio.diagram.doing import do
from harness_studio.diagram.gestures.lay import Loose, lay
from harness_studio.diagram.placing_down import Placed, at_end, under_end
from harness_studio.model.drawing.laying import NOT_KNOWN, OPEN, check_end, rewire_edit
from harness_studio.model.drawing.stock import GROUND, SPLICE, StockItem, item_of
from harness_studio.model.edits import Edit
from harness_studio.model.values import End

from .hanging import stock_rows
from .points import points_of, rows_of
from .recent import taken

if TYPE_CHECKING:
    from harness_studio.desktop.window import Window

CUT, UNKNOWN = "end:cut", "end:unknown"
_OPEN_ROWS = (
    Row(CUT, "Leave the end open: cut off", "", "open end"),
    Row(UNKNOWN, "Leave the end open: not known where it goes", "", "open end"),
)


class LooseEnds:
    """Asks without stopping anything: the list goes when one clicks elsewhere."""

    def __init__(self, window: Window) -> None:
        self._window = window
        self._loose: Loose | None = None
        self._from: str | None = None
        self.what = Finder(
            window.stack, "What goes here?", "What goes here? splice, ground, lamp …", self._what
        )
        self.what.picked.connect(self._picked)
        self.first = Finder(window.stack, "Lay a wire from", "from: E5.31, SP3, GP2 …", self._first)
        self.first.picked.connect(self._first_picked)
        self.second = Finder(window.stack, "Lay it to", "to: E5.31, SP3, GP2, cut, unknown …", self._second)
        self.second.picked.connect(self._second_picked)
        for finder in (self.what, self.first, self.second):
            finder.closed.connect(window.diagram.setFocus)
        window.diagram.asked.connect(self.ask)

    # On empty paper --------------------------------------------------------------------------------------------------

    def ask(self, loose: Loose) -> None:
        """Ask what goes where a wire was let go."""
        self._loose = loose
        x, y = self._window.diagram.camera.on(loose.at)
        corner = self._window.diagram.mapTo(self._window.stack, QPoint(round(x), round(y)))
        self.what.open(corner)

    def _what(self, text: str) -> list[Row]:
        rows = stock_rows(text)
        words = text.lower().split()
        first = {SPLICE.key: 0, GROUND.key: 1}
        if not words:
            rows = [r for r in rows if r.id in first or r.aside.isdigit()]
            rows.sort(key=lambda r: first.get(r.id, 2))
        rows += [r for r in _OPEN_ROWS if all(word in r.title.lower() for word in words)]
        return rows

    def _picked(self, key: str) -> None:
        loose, self._loose = self._loose, None
        if loose is None:
            return
        diagram, session = self._window.diagram, self._window.session
        if key in (CUT, UNKNOWN):
            end = OPEN if key == CUT else NOT_KNOWN
            if loose.wire is None:
                lay(diagram, End("point", loose.start), end)
            else:
                wire, number = loose.wire, loose.number
                do(diagram, lambda: rewire_edit(session.harness, wire, number, end))
            return
        item = item_of(key)
        if item is None:
            return
        placed: list[Placed] = []

        def make() -> Edit:
            placed.append(self._at_end(loose, item))
            return placed[0].edit

        diagram.look(diagram.camera)
        if do(diagram, make):
            taken(key)
            if loose.wire is None:
                diagram.pens.laid(placed[0].ids[-1])
            session.select({loose.wire or placed[0].ids[-1]})

    def _at_end(self, loose: Loose, item: StockItem) -> Placed:
        diagram, harness = self._window.diagram, self._window.session.harness
        piece = item.make(harness)
        if loose.wire is None:
            start, pen = End("point", loose.start), diagram.pens.now(harness)
            words = f"lay a wire to {item.title}"
            return at_end(harness, diagram.page_id, piece, loose.at, start, pen, words)
        words = f"take {loose.wire} to {item.title}"
        return under_end(harness, diagram.page_id, piece, loose.at, (loose.wire, loose.number), words)

    # By typing -------------------------------------------------------------------------------------------------------

    def start(self) -> None:
        """Lay a wire from what is selected, by typing or picking its ends."""
        points = self._near()
        if len(points) == 1:
            self._first_picked(points[0])
        else:
            self.first.open()

    def _near(self) -> list[str]:
        harness = self._window.session.harness
        return [p for thing in sorted(self._window.session.selection) for p in points_of(harness, thing)]

    def _first(self, text: str) -> list[Row]:
        return rows_of(self._window.session.harness, text, self._near())

    def _second(self, text: str) -> list[Row]:
        rows = rows_of(self._window.session.harness, text, [])
        words = text.lower().split()
        open_ends = [r for r in _OPEN_ROWS if all(word in r.title.lower() for word in words)]
        return [r for r in rows if r.id != self._from] + open_ends

    def _first_picked(self, point: str) -> None:
        try:
            check_end(self._window.session.harness, End("point", point))
        except EditError as error:
            self._window.tell(str(error))
            return
        self._from = point
        self.second.line.setPlaceholderText(f"from {point} to: E5.31, SP3, GP2, cut, unknown …")
        self.second.open()

    def _second_picked(self, point: str) -> None:
        start, self._from = self._from, None
        if start is None:
            return
        ends = {CUT: OPEN, UNKNOWN: NOT_KNOWN}
        lay(self._window.diagram, End("point", start), ends.get(point, End("point", point)))
