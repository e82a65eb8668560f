"""'If it were': one reading at 5, 20, 50 and 200 mΩ and open, beside the joint as it is."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QGridLayout, QLabel, QWidget

from harness_studio.diagram.words import signed
from harness_studio.drawing import fonts
from harness_studio.electrics.loading import FUSES

from . import look
from .load_readings import readings_of, short_words, titled

if TYPE_CHECKING:
    from harness_studio.model.harness import Harness
    from harness_studio.session.forecast import Outlook
    from harness_studio.session.session import Session


MOST_NAMED = 5


def chosen_reading(session: Session, outlooks: Sequence[Outlook]) -> str | None:
    """Return the reading that is told: of the selected load, else the one that the open joint moves most."""
    now = session.computed.readings
    worst = {c.reading: c.weight for o in outlooks for c in o.changes if c.reading in now}
    for thing in sorted(session.selection):
        part = session.harness.parts.get(thing)
        keys = readings_of(session, thing, None, part.circuit) if part is not None else []
        if keys:
            return keys[0]
    return max(worst, key=lambda key: worst[key], default=None)


def values(session: Session, outlooks: Sequence[Outlook], key: str) -> list[tuple[str, str]]:
    """Return ('5 mΩ', '13.6 V') for each resistance that was tried."""
    reading = session.computed.readings[key]
    unchanged = next((c.clean for o in outlooks for c in o.changes if c.reading == key), reading.value)
    found = []
    for one in outlooks:
        change = next((c for c in one.changes if c.reading == key), None)
        value = change.bad if change else unchanged
        said = short_words(value, reading.what, reading.unit)
        if reading.unit == "V" and value is not None:  # a column's last digit is what tells here
            said = f"{signed(value, 2)} V"
        said = said.removesuffix(" of scale").removesuffix(" light").removesuffix(" speed")
        name = "open" if math.isinf(one.ohm) else f"{one.ohm * 1e3:.0f} mΩ"
        found.append((name, "no answer" if one.failed else said))
    return found


def pulled_words(session: Session, outlooks: Sequence[Outlook]) -> str:
    """Return what goes dead and what changes when the joint is open, or the fuse pulled; nothing where nothing does."""
    from harness_studio.electrics.pulled import part_of, pulled

    worst = next((o for o in outlooks if math.isinf(o.ohm)), None)
    if worst is None or worst.failed:
        return ""
    found = pulled(worst.changes)
    part = session.harness.parts.get(worst.joint)
    when = "Pulled" if part is not None and part.kind in FUSES else "Open"
    said = [f"{when}: goes dead: {_listed(session.harness, found.dead_parts)}"] if found.dead else []
    changed = tuple(dict.fromkeys(part_of(c) for c in found.changed))
    if changed:
        said.append(
            f"{'changes' if said else when + ': nothing goes dead; changes'}: {_listed(session.harness, changed)}"
        )
    return " · ".join(said) or f"{when}: nobody would notice in this mode."


def _listed(harness: Harness, parts: Sequence[str]) -> str:
    more = f" and {len(parts) - MOST_NAMED} more" if len(parts) > MOST_NAMED else ""
    return ", ".join(harness.title_of(p) for p in parts[:MOST_NAMED]) + more


class IfItWere(QWidget):
    """Two lines of a table, and above them whose reading it is."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.title = QLabel(self)
        self.title.setFont(fonts.font(fonts.TEXT_PX, fonts.STRONG))
        self.title.setWordWrap(True)
        grid = QGridLayout(self)
        grid.setContentsMargins(0, 0, 0, 0)
        grid.setVerticalSpacing(2)
        grid.setHorizontalSpacing(4)
        grid.addWidget(self.title, 0, 0, 1, 5)
        self.cells: list[tuple[QLabel, QLabel]] = []
        for column in range(5):
            head, value = QLabel(self), QLabel(self)
            head.setObjectName("quiet")
            head.setFont(look.small())
            for row, label in ((1, head), (2, value)):
                grid.addWidget(label, row, column, Qt.AlignmentFlag.AlignLeft)
            self.cells.append((head, value))
            grid.setColumnStretch(column, 1)
        self.pulled = QLabel(self)
        self.pulled.setWordWrap(True)
        self.pulled.setFont(look.small())
        grid.addWidget(self.pulled, 3, 0, 1, 5)
        self.hide()

    def show_session(self, session: Session) -> None:
        """Show what the forecast says of the chosen joint; nothing where it says nothing."""
        outlooks = session.forecast.shown
        key = chosen_reading(session, outlooks) if outlooks else None
        if key is None or key not in session.computed.readings:
            self.hide()
            return
        what = session.computed.readings[key].what
        self.title.setText(f"If it were · {titled(session.harness, key)}, {what}")
        told = values(session, outlooks, key)
        for number, (head, value) in enumerate(self.cells):  # a splice is told of as it comes apart only
            for label in (head, value):
                label.setVisible(number < len(told))
        for (head, value), (name, said) in zip(self.cells, told, strict=False):
            head.setText(name)
            value.setText(said)
            value.setAccessibleName(f"{name}: {said}")
        self.pulled.setText(pulled_words(session, outlooks))
        self.show()
