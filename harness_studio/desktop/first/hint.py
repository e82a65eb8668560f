"""What an empty page of the diagram says: how something gets there."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QEvent, QObject, Qt
from PySide6.QtWidgets import QLabel

from harness_studio.drawing import fonts

if TYPE_CHECKING:
    from harness_studio.desktop.commands import Commands
    from harness_studio.diagram.view import Diagram

WIDTH_PX = 460


class Hint(QLabel):
    """Lies over the middle of the diagram while the page is empty; clicks go through it."""

    def __init__(self, diagram: Diagram) -> None:
        super().__init__(diagram)
        self._diagram = diagram
        self.setObjectName("quiet")
        self.setWordWrap(True)
        self.setFont(fonts.font(fonts.TEXT_PX))
        self.setAlignment(Qt.AlignmentFlag.AlignCenter)
        self.setAttribute(Qt.WidgetAttribute.WA_TransparentForMouseEvents)
        self.hide()
        diagram.installEventFilter(self)

    def show_for(self, commands: Commands) -> None:
        """Say what can be done, with the keys as they are; nothing on a page that has something."""
        scene = self._diagram.scene
        drawn = not scene.empty or self._diagram.busy
        if drawn or scene.page.photo is not None:
            self.hide()
            return
        lines = ["This page is empty."]
        for command, words in (
            ("stock", "{} takes a part from the stock."),
            ("arrange", "{} lays out what the harness holds."),
            ("import_kbl", "{} brings in a harness description list."),
            ("photo", "{} puts a photo under the page, to trace it."),
            ("guide_tutorial", "{} leads through the first ten minutes."),
            ("commands", "{} lists everything that can be done."),
        ):
            action = commands.actions.get(command)
            if action is not None and action.isEnabled():
                keys = action.shortcut().toString()
                lines.append(words.format(keys or f"'{action.text().replace('…', '')}'"))
        self.setText("\n".join(lines))
        self._place()
        self.show()

    def _place(self) -> None:
        width = min(WIDTH_PX, self._diagram.width() - 40)
        height = self.heightForWidth(width)
        self.setGeometry(
            (self._diagram.width() - width) // 2, (self._diagram.height() - height) // 2, width, height
        )

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Stay in the middle."""
        if event.type() == QEvent.Type.Resize and self.isVisible():
            self._place()
        return False
