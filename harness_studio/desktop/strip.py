"""The mode strip along the top: each thing as its name over its positions, the present one marked.

Groups stand in rows that wrap. Where a harness has more than fit into a few rows they are folded by kind: one word for
each kind opens and shuts it, so that every position is one or two presses away at any width.
"""

from __future__ import annotations

from collections.abc import Collection

from PySide6.QtCore import QEvent, Qt, Signal
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import (
    QButtonGroup,
    QFrame,
    QHBoxLayout,
    QLabel,
    QPushButton,
    QScrollArea,
    QVBoxLayout,
    QWidget,
)

from harness_studio.drawing import fonts
from harness_studio.model.harness import Harness
from harness_studio.network.network import Overrides

from . import look
from .flow import Flow, Wide
from .strip_groups import Group, groups, plain_value, pressed

NO_MODES = "no modes yet: engine off, every switch in its first position"
BACK = "as the mode has it"
KEEP = "keep as a mode…"
SECTIONS = {"mode": "Modes", "engine": "Engine", "switch": "Switches", "load": "Loads", "sender": "Senders"}
FEW_PX, MOST_PX = 112, 252
"""All kinds stand open if they fit into the first; what is opened may take the second, then it scrolls."""
MANY = 80
"""With more positions than these nothing but the modes is open at first, and a kind's words are made when it is."""


class Strip(QFrame):
    """Shows what the harness is looked at in; a press on another position asks for it.

    `wanted` carries a mode's id, `overridden` the Overrides after a press (None: as the mode has it); `keep_wanted`
    asks for the present positions to be kept as a mode.
    """

    wanted = Signal(str)
    overridden = Signal(object)
    keep_wanted = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("strip")
        self._harness = Harness()
        self._mode: str | None = None
        self._overrides: Overrides | None = None
        self._shown: list[Group] = []
        self._built = False
        self._buttons: dict[tuple[str, str, str], QPushButton] = {}
        self._marked: dict[tuple[str, str, str], tuple[bool, bool]] = {}
        self._groups: list[QButtonGroup] = []
        self._holders: list[tuple[str, QWidget]] = []
        self._made: dict[tuple[str, str], QWidget] = {}
        self._at_once = True
        self._by_hand: dict[str, bool] = {}
        self._title = QLabel(self)
        self._title.setFont(fonts.font(fonts.HEAD_PX, fonts.BOLD))
        self._back = QPushButton(BACK, self)
        self._back.setObjectName("word")
        self._back.setToolTip("Let go of every position that was pressed beside the mode")
        self._back.clicked.connect(lambda: self.overridden.emit(None))
        self.keep = QPushButton(KEEP, self)
        self.keep.setObjectName("word")
        self.keep.setToolTip("Keep the present positions under a name, in the file")
        self.keep.clicked.connect(lambda: self.keep_wanted.emit())
        self.folds = {kind: self._fold(kind, name) for kind, name in SECTIONS.items()}
        top = QHBoxLayout()
        top.setSpacing(4)
        top.addWidget(self._title)
        top.addSpacing(18)
        for fold in self.folds.values():
            top.addWidget(fold)
        top.addStretch(1)
        top.addWidget(self.keep)
        top.addWidget(self._back)
        self._flow = Flow()
        self._flow.setAutoFillBackground(False)
        area = self._area = QScrollArea(self)
        area.setWidget(self._flow)
        area.setWidgetResizable(True)
        area.setFrameShape(QFrame.Shape.NoFrame)
        area.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        area.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        area.viewport().setAutoFillBackground(False)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(18, 5, 12, 6)
        layout.setSpacing(3)
        layout.addLayout(top)
        layout.addWidget(area)

    def _fold(self, kind: str, name: str) -> QPushButton:
        button = QPushButton(name, self)
        button.setObjectName("word")
        button.setCheckable(True)
        button.setFont(look.small())
        button.clicked.connect(lambda on, kind=kind: self._folded(kind, on))
        return button

    def _folded(self, kind: str, on: bool) -> None:
        self._by_hand[kind] = on
        self._unfold()
        self._mark(groups(self._harness, self._mode, self._overrides))

    def show_modes(self, harness: Harness, present: str | None, overrides: Overrides | None = None) -> None:
        """Show what a harness offers; widgets are made anew only where the groups differ."""
        self._harness, self._mode, self._overrides = harness, present, overrides
        found = groups(harness, present, overrides)
        if not self._built or _frame(found) != _frame(self._shown):
            self._by_hand = {}
            self._shown = found
            self._rebuild(found)
            self._built = True
        self._shown = found
        self._mark(found)

    def _rebuild(self, found: list[Group]) -> None:
        for old in self._groups:
            old.deleteLater()
        self._buttons, self._groups, self._made, self._holders = {}, [], {}, []
        self._marked = {}
        self._at_once = sum(len(group.options) for group in found) <= MANY
        if found:
            self._make({group.kind for group in found} if self._at_once else {"mode"})
        else:
            self._holders = [("mode", _quiet(NO_MODES))]
            self._flow.put([self._holders[0][1]])
        self._unfold()

    def _make(self, kinds: Collection[str]) -> None:
        """Make the words of kinds that have none yet."""
        new = [g for g in self._shown if g.kind in kinds and (g.kind, g.id) not in self._made]
        if not new:
            return
        self._made |= {(g.kind, g.id): self._holder(g) for g in new}
        made = [(g.kind, self._made.get((g.kind, g.id))) for g in self._shown]
        self._holders = [(kind, holder) for kind, holder in made if holder is not None]
        self._flow.put([holder for _, holder in self._holders])

    def _unfold(self) -> None:
        """Show the kinds that are open: all where they fit, else modes and engine, and what was opened by hand."""
        width = max(200, self.width() - 30)
        kinds = {group.kind for group in self._shown} or {"mode"}
        fits = self._at_once and self._flow.height_of([h for _, h in self._holders], width) <= FEW_PX
        by_itself = kinds if fits else {"mode"}
        open_kinds = {k for k in kinds if self._by_hand.get(k, k in by_itself)}
        self._make(open_kinds)
        for kind, fold in self.folds.items():
            fold.setVisible(kind in kinds and not (fits and not self._by_hand))
            fold.setChecked(kind in open_kinds)
        self._flow.show_only([holder for kind, holder in self._holders if kind in open_kinds])
        needed = self._flow.arrange(width)
        self._area.setFixedHeight(min(MOST_PX, needed))
        self._area.setVisible(needed > 0)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Wrap anew."""
        super().resizeEvent(event)
        if event.size().width() != event.oldSize().width():
            self._unfold()

    def changeEvent(self, event: QEvent) -> None:
        """Forget the fonts that are set: a new style sheet gives each word the one it was made with."""
        if event.type() == QEvent.Type.StyleChange:
            self._marked.clear()
        super().changeEvent(event)

    def _holder(self, group: Group) -> QWidget:
        exclusive = QButtonGroup(self)
        exclusive.setExclusive(True)
        self._groups.append(exclusive)
        words: list[QPushButton] = []
        for value, label in group.options:
            button = QPushButton(label)
            button.setObjectName("word")
            button.setCheckable(True)
            button.setFont(fonts.font(fonts.TEXT_PX, fonts.STRONG))  # its room at its broadest
            button.setMinimumWidth(button.sizeHint().width())
            button.setAccessibleName(f"{group.title} {label}")
            button.setProperty("value", value)
            button.setProperty("of", f"{group.kind}/{group.id}")
            button.clicked.connect(self._clicked)
            exclusive.addButton(button)
            words.append(button)
            self._buttons[group.kind, group.id, value] = button
        if group.kind == "mode":
            return Wide(_quiet(group.title), words)
        holder = QWidget()
        column = QVBoxLayout(holder)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(1)
        column.addWidget(_quiet(group.title))
        line = QHBoxLayout()
        line.setSpacing(2)
        for button in words:
            line.addWidget(button)
        line.addStretch(1)
        column.addLayout(line)
        return holder

    def _mark(self, found: list[Group]) -> None:
        """Mark the present positions; those that are not the mode's own are set in bold italics.

        Fonts are set only where they change: there are hundreds of words.
        """
        harness, overrides = self._harness, self._overrides
        self._title.setText(harness.settings.title)
        for group in found:
            for value, _ in group.options:
                key = (group.kind, group.id, value)
                button = self._buttons.get(key)
                if button is None:
                    continue
                chosen = value == group.present
                button.setChecked(chosen)
                marked = (chosen, chosen and group.set)
                if self._marked.get(key) == marked:
                    continue
                self._marked[key] = marked
                font = fonts.font(fonts.TEXT_PX, fonts.STRONG if chosen else fonts.REGULAR)
                font.setItalic(marked[1])
                button.setFont(font)
        for kind, fold in self.folds.items():
            fold.setText(_fold_words(kind, [g for g in found if g.kind == kind]))
        beside = overrides is not None and overrides.joints_as_found != Overrides()
        self._back.setVisible(beside)
        self.keep.setVisible(beside or bool(found and not harness.modes))

    @property
    def buttons(self) -> dict[str, QPushButton]:
        """The words of the named modes, by mode."""
        return {value: b for (kind, _, value), b in self._buttons.items() if kind == "mode"}

    def button(self, kind: str, thing: str, value: str) -> QPushButton:
        """Return the word of one position."""
        return self._buttons[kind, thing, value]

    def _clicked(self) -> None:
        button = self.sender()
        if not isinstance(button, QPushButton):
            return
        kind, _, thing = str(button.property("of")).partition("/")
        value = str(button.property("value"))
        if kind == "mode":
            self.wanted.emit(value)
            return
        group = next(g for g in self._shown if (g.kind, g.id) == (kind, thing))
        plain = plain_value(self._harness, self._mode, group) == value
        self.overridden.emit(pressed(self._overrides, group, value, plain))


def _fold_words(kind: str, found: list[Group]) -> str:
    """Return what a fold says: its kind, how many there are, and how many are pressed beside the mode."""
    if kind == "engine" and found:
        return f"Engine {found[0].present}" + (", pressed" if found[0].set else "")
    count = len(found[0].options) if kind == "mode" and found else len(found)
    pressed_beside = sum(group.set for group in found)
    return f"{SECTIONS[kind]} {count}" + (f", {pressed_beside} pressed" if pressed_beside else "")


def _frame(found: list[Group]) -> list[tuple[str, str, str, tuple[tuple[str, str], ...]]]:
    return [(g.kind, g.id, g.title, g.options) for g in found]


def _quiet(text: str) -> QLabel:
    label = QLabel(text)
    label.setObjectName("quiet")
    label.setFont(look.small())
    return label
