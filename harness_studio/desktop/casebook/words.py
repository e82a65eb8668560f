"""A few words that wrap: as high as what is written in it, so that a long complaint can be read whole."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QSize, Qt, Signal
from PySide6.QtGui import QFocusEvent, QKeyEvent, QResizeEvent
from PySide6.QtWidgets import QLabel, QPlainTextEdit, QSizePolicy, QWidget

from harness_studio.desktop.undo_keys import is_windows_undo

MOST_LINES = 5
"""With more it scrolls."""


class Words(QPlainTextEdit):
    """A field that grows with its text. Enter keeps the words, Tab goes on.

    `editingFinished` is sent with Enter and when the field is left, if something was typed. Once it is left, undo is
    the window's again.
    """

    editingFinished = Signal()  # noqa: N815  as Qt's line has it

    def __init__(self, name: str, hint: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAccessibleName(name)
        self.setPlaceholderText(hint)
        self.setTabChangesFocus(True)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.setVerticalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAsNeeded)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.document().setDocumentMargin(3)
        self.document().clearUndoRedoStacks()  # the margin is a step to the document
        self.document().setModified(False)
        self.textChanged.connect(self._fit)
        self._fit()

    def text(self) -> str:
        """Return the words."""
        return self.toPlainText()

    def show_text(self, text: str) -> None:
        """Show words where nobody types."""
        if not self.hasFocus() and self.text() != text:
            self.setPlainText(text)

    def _fit(self) -> None:
        lines = min(MOST_LINES, max(1, round(self.document().size().height())))
        room = 2 * self.document().documentMargin() + 2 * self.frameWidth()
        self.setFixedHeight(int(lines * self.fontMetrics().lineSpacing() + room) + 6)

    def minimumSizeHint(self) -> QSize:
        """Any width will do."""
        return QSize(60, self.height())

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Wrap anew."""
        super().resizeEvent(event)
        self._fit()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Keep with Enter."""
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self._keep()
        else:
            super().keyPressEvent(event)

    def focusOutEvent(self, event: QFocusEvent) -> None:
        """Keep what was typed when the field is left for another one."""
        super().focusOutEvent(event)
        if event.reason() != Qt.FocusReason.PopupFocusReason:
            self._keep()

    def _keep(self) -> None:
        document = self.document()
        document.clearUndoRedoStacks()
        if document.isModified():
            document.setModified(False)
            self.editingFinished.emit()

    def event(self, event: QEvent) -> bool:
        """Leave undo to the window where nothing typed is to be undone."""
        steps = self.document()
        if is_windows_undo(event, steps.isUndoAvailable, steps.isRedoAvailable):
            event.ignore()
            return False
        return super().event(event)


class OneLine(QLabel):
    """A text in one line, cut short where it does not fit; the whole of it is its tool tip."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._whole = ""
        self.setTextFormat(Qt.TextFormat.PlainText)
        self.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Fixed)

    def show_text(self, text: str) -> None:
        """Show a text."""
        self._whole = text
        self.setToolTip(text)
        self.setAccessibleName(text)
        self._cut()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Cut anew."""
        super().resizeEvent(event)
        self._cut()

    def _cut(self) -> None:
        room = self.fontMetrics()
        self.setText(room.elidedText(self._whole, Qt.TextElideMode.ElideRight, self.width()))
