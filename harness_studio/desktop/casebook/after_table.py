"""Before and after, pair by pair: what was read, what that implies, and whether it is as in a clean harness."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QGridLayout, QLabel, QWidget

from harness_studio.base.units import show_mohm
from harness_studio.casebook.after import Compared, paired, value_of
from harness_studio.casebook.before_after import Pair
from harness_studio.drawing import fonts
from harness_studio.model.cases import Case
from harness_studio.session.case_words import mode_words, value_words, where_words

from .forms import plain, quiet

if TYPE_CHECKING:
    from harness_studio.session.session import Session

HEADS = ("before", "after")
LEAST_OHM = 5e-5
"""Less than this is told as none."""
NOTHING = "No reading was taken before the mend."


def judged(session: Session, case: Case) -> Sequence[Pair]:
    """Return the pairs as they were judged, or as they are while that is under way."""
    bare = paired(case)
    after = session.casework.after
    if after is None or [(p.before, p.after) for p in after.pairs] != bare:
        unknown = (None, None, None, None)  # clean, milliohms, closed
        return [Pair(Compared(a, b, value_of(a), value_of(b), *unknown), "not yet") for a, b in bare]
    return after.pairs


def implied_words(pair: Pair) -> str:
    """Return the milliohms that a pair implies: 'GP9: 70 mΩ too much, now 0.4 mΩ'; empty where it implies none."""
    if pair.joint is None or pair.before_ohm is None:
        return ""
    if pair.after_ohm is None:
        return f"implies {show_mohm(pair.before_ohm)} too much at {pair.joint}"
    left = show_mohm(pair.after_ohm) if pair.after_ohm >= LEAST_OHM else "none"
    return f"implies {show_mohm(pair.before_ohm)} too much at {pair.joint}, now {left}"


class AfterTable(QWidget):
    """A row for each pair: where, before, after, and below it what they imply."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAccessibleName("Readings before and after the mend")
        self._grid = QGridLayout(self)
        self._grid.setContentsMargins(0, 0, 0, 0)
        self._grid.setHorizontalSpacing(12)
        self._grid.setVerticalSpacing(1)
        self._grid.setColumnStretch(0, 1)
        self._shown: object = None
        self.cells: list[tuple[str, str, str]] = []
        self.standings: list[str] = []

    def show_session(self, session: Session, case: Case) -> None:
        """Show the pairs of a case."""
        found = judged(session, case)
        if (found, session.harness.modes) == self._shown:
            return
        self._shown = (found, dict(session.harness.modes))
        while self._grid.count():
            item = self._grid.takeAt(0)
            widget = item.widget() if item is not None else None
            if widget is not None:
                widget.hide()
                widget.deleteLater()
        self.cells, self.standings = [], []
        if not found:
            self._grid.addWidget(quiet(NOTHING, self), 0, 0)
            return
        for at, name in enumerate(HEADS, 1):
            self._grid.addWidget(quiet(name, self), 0, at, Qt.AlignmentFlag.AlignRight)
        for number, pair in enumerate(found):
            self._add(session, 1 + 2 * number, pair)

    def _add(self, session: Session, line: int, pair: Pair) -> None:
        where = where_words(pair.before)
        before = value_words(pair.before)
        after = value_words(pair.after) if value_of(pair.after) is not None and pair.after else "not yet"
        self.cells.append((where, before, after))
        self._grid.addWidget(plain(where, self), line, 0)
        for at, text in ((1, before), (2, after)):
            label = QLabel(text, self)
            label.setFont(fonts.font(fonts.TEXT_PX, fonts.STRONG if at == 2 else fonts.REGULAR))
            label.setAccessibleName(f"{where}, {HEADS[at - 1]}: {text}")
            self._grid.addWidget(label, line, at, Qt.AlignmentFlag.AlignRight)
        standing = "" if pair.standing == "not yet" else pair.standing
        said = (mode_words(session.harness, pair.before.mode), standing, implied_words(pair))
        self.standings.append(pair.standing)
        below = quiet(" · ".join(t for t in said if t), self)
        below.setContentsMargins(0, 0, 0, 5)
        self._grid.addWidget(below, line + 1, 0, 1, 3)
