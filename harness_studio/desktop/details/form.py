"""The fields of what is selected, one row each: name, editor, as found beside it, and below it why it was refused."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QGridLayout, QLabel, QSizePolicy, QWidget

from harness_studio.base.changes import Ref
from harness_studio.base.errors import EditError
from harness_studio.drawing import fonts
from harness_studio.editing.change import (
    common_text,
    entity_of,
    field_edit,
    tick_edit,
    ticks_of,
)
from harness_studio.editing.fields import Field, Path, is_default, sections_named
from harness_studio.editing.quantities import Refused
from harness_studio.model.forms import Flag as FlagForm
from harness_studio.model.harness import Harness

from .editors import Choice, Flag, Line, Ticks

if TYPE_CHECKING:
    from harness_studio.session.session import Session

AS_FOUND = "as found"
MOST_WORDS = 500
"""Ids that are offered while one types; of more none are."""
MOST_LOOKED_AT = 200
"""Of more selected things the first ones decide which fields say something."""
_ALWAYS = frozenset({
    "title", "kind", "zone", "colour", "size", "from", "to", "length", "circuit", "status", "made by", "done", "note",
    "place", "method", "gender", "marked",
})  # fmt: skip
_HINTS: dict[Path, str] = {("place",): "body.place, like frame.rear"}
"""What may be written into a field that is empty, where its name does not tell."""
Kept = dict[tuple[tuple[Ref, ...], Path], tuple[str, str]]
"""What was typed and refused, with the reason, by things and field."""


class FieldRow:
    """One field of some things: its editor and its refusal."""

    def __init__(self, form: Form, field: Field, harness: Harness) -> None:
        self.form, self.field = form, field
        name = f"{field.group} {field.title}".strip()
        self.editor = _editor(form, field, harness, name)
        self.editor.setToolTip(field.meaning)
        if isinstance(self.editor, Line):
            self.editor.hint = _HINTS.get(field.path, "")
        if isinstance(self.editor, Ticks):
            self.editor.ticked.connect(self._ticked)
        else:
            self.editor.setAccessibleName(name)
            self.editor.setAccessibleDescription(field.meaning)
            self.editor.done.connect(self._typed)
        if isinstance(self.editor, Line):
            self.editor.given_up.connect(self._given_up)
        self.refusal = QLabel(form)
        self.refusal.setObjectName("refusal")
        self.refusal.setWordWrap(True)
        self.refusal.setFont(fonts.font(fonts.SMALL_PX + 1))
        self.refusal.hide()

    def show_value(self, harness: Harness) -> None:
        """Show what the harness holds, unless something else is being typed or was refused here."""
        refs = self.form.refs
        if isinstance(self.editor, Ticks):
            self.editor.show_ticks(ticks_of(harness, refs, self.field))
        elif not self.editor.typing:
            self.editor.show_text(common_text(harness, refs, self.field))
            self._refuse("")

    def rebind(self, harness: Harness) -> None:
        """Show the field of other things, whatever stands here."""
        if isinstance(self.editor, Line):
            self.editor.offer(_words(self.field, harness))
            self.editor.show_text(common_text(harness, self.form.refs, self.field))
        self._refuse("")
        self.show_value(harness)
        self.restore()

    def restore(self) -> None:
        """Bring back what was typed here and refused."""
        kept = self.form.kept.get((self.form.refs, self.field.path))
        if kept and isinstance(self.editor, Line):
            self.editor.setText(kept[0])
            self._refuse(kept[1])

    def _typed(self, text: str) -> None:
        self._apply(lambda h: field_edit(h, self.form.refs, self.field, text), text)

    def _given_up(self) -> None:
        self.form.kept.pop((self.form.refs, self.field.path), None)
        self._refuse("")

    def _ticked(self, word: str, on: bool) -> None:
        self._apply(lambda h: tick_edit(h, self.form.refs, self.field, word, on), "")

    def _apply(self, edit: Callable[[Harness], object], text: str) -> None:
        session = self.form.session
        key = (self.form.refs, self.field.path)
        if session is None:
            return
        try:
            made = edit(session.harness)
            self.form.kept.pop(key, None)
            if isinstance(self.editor, Line):
                self.editor.show_text(text)
            session.apply(made)  # type: ignore[arg-type]
        except (Refused, EditError) as error:
            if isinstance(self.editor, Line):
                self.editor.show_text(common_text(session.harness, self.form.refs, self.field))
                self.editor.setText(text)
            self._refuse(str(error))
            self.form.kept[key] = (text, str(error))
            return
        self._refuse("")
        self.show_value(session.harness)

    def _refuse(self, why: str) -> None:
        self.refusal.setText(why)
        self.refusal.setVisible(bool(why))
        self.editor.setProperty("refused", bool(why))
        if isinstance(self.editor, Line):
            self.editor.setAccessibleDescription(why or self.field.meaning)
        self.editor.style().polish(self.editor)


class Form(QWidget):
    """The fields of some things of one section. It keeps its rows while the things have the same fields."""

    def __init__(self, refs: tuple[Ref, ...], fields: Sequence[Field], session: Session, kept: Kept) -> None:
        super().__init__()
        self.refs, self.session, self.kept = refs, session, kept
        self.fields = list(fields)
        self.rows: dict[Path, FieldRow] = {}
        self._lines: list[tuple[list[QWidget], list[Field]]] = []
        grid = QGridLayout(self)
        grid.setContentsMargins(0, 2, 0, 4)
        grid.setHorizontalSpacing(8)
        grid.setVerticalSpacing(3)
        grid.setColumnStretch(1, 3)
        grid.setColumnStretch(2, 2)
        self._fill(grid, session.harness)
        self.rebind(refs)

    def _fill(self, grid: QGridLayout, harness: Harness) -> None:
        found = {f.path[1:]: f for f in self.fields if f.path[0] == "as_found"}
        beside = {f.path: found[f.path] for f in self.fields if f.path in found and f.group != AS_FOUND}
        group, at = "", 0
        if self.refs[0][0] == "joints":
            self._title(grid, at, "the joint itself")
            at += 1
        if beside:
            self._head(grid, at)
            at += 1
        for field in self.fields:
            if field in beside.values():
                continue
            if field.group != group and field.group:
                self._lines.append(([self._title(grid, at, field.group)], [f for f in self.fields
                                                                        if f.group == field.group]))  # fmt: skip
                at += 1
            group = field.group
            at = self._line(grid, at, field, beside.get(field.path), harness)

    def _head(self, grid: QGridLayout, at: int) -> None:
        for column, words in ((1, "designed"), (2, AS_FOUND)):
            label = QLabel(words, self)
            label.setObjectName("quiet")
            label.setFont(fonts.font(fonts.SMALL_PX + 1))
            grid.addWidget(label, at, column)

    def _title(self, grid: QGridLayout, at: int, words: str) -> QLabel:
        label = QLabel(words, self)
        label.setFont(fonts.font(fonts.TEXT_PX, fonts.STRONG))
        grid.addWidget(label, at, 0, 1, 3)
        return label

    def _line(self, grid: QGridLayout, at: int, field: Field, beside: Field | None, harness: Harness) -> int:
        label = QLabel(field.title, self)
        label.setObjectName("quiet")
        label.setFont(fonts.font(fonts.TEXT_PX))
        label.setToolTip(field.meaning)
        label.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)
        grid.addWidget(label, at, 0, Qt.AlignmentFlag.AlignVCenter)
        row = self.rows[field.path] = FieldRow(self, field, harness)
        label.setBuddy(row.editor)
        grid.addWidget(row.editor, at, 1, 1, 1 if beside else 2)
        grid.addWidget(row.refusal, at + 1, 1, 1, 2)
        widgets: list[QWidget] = [label, row.editor]
        fields = [field]
        if beside:
            other = self.rows[beside.path] = FieldRow(self, beside, harness)
            grid.addWidget(other.editor, at, 2)
            grid.addWidget(other.refusal, at + 2, 1, 1, 2)
            widgets.append(other.editor)
            fields.append(beside)
        self._lines.append((widgets, fields))
        return at + 3

    def rebind(self, refs: tuple[Ref, ...]) -> None:
        """Show other things that have the same fields; what was being typed is written into those before."""
        self.finish()
        self.refs = refs
        assert self.session is not None
        for row in self.rows.values():
            row.rebind(self.session.harness)

    def show_harness(self) -> None:
        """Show what the harness holds now; what is being typed stays."""
        assert self.session is not None
        for row in self.rows.values():
            row.show_value(self.session.harness)

    def show_all(self, all_of_them: bool) -> int:
        """Show all fields, or only those that say something or are wanted most; return how many are left out."""
        assert self.session is not None
        entities = [entity_of(self.session.harness, ref) for ref in self.refs[:MOST_LOOKED_AT]]
        hidden = 0
        for widgets, fields in self._lines:
            wanted = all_of_them or any(
                (f.title in _ALWAYS and not f.group)
                or not (self._told_singly(f) or all(is_default(e, f.path) for e in entities))
                for f in fields
            )
            hidden += 0 if wanted else len(fields)
            for widget in widgets:
                widget.setVisible(wanted)
        return hidden

    def _told_singly(self, field: Field) -> bool:
        """Whether what a field holds stands in fields of its own."""
        deep = len(field.path)
        return any(len(f.path) > deep and f.path[:deep] == field.path for f in self.fields)

    @property
    def busy(self) -> bool:
        """Whether somebody types here, or is about to."""
        within = self.focusWidget()
        return within is not None and within.hasFocus() and within is not self

    def finish(self) -> None:
        """Tell what was typed and not yet told."""
        for row in self.rows.values():
            if isinstance(row.editor, Line) and not row.refusal.text():
                row.editor.finish()


def _editor(form: Form, field: Field, harness: Harness, name: str) -> Line | Choice | Flag | Ticks:
    if field.ticks:
        return Ticks(form, field.ticks, lambda word: f"{name}: {word}")
    if field.choices:
        return Choice(form, field.choices, field.may_be_empty)
    if isinstance(field.form, FlagForm):
        return Flag(form)
    return Line(form, _words(field, harness) or None)


def _words(field: Field, harness: Harness) -> list[str]:
    """Return the ids that may be meant in a field."""
    words = [key for section in sections_named(field) for key in harness.tables[section]]
    return words if len(words) <= MOST_WORDS else []
