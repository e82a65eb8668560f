"""The finding that was chosen: sentence, numbers, method, table and source, what to do, and the reason to leave it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from html import escape

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QFrame, QHBoxLayout, QLineEdit, QPushButton, QTextBrowser, QVBoxLayout, QWidget

from harness_studio.checks.faults import fault
from harness_studio.checks.finding import Finding
from harness_studio.checks.gone import ACCEPTED_GONE
from harness_studio.drawing import fonts
from harness_studio.model.entities import Mode

from .rows import GRADE_WORDS, kind_of, short


class Card(QFrame):
    """The card. `accepted` brings the reason; `taken_back` lets it stand again; `forgotten` brings keys to remove.

    An acceptance that matches nothing any more is not to be accepted in its turn: it can be removed, alone or with all
    others of its kind.
    """

    accepted = Signal(str)
    taken_back = Signal()
    forgotten = Signal(object)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("proof")
        self.finding: Finding | None = None
        self.text = QTextBrowser(self)
        self.text.setAccessibleName("The chosen finding")
        self.text.setOpenLinks(False)
        self.text.setFont(fonts.font(fonts.TEXT_PX))
        self.text.setMinimumHeight(110)
        self.reason = QLineEdit(self)
        self.reason.setAccessibleName("Why this finding may stay")
        self.reason.setPlaceholderText("accepted because …")
        self.accept, self.back = QPushButton("Accept", self), QPushButton("Let it stand again", self)
        self.forget, self.forget_all = QPushButton("Remove it", self), QPushButton(self)
        self._gone: tuple[str, ...] = ()
        self.reason.returnPressed.connect(self._accept)
        self.reason.textChanged.connect(self._able)
        self.accept.clicked.connect(self._accept)
        self.back.clicked.connect(self.taken_back)
        self.forget.clicked.connect(lambda: self.forgotten.emit(self.finding.ids[:1] if self.finding else ()))
        self.forget_all.clicked.connect(lambda: self.forgotten.emit(self._gone))
        line = QHBoxLayout()
        line.addWidget(self.reason, 1)
        line.addWidget(self.accept)
        for button in (self.back, self.forget, self.forget_all):
            line.addWidget(button)
        column = QVBoxLayout(self)
        column.setContentsMargins(10, 8, 10, 10)
        column.setSpacing(6)
        column.addWidget(self.text, 1)
        column.addLayout(line)

    def show_finding(
        self,
        found: Finding | None,
        modes: Mapping[str, Mode],
        *,
        read_only: bool = False,
        gone: Sequence[str] = (),
    ) -> None:
        """Show a finding; what is being written as a reason stays while it is the same one.

        `modes` are those of the harness, `gone` the keys of all acceptances that match nothing any more.
        """
        same = found is not None and self.finding is not None and found.key == self.finding.key
        before = self.finding
        self.finding = found
        self.setVisible(found is not None)
        if found is None:
            return
        if found != before:
            self.text.setHtml(html_of(found, modes))
        if not same:
            self.reason.clear()
        old = found.rule == ACCEPTED_GONE
        stands = found.accepted is None and not old
        self.reason.setVisible(stands and not read_only)
        self.accept.setVisible(stands and not read_only)
        self.back.setVisible(found.accepted is not None and not read_only)
        self._gone = tuple(gone)
        self.forget.setVisible(old and not read_only)
        self.forget_all.setText(f"Remove all {len(gone)} of its kind")
        self.forget_all.setVisible(old and len(gone) > 1 and not read_only)
        self._able()

    def _able(self) -> None:
        self.accept.setEnabled(bool(self.reason.text().strip()))

    def _accept(self) -> None:
        if self.reason.text().strip():
            self.accepted.emit(self.reason.text())

    def give_keys(self) -> None:
        """Give the keys to the reason, or to what can be done instead."""
        first = self.forget if self.forget.isVisible() else self.reason
        first.setFocus(Qt.FocusReason.ShortcutFocusReason)


def html_of(found: Finding, modes: Mapping[str, Mode]) -> str:
    """Return a finding as rich text; what comes from the file is written as it is.

    What is wrong, by how much and what to do stand first, where it holds and what comes of it below; modes by the
    titles that the window shows.
    """
    lines = [f"<b>{escape(GRADE_WORDS[kind_of(found)])}</b>: {escape(fault(found.rule))}"]
    numbers = [
        f"{name} <b>{short(value)} {escape(found.unit)}</b>"
        for name, value in (("found", found.value), ("limit", found.limit))
        if value is not None
    ]
    if numbers:
        lines.append(", ".join(numbers))
    if found.accepted is not None:
        lines.append(f"<b>accepted because</b> {escape(found.accepted)}")
    lines.append(escape(found.text))
    if found.remedy:
        lines.append(f"<b>do</b> {escape(found.remedy)}")
    if found.mode is not None:
        titles = [modes[m].title or m if m in modes else m for m in (found.mode, *found.also_in)]
        worst = f"<b>in mode</b> {escape(titles[0])}"
        lines.append(f"{worst}; also in {escape('; '.join(titles[1:]))}" if titles[1:] else worst)
    if found.comes_of_it:
        lines.append(escape(found.comes_of_it))
    lines.append(f"<b>rests on</b> {escape(found.backing)}")
    lines.append(f"<b>rule</b> {escape(found.rule)}")
    return "".join(f"<p style='margin:0 0 6px 0'>{line}</p>" for line in lines)
