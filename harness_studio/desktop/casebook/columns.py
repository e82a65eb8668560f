"""The two columns, before any number: what the affected loads share on the feed side and on the return side."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtWidgets import QGridLayout, QWidget

from .forms import heading, plain, quiet

if TYPE_CHECKING:
    from harness_studio.casebook.argument import Argument
    from harness_studio.session.session import Session

MOST = 9
"""Joints that are named in a column."""


class Columns(QWidget):
    """Feed beside return, and below what disturbs them and what is ruled out."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAccessibleName("What the affected loads have in common")
        self.title = heading("What they have in common", self)
        self.feed, self.returns = plain("", self), plain("", self)
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
        self.feed.setText(joints_words(found.feed))
        self.returns.setText(joints_words(found.returns))
        self.about.setText(conclusion(found))
        self.ruled_out.setText(ruled_out_words(found))
        self.ruled_out.setVisible(bool(self.ruled_out.text()))


def joints_words(joints: tuple[str, ...]) -> str:
    """Return the joints of a column, one a line, the most wholly shared first."""
    if not joints:
        return "nothing is common"
    more = [f"and {len(joints) - MOST} more"] if len(joints) > MOST else []
    return "\n".join([*joints[:MOST], *more])


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


def ruled_out_words(found: Argument) -> str:
    """Return what a load that stayed speaks against."""
    by_load: dict[str, list[str]] = {}
    for joint, load in found.cleared.items():
        by_load.setdefault(load, []).append(joint)
    said = [
        f"{load} stayed, and passes {', '.join(joints[:4])}{' …' if len(joints) > 4 else ''} as well"
        for load, joints in by_load.items()
    ]
    return "Speaks against: " + "; ".join(said) if said else ""
