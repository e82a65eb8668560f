"""With which size, colour and insulation the next wire is laid: those of the last one."""

from __future__ import annotations

from harness_studio.model.drawing.laying import Pen, pen_of
from harness_studio.model.harness import Harness


class Pens:
    """Remembers the wire that was laid last; what is changed on it since counts."""

    def __init__(self) -> None:
        self.pen = Pen()
        self._wire: str | None = None

    def now(self, harness: Harness) -> Pen:
        """Return the pen for the next wire."""
        wire = harness.wires.get(self._wire) if self._wire is not None else None
        if wire is not None:
            self.pen = pen_of(wire)
        return self.pen

    def laid(self, wire_id: str) -> None:
        """Take note of the wire that was laid last."""
        self._wire = wire_id

    def take(self, pen: Pen) -> None:
        """Lay the next wire with another pen."""
        self.pen, self._wire = pen, None
