"""The details page: the selected thing or things, field by field, and what is solved of them."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QSize, Qt, QUrl, Signal
from PySide6.QtGui import QResizeEvent, QShowEvent
from PySide6.QtWidgets import QFrame, QPushButton, QScrollArea, QTextBrowser, QVBoxLayout, QWidget

from harness_studio.base.changes import Ref
from harness_studio.drawing import fonts
from harness_studio.drawing.theme import Theme, light
from harness_studio.editing.change import common_fields
from harness_studio.editing.fields import Field

from . import facts
from .form import Form, Kept

if TYPE_CHECKING:
    from harness_studio.session.session import Session

FormKey = tuple[str, tuple[Field, ...]]
MOST_FORMS = 16
"""Forms that are kept for when things of their kind are selected again."""


class Grown(QTextBrowser):
    """A text as high as it needs to be: the page around it scrolls, not the text."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setOpenLinks(False)
        self.setFont(fonts.font(fonts.TEXT_PX))
        self.setVerticalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.document().setDocumentMargin(0)

    def show_html(self, html: str) -> None:
        """Show a text and take the height it needs."""
        if html != self.property("html"):
            self.setProperty("html", html)
            self.setHtml(html)
        self._grow()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Break lines anew."""
        super().resizeEvent(event)
        self._grow()

    def _grow(self) -> None:
        self.document().setTextWidth(self.viewport().width())
        self.setFixedHeight(round(self.document().size().height()) + 4)


class Details(QWidget):
    """The page. `picked` names the thing of a link that was pressed."""

    picked = Signal(str)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.theme: Theme = light()
        self._session: Session | None = None
        self._kept: Kept = {}
        self._made: dict[FormKey, Form] = {}
        self.forms: list[Form] = []
        self._all = False
        self.heading = Grown(self)
        self.heading.setAccessibleName("What is selected")
        self.text = Grown(self)
        self.text.setAccessibleName("What is solved of it, and its wires")
        self.more = QPushButton(self)
        self.more.setObjectName("word")
        self.more.clicked.connect(self._toggle)
        for text in (self.heading, self.text):
            text.anchorClicked.connect(self._followed)
        inside = QWidget(self)
        inside.setObjectName("page")
        self._column = QVBoxLayout(inside)
        self._column.setContentsMargins(14, 8, 14, 8)
        self._column.setSpacing(4)
        for widget in (self.heading, self.more, self.text):
            self._column.addWidget(widget)
        self._column.addStretch(1)
        self._scroll = QScrollArea(self)
        self._scroll.setWidget(inside)
        self._scroll.setWidgetResizable(True)
        self._scroll.setFrameShape(QFrame.Shape.NoFrame)
        self._scroll.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self._scroll.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.addWidget(self._scroll)

    def sizeHint(self) -> QSize:
        """Ask for the drawer's width; fields make do with what they get."""
        return QSize(360, 600)

    def show_session(self, session: Session) -> None:
        """Show what is selected in a session; what somebody types stays where it is."""
        if session is not self._session:
            self._kept = {}
            self._forget()
        self._session = session
        if not self.isVisible():
            return
        ids = sorted(session.selection)
        self._build(session, ids)
        self.heading.show_html(facts.head(session.harness, ids, self.theme))
        for form in self.forms:
            form.show_harness()
        self._show_rows()
        self.text.show_html(facts.present(session, ids, self.theme))
        self.text.setVisible(bool(self.text.toPlainText()))

    def give_keys(self) -> None:
        """Give the keys to the first field that is seen."""
        editors = (row.editor for form in self.forms for row in form.rows.values())
        first = next((editor for editor in editors if editor.isVisible()), None)
        if first is not None:
            first.setFocus(Qt.FocusReason.TabFocusReason)

    def showEvent(self, event: QShowEvent) -> None:
        """Show what happened while the page could not be seen."""
        super().showEvent(event)
        if self._session is not None:
            self.show_session(self._session)

    def said(self) -> str:
        """Return everything the page says, as a person reads it."""
        lines = [self.heading.toPlainText()]
        for form in self.forms:
            for row in form.rows.values():
                name = f"{row.field.group} {row.field.title}".strip()
                shown = [getattr(row.editor, "text", str)(), getattr(row.editor, "currentText", str)()]
                lines.append(f"{name} {''.join(shown)}")
        return "\n".join([*lines, self.text.toPlainText()])

    def row(self, *path: str) -> QWidget:
        """Return the editor of a field of the first thing that has it."""
        return next(form.rows[path].editor for form in self.forms if path in form.rows)

    def refusal(self, *path: str) -> str:
        """Return why what was typed into a field was refused."""
        return next(form.rows[path].refusal.text() for form in self.forms if path in form.rows)

    def _groups(self, session: Session, ids: list[str]) -> list[tuple[Ref, ...]]:
        """Return the things of each form: the selected ones of one section, the chosen joint, or the harness."""
        found = [facts.ref_of(session.harness, i) for i in ids]
        refs = tuple(ref for ref in found if ref is not None)
        groups = [refs] if refs and len({section for section, _ in refs}) == 1 else []
        if session.chosen is not None:
            groups.append((("joints", session.chosen),))
        return groups or ([] if ids else [(("settings", ""),)])

    def _build(self, session: Session, ids: list[str]) -> None:
        wanted = [(refs, common_fields(session.harness, refs)) for refs in self._groups(session, ids)]
        before, self.forms = self.forms, []
        for refs, fields in wanted:
            key = (refs[0][0], tuple(fields))
            form = self._made.pop(key, None)
            if form is None:
                form = Form(refs, fields, session, self._kept)
                self._column.insertWidget(1, form)
            elif form.refs != refs:
                form.rebind(refs)
            self._made[key] = form  # the latest stands last
            self.forms.append(form)
        for form in before:
            if form not in self.forms:
                form.finish()
                form.hide()
        for at, form in enumerate(self.forms):
            if self._column.indexOf(form) != 1 + at:
                self._column.removeWidget(form)
                self._column.insertWidget(1 + at, form)
            form.show()
        while len(self._made) > MOST_FORMS:
            self._drop(next(iter(self._made)))

    def _forget(self) -> None:
        """Let go of all forms: they belong to another session."""
        self.forms = []
        for key in list(self._made):
            self._drop(key)

    def _drop(self, key: FormKey) -> None:
        form = self._made.pop(key)
        self._column.removeWidget(form)
        form.hide()
        form.deleteLater()

    def _show_rows(self, *, anyway: bool = False) -> None:
        """Show or hide rows, but not under the hands of somebody who types."""
        if any(form.busy for form in self.forms) and not anyway:
            return
        hidden = sum(form.show_all(self._all) for form in self.forms)
        self.more.setText("fewer fields" if self._all else f"{hidden} more fields")
        self.more.setVisible(bool(self.forms) and (self._all or hidden > 0))

    def _toggle(self) -> None:
        self.show_all_fields(not self._all)

    def show_all_fields(self, all_of_them: bool) -> None:
        """Show all fields, or only those that say something or are wanted most."""
        self._all = all_of_them
        self._show_rows(anyway=True)

    def _followed(self, url: QUrl) -> None:
        self.picked.emit(url.toString().removeprefix("thing:"))
