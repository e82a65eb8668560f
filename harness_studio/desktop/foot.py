"""The line at the foot: what the harness holds, how long solving took, which page, and whether it is saved."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QFrame, QHBoxLayout, QLabel, QPushButton, QWidget

from harness_studio.diagram.words import counted
from harness_studio.session.session import Session

from . import look


class Foot(QFrame):
    """Three quiet texts, and the counts of findings, which lead to their page."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("foot")
        self.setFixedHeight(28)
        self.holds, self.solved, self.saved = (QLabel(self) for _ in range(3))
        layout = QHBoxLayout(self)
        layout.setContentsMargins(18, 0, 18, 0)
        aligns = (Qt.AlignmentFlag.AlignLeft, Qt.AlignmentFlag.AlignHCenter, Qt.AlignmentFlag.AlignRight)
        for label, align in zip((self.holds, self.solved, self.saved), aligns, strict=True):
            label.setFont(look.small())
            label.setAlignment(align | Qt.AlignmentFlag.AlignVCenter)
            layout.addWidget(label, 1)
        self.findings = QPushButton(self)
        self.findings.setObjectName("word")
        self.findings.setFont(look.small())
        self.findings.setAccessibleName("Findings")
        self.findings.hide()
        layout.insertWidget(1, self.findings)
        self.stop = QPushButton("Stop", self)
        self.stop.setObjectName("word")
        self.stop.setFont(look.small())
        self.stop.setAccessibleName("Stop laying wires")
        self.stop.hide()
        layout.insertWidget(3, self.stop)

    def put_in(self, button: QPushButton) -> None:
        """Put another button before what is said of solving."""
        layout = self.layout()
        assert isinstance(layout, QHBoxLayout)  # made above
        layout.insertWidget(2, button)

    def show_findings(self, words: str) -> None:
        """Tell how many findings of each grade stand; nothing while none is known."""
        self.findings.setText(words)
        self.findings.setAccessibleDescription(words)
        self.findings.setVisible(bool(words))

    def show_session(
        self, session: Session, page: str | None, busy: str | None = None, *, can_stop: bool = False
    ) -> None:
        """Tell what the session is like now, what is being done beside the window, and whether that can be stopped."""
        self.stop.setVisible(can_stop)
        self.holds.setText(holds_words(session))
        self.solved.setText(f"{busy} …" if busy else solved_words(session))
        self.saved.setText(saved_words(session, page))


def holds_words(session: Session) -> str:
    """Return '214 wires · 62 connectors · 11 grounds'."""
    harness = session.harness
    counts = (
        (len(harness.wires), "wire"),
        (len(harness.halves), "connector half", "connector halves"),
        (len(harness.grounds), "ground"),
    )
    return " · ".join(counted(*count) for count in counts)


def solved_words(session: Session) -> str:
    """Return 'solved in 9 ms', or why not."""
    if session.computed.problem:
        return f"not solved: {session.computed.problem}"
    if session.solve_ms is None:
        return "solving" if session.computed.stale else ""
    return f"solved in {session.solve_ms:.0f} ms"


def saved_words(session: Session, page: str | None) -> str:
    """Return 'Estuary pickup, page 2 of 9: Rear · saved'."""
    pages = session.harness.pages
    shown = pages.get(page) if page is not None else None
    number = f" {list(pages).index(shown.id) + 1} of {len(pages)}:" if shown and len(pages) > 1 else ""
    title = session.title + (f", page{number} {shown.title or shown.id}" if shown else "")
    if session.read_only:
        state = "read only"
    elif session.path is None or session.unsaved:
        state = "not saved"
    else:
        state = "saved"
    return f"{title} · {state}"
