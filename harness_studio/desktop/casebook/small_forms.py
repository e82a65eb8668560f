"""Short forms: what was done to bring the fault on, and what was mended."""

from __future__ import annotations

import datetime
from typing import TYPE_CHECKING, get_args

from PySide6.QtWidgets import QLabel, QWidget

from harness_studio.base.units import number
from harness_studio.diagram.joints import joint_of
from harness_studio.model.cases import Means, Mend, Provocation

from .choices import Choice
from .forms import Entry, Pick, column, field, quiet, row

if TYPE_CHECKING:
    from harness_studio.diagram.scene import Hit
    from harness_studio.session.session import Session

MAKERS = ("us", "previous owner", "factory")


def today() -> str:
    """Return today as the file writes it."""
    return datetime.date.today().isoformat()


def joint_words(session: Session) -> list[tuple[str, str]]:
    """Return the joints of the network to pick from."""
    network = session.computed.network
    return [(j, j) for j in sorted(network.joints)] if network is not None else []


def pressed_joint(session: Session, hit: Hit) -> str:
    """Return the joint that a click means, else the thing."""
    return joint_of(session.harness, hit) or hit.member


class ProvocationForm(Entry):
    """What was done, where, and what it did."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__("What was done to bring it on", self.read, parent)
        self._session: Session | None = None
        self.means = Choice("what was done", [(w, w) for w in get_args(Means)], self)
        self.at = Pick("joint", "at which joint: click it or type it", self)
        self.minutes = field("minutes", "min", self)
        self.minutes.setFixedWidth(60)
        self.did = field("what it did", "what it did: needle jumps, nothing …", self)
        layout = column(self.means, gap=7, margins=(10, 9, 10, 10))
        layout.addLayout(row(self.at, self.minutes, stretch=0))
        layout.addWidget(self.did)
        layout.addWidget(self.complaint)
        layout.addLayout(row(self.keep_button, self.done_button))
        self.setLayout(layout)

    def show_session(self, session: Session) -> None:
        """Offer the joints of the network."""
        self._session = session
        if not self.isHidden():
            self.at.offer(joint_words(session))

    def open(self, shown: Provocation | None = None, number: int | None = None) -> None:
        """Open empty, or with what was kept."""
        self.number = number
        if self._session is not None:
            self.at.offer(joint_words(self._session))
        self.means.set_value(shown.means if shown else None)
        self.at.set_value((shown.at or "") if shown else "")
        self.minutes.setText(f"{shown.minutes:g}" if shown and shown.minutes else "")
        self.did.setText((shown.did or "") if shown else "")
        self.complain("")
        self.show()
        next(iter(self.means.buttons.values())).setFocus()

    def touch(self, hit: Hit) -> bool:
        """Take a click on a joint."""
        if self._session is None or self.isHidden():
            return False
        self.at.set_value(pressed_joint(self._session, hit))
        return True

    def read(self) -> Provocation:
        """Return the provocation."""
        if self.means.value is None:
            raise ValueError("press what was done: wiggle, push, heat …")
        text = self.minutes.text().strip()
        minutes = number(text) if text else None
        if minutes is not None and minutes <= 0:
            raise ValueError(f"after {text} minutes: the number must be above 0")
        means: Means = self.means.value  # type: ignore[assignment]
        return Provocation(means, self.at.value or None, minutes, self.did.text().strip() or None)


class MendForm(Entry):
    """What was done about it."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__("What was mended", self.read, parent)
        self._session: Session | None = None
        self.did = field("what was done", "what was done: stud cleaned, lug crimped anew …", self)
        self.on = field("on which joints", "on which joints or wires: click them, or W5, F3", self)
        self.date = field("date", "2026-03-02", self)
        self.maker = Choice("made by", [(m, m) for m in MAKERS], self)
        layout = column(
            self.did, self.on, quiet("One thing at a time: two mends at once prove neither.", self), gap=7,
            margins=(10, 9, 10, 10),
        )  # fmt: skip
        layout.addLayout(row(QLabel("on the", self), self.date))
        layout.addLayout(row(QLabel("by", self), self.maker, stretch=1))
        layout.addWidget(self.complaint)
        layout.addLayout(row(self.keep_button, self.done_button))
        self.setLayout(layout)

    def show_session(self, session: Session) -> None:
        """Follow a session."""
        self._session = session

    def open(self, shown: Mend | None = None, number: int | None = None, on: str = "") -> None:
        """Open empty, on the named joint, or with what was kept."""
        self.number = number
        self.did.setText(shown.did if shown else "")
        self.on.setText(", ".join(shown.on) if shown else on)
        self.date.setText((shown.date or "") if shown else today())
        self.maker.set_value(shown.made_by if shown and shown.made_by in MAKERS else None if shown else "us")
        self.complain("")
        self.show()
        self.did.setFocus()

    def touch(self, hit: Hit) -> bool:
        """Add a clicked joint to those that were mended."""
        if self._session is None or self.isHidden():
            return False
        joint = pressed_joint(self._session, hit)
        have = things_in(self.on.text())
        if joint not in have:
            self.on.setText(", ".join([*have, joint]))
        return True

    def read(self) -> Mend:
        """Return the mend."""
        did = self.did.text().strip()
        if not did:
            raise ValueError("say what was done: stud cleaned, lug crimped anew …")
        return Mend(did, tuple(things_in(self.on.text())), day(self.date.text()), self.maker.value)


def things_in(text: str) -> list[str]:
    """Return what stands between commas."""
    return [part.strip() for part in text.split(",") if part.strip()]


def day(text: str) -> str | None:
    """Return a day as the file writes it; None for nothing, ValueError for what is no day."""
    text = text.strip()
    if not text:
        return None
    try:
        return datetime.date.fromisoformat(text).isoformat()
    except ValueError:
        raise ValueError(f"'{text}' is not a day: write it as 2026-03-02") from None
