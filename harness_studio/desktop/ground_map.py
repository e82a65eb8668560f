"""The ground map page: who shares the chosen joint, ranked by what each moves there."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from PySide6.QtCore import QModelIndex, Qt, Signal
from PySide6.QtGui import QStandardItem, QStandardItemModel
from PySide6.QtWidgets import QFrame, QLabel, QListView, QScrollArea, QVBoxLayout, QWidget

from harness_studio.diagram.focus import FOLDED
from harness_studio.diagram.words import amperes, counted, millivolts, per_cent, volts
from harness_studio.drawing import fonts
from harness_studio.model.harness import Harness

from . import look
from .if_it_were import IfItWere
from .load_readings import now_and_clean, other_grounds, read_by
from .proof import ProofCard
from .share_list import ShareList
from .share_rows import ASIDE, CLEAN, HEAD, NOTICED, SHARE, SUB, ShareRows

if TYPE_CHECKING:
    from harness_studio.electrics.shares import Share, Shares
    from harness_studio.session.session import Session

WAYS = {"only": "only way", "main": "main way", "some": "part of it", "minor": "minor", "none": "no way"}
HINT = (
    "Click a ground, a splice, a fuse or a contact on the diagram, or select one and press Enter. "
    "Every circuit that shares it comes to the front and is listed here."
)
CAUTION = (
    "Planning aid. Battery off before work on wiring; measured values, the maker's data, local codes and licensed "
    "practice come first."
)
THING = Qt.ItemDataRole.UserRole
FOLD = "fold"


@dataclass(frozen=True, slots=True)
class Line:
    """One line of the list: a heading, a load, or the fold that hides the small ones."""

    title: str
    sub: str = ""
    share: float | None = None
    aside: str = ""
    clean: str = ""
    noticed: bool = False
    thing: str = ""
    head: bool = False


def heading(harness: Harness, joint: str) -> str:
    """Return the chosen joint as a person reads it."""
    titled = harness.title_of(joint)
    if titled != joint:
        return titled
    owner = joint.split("/")[0].split("@")[0].split(".")[0].split(":")[0]
    thing = harness.title_of(owner)
    title = thing.removeprefix(owner).strip()
    return f"{joint} {title}" if title else joint


def sentence(found: Shares) -> str:
    """Return what the joint carries: '4 circuits return here, 10.0 A. Rise 0.18 V.'."""
    sharing = [row for row in found.rows if row.way not in FOLDED]
    circuits = len({row.circuit or row.part for row in sharing})
    if not sharing and any(row.way == "minor" for row in found.rows):
        return "No load sends as much as 5 % of its current through here as it stands."
    if not sharing:
        return "No load returns or is fed here in this mode."
    sides = {row.side for row in sharing}
    if sides == {"return"}:
        doing = "returns here" if circuits == 1 else "return here"
    elif sides == {"feed"}:
        doing = "is fed through here" if circuits == 1 else "are fed through here"
    else:
        doing = "passes here" if circuits == 1 else "pass here"
    if all(row.element is None for row in sharing):
        return f"{counted(circuits, 'circuit')} {doing}; what the loads take is not known yet."
    said = f"{counted(circuits, 'circuit')} {doing}, {amperes(abs(found.joint_amperes))}."
    if found.side == "return" and found.rise_v is not None:
        said += f" Rise {volts(found.rise_v)}."
    elif found.drop_v:
        said += f" Loses {millivolts(abs(found.drop_v) * 1e3)}."
    return said


def lines(session: Session, found: Shares, *, unfolded: bool = False) -> list[Line]:
    """Return the list for a joint: returns, then feeds; small shares under a fold."""
    out: list[Line] = []
    also = other_grounds(session, found)
    sides = [s for s in ("return", "feed") if any(row.side == s for row in found.rows)]
    for side in sides:
        rows = [row for row in found.rows if row.side == side]
        listed = [row for row in rows if row.way not in FOLDED]
        small = [row for row in rows if row.way in FOLDED]
        if len(sides) > 1 and listed:
            out.append(Line("returning" if side == "return" else "fed", head=True))
        out += [_line(session, row, also) for row in listed]
        if small:
            what = "hide them" if unfolded else f"{len(small)} more below 5 %"
            if unfolded:
                out += [_line(session, row, {}) for row in small]
            out.append(Line(what, thing=FOLD))
    return out


def load_words(harness: Harness, row: Share) -> str:
    """Return a load as a person reads it: 'E5 rear lamp left, stop'."""
    if row.element is None:
        return row.point
    part = harness.parts.get(row.part)
    name = row.element.partition("/")[2]
    several = part is not None and len(getattr(part.ratings, "elements", {})) > 1
    return harness.title_of(row.part) + (f", {name}" if name and several else "")


def _line(session: Session, row: Share, also: Mapping[str, str]) -> Line:
    title = load_words(session.harness, row)
    if row.element is None:
        return Line(title, f"{WAYS[row.way]} · {per_cent(row.share)}", row.share, thing=row.part)
    sub = f"{WAYS[row.way]} · {per_cent(row.share)} of {amperes(row.amperes)} · moves {millivolts(row.moved_mv)}"
    if row.side == "return" and row.point in also:
        sub += f" · also by {also[row.point]}"
    now, clean, noticed = now_and_clean(session, row)
    reader = read_by(session, row)
    if reader:
        sub += f" · read by {reader}"
    return Line(title, sub, row.share, now, clean, noticed, row.part)


class GroundMap(QWidget):
    """The page. `picked` names the thing of a line that was pressed."""

    picked = Signal(str)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session: Session | None = None
        self._unfolded = False
        self._joint: str | None = None
        self.title = QLabel(self)
        self.title.setFont(fonts.font(fonts.HEAD_PX, fonts.BOLD))
        self.title.setWordWrap(True)
        self.sentence = QLabel(self)
        self.sentence.setWordWrap(True)
        self._model = QStandardItemModel(self)
        self.list = ShareList(self)
        self.list.setDragEnabled(True)
        self.list.setMinimumHeight(120)
        self.list.setModel(self._model)
        self.list.setItemDelegate(ShareRows(self.list))
        self.list.setEditTriggers(QListView.EditTrigger.NoEditTriggers)
        self.list.setAccessibleName("Who shares this joint")
        self.list.clicked.connect(self._pressed)
        self.list.activated.connect(self._pressed)
        self.if_it_were, self.proof = IfItWere(self), ProofCard(self)
        self._caution = QLabel(CAUTION, self)
        self._caution.setObjectName("quiet")
        self._caution.setFont(look.small())
        self._caution.setWordWrap(True)
        self._cards: list[Callable[[Session], None]] = []
        below = QWidget()
        self._below = QVBoxLayout(below)
        self._below.setContentsMargins(0, 0, 4, 0)
        self._below.setSpacing(8)
        for widget in (self.if_it_were, self.proof, self._caution):
            self._below.addWidget(widget)
        self._below.addStretch(1)
        rest = QScrollArea(self)
        rest.setWidget(below)
        rest.setWidgetResizable(True)
        rest.setFrameShape(QFrame.Shape.NoFrame)
        rest.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        rest.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        rest.viewport().setAutoFillBackground(False)
        below.setAutoFillBackground(False)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(18, 16, 18, 16)
        layout.setSpacing(6)
        layout.addWidget(self.title)
        layout.addWidget(self.sentence)
        layout.addSpacing(6)
        layout.addWidget(self.list, 4)
        layout.addWidget(rest, 7)

    def add_card(self, card: QWidget, show: Callable[[Session], None], *, first: bool = False) -> None:
        """Put a card of a room below the list, before the proof; `show` is called when the page shows a session."""
        self._below.insertWidget(0 if first else self._below.indexOf(self.proof), card)
        self._cards.append(show)

    @property
    def listed(self) -> list[tuple[str, str]]:
        """(title, second line) of what is listed."""
        items = [self._model.item(i) for i in range(self._model.rowCount())]
        return [(item.text(), item.data(SUB) or "") for item in items]

    def show_session(self, session: Session) -> None:
        """Show the chosen joint of a session."""
        self._session = session
        found = session.ground_map()
        self.proof.show_session(session, found)
        self.show_forecast(session)
        if session.chosen != self._joint:
            self._joint, self._unfolded = session.chosen, False
        if found is None:
            self.title.setText(
                "Ground map" if session.chosen is None else heading(session.harness, session.chosen)
            )
            self.sentence.setText(HINT if session.chosen is None else _without(session))
            self._fill([])
            return
        self.title.setText(heading(session.harness, found.joint))
        self.sentence.setText(sentence(found))
        self._fill(lines(session, found, unfolded=self._unfolded))

    def show_forecast(self, session: Session) -> None:
        """Show what the chosen joint would do, of the selected load if one is selected."""
        for show in self._cards:
            show(session)
        if session.ground_map() is None:
            self.if_it_were.hide()
        else:
            self.if_it_were.show_session(session)

    def _fill(self, shown: Sequence[Line]) -> None:
        self._model.clear()
        if any(line.share is not None for line in shown):
            shown = [Line("load", "share", aside="now", clean="clean", head=True), *shown]
        at = self.list.verticalScrollBar().value()
        for line in shown:
            item = QStandardItem(line.title)
            item.setData(line.thing, THING)
            item.setData(line.sub, SUB)
            item.setData(line.share, SHARE)
            item.setData(line.aside, ASIDE)
            item.setData(line.clean, CLEAN)
            item.setData(line.noticed, NOTICED)
            item.setData(line.head, HEAD)
            item.setFlags(
                Qt.ItemFlag.NoItemFlags
                if line.head
                else Qt.ItemFlag.ItemIsEnabled | Qt.ItemFlag.ItemIsSelectable | Qt.ItemFlag.ItemIsDragEnabled
            )
            clean = f"clean {line.clean}" if line.clean and not line.head else line.clean
            said = ", ".join(t for t in (line.title, line.sub, line.aside, clean) if t)
            item.setAccessibleText(said)
            item.setToolTip("" if line.head else said)
            self._model.appendRow(item)
        self.list.verticalScrollBar().setValue(at)

    def _pressed(self, index: QModelIndex) -> None:
        thing = index.data(THING)
        if thing == FOLD and self._session is not None:
            self._unfolded = not self._unfolded
            self.show_session(self._session)
        elif thing:
            self.picked.emit(thing)


def _without(session: Session) -> str:
    if session.computed.problem:
        return f"Not solved: {session.computed.problem}"
    if session.solution is None:
        return "Solving."
    return "This is no joint of the network in the present mode, so nothing shares it."
