"""The two columns, before any number: what the affected loads share on the feed side and on the return side."""

from __future__ import annotations

from collections.abc import Sequence
from html import escape
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QGridLayout, QWidget

from harness_studio.desktop import look
from harness_studio.diagram.words import amperes
from harness_studio.model.harness import Harness
from harness_studio.session.case_words import thing_words

from .forms import heading, plain, quiet

if TYPE_CHECKING:
    from harness_studio.casebook.argument import Argument
    from harness_studio.session.session import Session

LINKS = Qt.TextInteractionFlag.LinksAccessibleByMouse | Qt.TextInteractionFlag.LinksAccessibleByKeyboard
MOST, MOST_SWITCHED = 8, 4
"""Things that are named in a column, and switched loads."""


class Columns(QWidget):
    """Feed beside return, below it what disturbs them and what is ruled out. `picked` names a thing that is pressed."""

    picked = Signal(str)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAccessibleName("What the affected loads have in common")
        self.title = heading("What they have in common", self)
        self.feed, self.returns = plain("", self), plain("", self)
        for side in (self.feed, self.returns):
            side.setTextFormat(Qt.TextFormat.RichText)
            side.setTextInteractionFlags(LINKS)
            side.linkActivated.connect(self.picked)
        for label in (self.feed, self.returns):
            label.setAlignment(Qt.AlignmentFlag.AlignTop | Qt.AlignmentFlag.AlignLeft)
            label.setFont(look.small())
        self.about, self.ruled_out = plain("", self), quiet("", self)
        grid = QGridLayout(self)
        grid.setContentsMargins(0, 4, 0, 4)
        grid.setHorizontalSpacing(14)
        grid.setVerticalSpacing(2)
        grid.addWidget(self.title, 0, 0, 1, 2)
        for at, (name, label) in enumerate((("feed", self.feed), ("return", self.returns))):
            grid.addWidget(quiet(name, self), 1, at)
            grid.addWidget(label, 2, at)
            grid.setColumnStretch(at, 1)
        grid.addWidget(self.about, 3, 0, 1, 2)
        grid.addWidget(self.ruled_out, 4, 0, 1, 2)
        self.hide()

    def show_session(self, session: Session) -> None:
        """Show the argument of the open case."""
        answer = session.casework.answer
        found = answer.argument if answer is not None else None
        self.setVisible(found is not None and bool(found.changed))
        if found is None or not found.changed:
            return
        colour = self.palette().link().color().name()
        self.feed.setText(column_words(session.harness, found.feed, colour))
        self.returns.setText(column_words(session.harness, found.returns, colour))
        self.feed.setToolTip("\n".join(found.feed))
        self.returns.setToolTip("\n".join(found.returns))
        self.about.setText(conclusion(found))
        self.ruled_out.setText("\n".join(rest_words(session.harness, found)))
        self.ruled_out.setVisible(bool(self.ruled_out.text()))


def owner(joint: str) -> str:
    """Return the thing that a joint is on: the stud of a ring, the fuse of a clip, the wire of a crimp."""
    first = joint.partition("@")[0]
    return first.partition("/")[0].partition(".")[0].partition(":")[0]


def column_words(harness: Harness, joints: Sequence[str], colour: str) -> str:
    """Return the things that the joints of a column are on as links, one a line, with how many where it is not one."""
    if not joints:
        return "nothing is common"
    things: dict[str, int] = {}
    for joint in joints:
        things[owner(joint)] = things.get(owner(joint), 0) + 1
    lines = [
        f'<a href="{escape(t)}" style="color:{colour}; text-decoration:none">{escape(harness.title_of(t))}</a>'
        + (f" ({n})" if n > 1 else "")
        for t, n in things.items()
    ]
    more = [f"and {len(lines) - MOST} more"] if len(lines) > MOST else []
    return "<br>".join([*lines[:MOST], *more])


def conclusion(found: Argument) -> str:
    """Return what follows from the two columns, in a sentence."""
    loads = ", ".join(found.changed)
    if len(found.changed) == 1:
        return f"Only {loads} changed: its whole feed and return are in question."
    if found.returns and not found.feed:
        return f"{loads} share no feed, only a return: look on the ground side."
    if found.feed and not found.returns:
        return f"{loads} share no return, only a feed: look on the feed side."
    if not found.feed and not found.returns:
        return f"{loads} share neither feed nor return: there is no one joint that all of them pass."
    return f"{loads} share both feed and return: one reading on each side tells them apart."


def rest_words(harness: Harness, found: Argument) -> list[str]:
    """Return what disturbs them, what that rules out, and what a load that stayed speaks against."""
    said = []
    if found.disturbers:
        loads = [
            f"{thing_words(harness, address)} {'+' if more > 0 else '−'}{amperes(abs(more))}"
            for address, more in found.disturbers[:MOST_SWITCHED]
        ]
        said.append("Disturbed by what was switched: " + ", ".join(loads) + ".")
    if found.ruled_out:
        things = list(dict.fromkeys(owner(j) for j in found.ruled_out))
        more = f" and {len(things) - MOST} more" if len(things) > MOST else ""
        said.append(f"Ruled out, for no switched load passes it: {', '.join(things[:MOST])}{more}.")
    by_load: dict[str, list[str]] = {}
    for joint, load in found.cleared.items():
        things = by_load.setdefault(load, [])
        if owner(joint) not in things:
            things.append(owner(joint))
    for load, things in by_load.items():
        more = " …" if len(things) > MOST_SWITCHED else ""
        said.append(f"{load} stayed, which speaks against {', '.join(things[:MOST_SWITCHED])}{more}.")
    return said
