"""The list of the ground map, from which a return can be dragged onto another ground."""

from __future__ import annotations

from PySide6.QtCore import QMimeData, Qt
from PySide6.QtGui import QDrag
from PySide6.QtWidgets import QListView

RETURN = "application/x-harness-return"
"""What is dragged: the id of a part whose return is to be moved."""
THING = Qt.ItemDataRole.UserRole


def carried(part: str) -> QMimeData:
    """Return what a drag of a part's return carries."""
    data = QMimeData()
    data.setData(RETURN, part.encode())
    return data


class ShareList(QListView):
    """A list whose rows can be dragged out."""

    def startDrag(self, actions: Qt.DropAction) -> None:
        """Carry the part of the row under the hand."""
        thing = self.currentIndex().data(THING)
        if thing and thing != "fold":
            drag = QDrag(self)
            drag.setMimeData(carried(str(thing)))
            drag.exec(Qt.DropAction.MoveAction)
