"""Millivolts across a fuse into milliamperes, by its style and rating: shown while the tips stand on a fuse."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtWidgets import QGridLayout, QLabel, QLineEdit, QWidget

from harness_studio.base.units import number, show_mohm

from . import look

if TYPE_CHECKING:
    from harness_studio.session.session import Session


class AcrossFuse(QWidget):
    """A field for the millivolts that were read, and the milliamperes that they mean."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._fuse: tuple[str, str | None, float] | None = None
        self.field = QLineEdit(self)
        self.field.setAccessibleName("Millivolts read across the fuse")
        self.field.setPlaceholderText("mV read across the fuse")
        self.field.textChanged.connect(lambda _: self._read())
        self.value, self.about = QLabel(self), QLabel(self)
        self.about.setObjectName("quiet")
        self.about.setFont(look.small())
        self.about.setWordWrap(True)
        grid = QGridLayout(self)
        grid.setContentsMargins(0, 6, 0, 0)
        grid.addWidget(self.field, 0, 0)
        grid.addWidget(self.value, 0, 1)
        grid.addWidget(self.about, 1, 0, 1, 2)
        grid.setColumnStretch(1, 1)
        self.hide()

    def show_tips(self, session: Session | None, plus: str, minus: str) -> None:
        """Show itself if there is just a fuse between the tips."""
        from harness_studio.electrics.meter_ohms import fuse_between

        found = None
        if session is not None and session.computed.network is not None and session.solution is not None:
            network, solution = session.computed.network, session.solution
            name = fuse_between(session.harness, network, solution, plus, minus)
            ratings = session.harness.parts[name].ratings if name is not None else None
            rated_a = getattr(ratings, "rated_a", None)
            if name is not None and rated_a:
                found = (name, getattr(ratings, "style", None), float(rated_a))
        self._fuse = found
        self.setVisible(found is not None)
        self._read()

    def _read(self) -> None:
        from harness_studio.electrics.meter_ohms import fuse_amperes

        if self._fuse is None:
            return
        name, style, rated_a = self._fuse
        try:
            mv = number(self.field.text()) if self.field.text().strip() else None
        except ValueError:
            self.value.setText("write a number")
            return
        try:
            found = fuse_amperes(style, rated_a, (mv or 1.0) / 1e3)
        except ValueError as error:
            self.value.setText("")
            self.about.setText(str(error))
            return
        self.value.setText("" if mv is None else f"= {_current(found.amperes)}")
        kind = f"{style or 'style not known'} {rated_a:g} A"
        note = f"; {found.note}" if found.note else ""
        one = _current(1e-3 / found.cold_ohm)
        self.about.setText(
            f"{name}, {kind}: {show_mohm(found.cold_ohm)} cold, so 1 mV on the fuse itself is {one}. "
            f"{found.source} ({found.sureness}){note}. At the clips their contacts add."
        )


def _current(amperes: float) -> str:
    return f"{amperes * 1e3:.0f} mA" if abs(amperes) < 1.0 else f"{amperes:.2f} A"
