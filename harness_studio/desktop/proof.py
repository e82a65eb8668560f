"""'What would prove it': where the two tips go, in which mode, what they show now and clean, and the limit."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QFrame, QHBoxLayout, QLabel, QPushButton, QVBoxLayout, QWidget

from harness_studio.base.errors import AddressError
from harness_studio.diagram.focus import LEAST_A
from harness_studio.diagram.words import amperes, millivolts, volts
from harness_studio.drawing import fonts

from . import look

if TYPE_CHECKING:
    from harness_studio.electrics.shares import Shares
    from harness_studio.session.session import Session


@dataclass(frozen=True, slots=True)
class Proof:
    """One reading that tells whether a joint is bad.

    `now_v` is what the tips show with the joint as it is dialled or recorded, `clean_v` with every joint clean.
    """

    plus: str
    minus: str
    mode: str
    now_v: float
    clean_v: float
    amperes: float
    limit_v: float | None = None
    limit_words: str = ""


def proof_of(session: Session, found: Shares) -> Proof | None:
    """Return the reading that proves a joint: a ground against the grounded post, any other across itself."""
    from harness_studio.electrics.meter import volts_between

    network, now, clean = session.computed.network, session.solution, session.computed.clean_solution
    if network is None or now is None or clean is None or found.joint not in network.joints:
        return None
    number = network.joints[found.joint]
    ends = int(network.branches.a[number]), int(network.branches.b[number])
    ground = found.joint in session.harness.grounds
    high = now.volts[ends[0]] >= now.volts[ends[1]]
    plus = _touchable(session, ends[0] if ground or high else ends[1])
    minus = network.grounded if ground else _touchable(session, ends[1] if high else ends[0])
    if plus is None or minus is None or plus == minus:
        return None
    try:
        shown, expected = volts_between(now, plus, minus), volts_between(clean, plus, minus)
    except AddressError:
        return None
    if shown is None or expected is None:
        return None
    mode = session.harness.modes.get(session.mode or "")
    limit, words = _limit(session) if ground else (None, "")
    title = (mode.title or mode.id) if mode is not None else "as it stands"
    return Proof(plus, minus, title, shown, expected, abs(found.joint_amperes), limit, words)


def _touchable(session: Session, index: int) -> str | None:
    """Return a name of a point that a tip can be put on, the plain one first."""
    network = session.computed.network
    if network is None:
        return None
    names = [name for name, at in network.index.items() if at == index and not name.startswith("~")]
    outside = network.points[index].removeprefix("~")  # within a clip: the blade that sits in it
    return min(
        names,
        key=lambda name: ("@" in name, len(name)),
        default=outside if outside in network.index else None,
    )


def _limit(session: Session) -> tuple[float | None, str]:
    from harness_studio.checks.limits import in_force

    limits = in_force(session.harness.settings.limits, session.harness.settings.system_v)
    network = session.computed.network
    cranking = network is not None and network.mode.engine == "cranking"
    limit = limits.limits.get("rise_ground_cranking_v" if cranking else "rise_ground_v")
    if limit is None or limit.value is None:
        return None, ""
    return limit.value, f"limit {volts(limit.value)} for the {limit.what} · {limits.title}"


def lines_of(proof: Proof) -> list[str]:
    """Return the reading in words, line by line."""
    said = [f"+ on {proof.plus}   − on {proof.minus}", proof.mode]
    if proof.amperes < LEAST_A:
        return [*said, "No current flows here in this mode: a reading of 0.00 V would say nothing."]
    said.append(f"{_volts(proof.now_v)} as it stands, {_volts(proof.clean_v)} if every joint is clean")
    said.append(f"{amperes(proof.amperes)} must flow: without current 0.00 V says nothing")
    if proof.limit_words:
        over = proof.limit_v is not None and abs(proof.now_v) > proof.limit_v
        said.append(proof.limit_words + (" · over it" if over else " · within it"))
    return said


def _volts(value: float) -> str:
    return volts(value) if abs(value) >= 0.1 else millivolts(value * 1e3)


class ProofCard(QWidget):
    """The reading on a card below its heading. `kept` carries the proof for the casebook."""

    kept = Signal(object)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        head = QLabel("What would prove it", self)
        head.setFont(fonts.font(fonts.TEXT_PX, fonts.STRONG))
        card = QFrame(self)
        card.setObjectName("proof")
        self.first, self.rest = QLabel(card), QLabel(card)
        self.first.setFont(fonts.font(fonts.TEXT_PX, fonts.STRONG))
        self.rest.setFont(look.small())
        inner = QVBoxLayout(card)
        inner.setContentsMargins(12, 9, 12, 9)
        inner.setSpacing(3)
        for label in (self.first, self.rest):
            label.setWordWrap(True)
            inner.addWidget(label)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.setSpacing(6)
        self.keep = QPushButton("Keep in the casebook", self)
        self.keep.clicked.connect(lambda _=False: self.kept.emit(self.proof))
        self.proof: Proof | None = None
        top = QHBoxLayout()
        top.addWidget(head, 1)
        top.addWidget(self.keep)
        layout.addLayout(top)
        layout.addWidget(card)
        self.hide()

    def show_session(self, session: Session, found: Shares | None) -> None:
        """Show the proof of the chosen joint; nothing where there is none."""
        proof = proof_of(session, found) if found is not None else None
        self.proof = proof
        self.setVisible(proof is not None)
        if proof is not None:
            first, *rest = lines_of(proof)
            self.first.setText(first)
            self.rest.setText("\n".join(rest))
