"""A list of the modes of a harness, to choose one from."""

from __future__ import annotations

from PySide6.QtWidgets import QComboBox, QWidget

from harness_studio.desktop.combo import Combo
from harness_studio.model.harness import Harness

NOT_SAID = "not said"


class ModeBox(Combo):
    """The modes of a harness by their titles, and 'not said'. A mode that is gone is kept as it was written."""

    def __init__(self, name: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAccessibleName(name)
        self.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
        self.setMinimumContentsLength(8)
        self._offered: list[tuple[str, str]] = []

    def offer(self, harness: Harness) -> None:
        """Offer the modes of a harness; what is chosen stays."""
        options = [(m.id, m.title or m.id) for m in harness.modes.values()]
        if options == self._offered:
            return
        chosen, self._offered = self.value, options
        self.clear()
        self.addItem(NOT_SAID, "")
        for mode, title in options:
            self.addItem(title, mode)
        self.set_value(chosen)

    @property
    def value(self) -> str | None:
        """The chosen mode; None for not said."""
        return str(self.currentData() or "") or None

    def set_value(self, mode: str | None) -> None:
        """Choose a mode."""
        at = self.findData(mode or "")
        if at < 0 and mode:
            self.addItem(mode, mode)
            at = self.count() - 1
        self.setCurrentIndex(max(0, at))

    def wheelEvent(self, event: object) -> None:
        """Leave the wheel to the page."""
        event.ignore()  # type: ignore[attr-defined]
