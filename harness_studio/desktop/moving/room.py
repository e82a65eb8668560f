"""Opens the room: the card of the ground map, the list of grounds, and drops on the diagram."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QEvent, QObject
from PySide6.QtGui import QDragMoveEvent, QDropEvent

from harness_studio.base.errors import EditError
from harness_studio.desktop.commands import Command
from harness_studio.desktop.finder import Finder, Row
from harness_studio.desktop.rooms import Room
from harness_studio.desktop.share_list import RETURN
from harness_studio.model.returns import move_return

from .card import MoveCard
from .returns import Return, only_part, places, return_of, table, words

if TYPE_CHECKING:
    from collections.abc import Mapping

    from harness_studio.desktop.window import Window
    from harness_studio.electrics.readings import Reading
    from harness_studio.electrics.solution import Solution
    from harness_studio.session.session import Session

    State = tuple[Solution, Mapping[str, Reading]]

REACH_PX = 6.0


def open_room(window: Window) -> Room:
    """Put the card into the ground map, and let the diagram take drops."""
    moving = Moving(window)
    command = Command("move_return", "Move a return to another ground…", "Diagnose/b", moving.ask, ("Ctrl+R",),
                      able=lambda: moving.able)  # fmt: skip
    return Room({}, (command,))


class Moving(QObject):
    """Moves returns: one undoable step, then the table of before and after."""

    def __init__(self, window: Window) -> None:
        super().__init__(window)
        self._window = window
        self._moved: Return | None = None
        self._before: State | None = None
        self._title = ""
        self._steps = 0
        self.card = MoveCard(window.drawer.ground_map)
        window.drawer.ground_map.add_card(self.card, self._show, first=True)
        self.finder = Finder(window.diagram, "Move the return to", "another ground …", self._rows)
        self.finder.picked.connect(self.put)
        self.finder.closed.connect(window.diagram.setFocus)
        self.card.wanted.connect(self.ask)
        self.card.undone.connect(window.undo)
        window.diagram.setAcceptDrops(True)
        window.diagram.installEventFilter(self)

    @property
    def able(self) -> bool:
        """Whether a ground or a ring of it is chosen."""
        session = self._window.session
        return (session.chosen or "").partition("/")[0] in session.harness.grounds

    def ask(self) -> None:
        """List the grounds that the selected load's return could use."""
        session = self._window.session
        self._moved = return_of(session, only_part(session))
        if self._moved is None:
            self._window.tell("No return is meant: choose a ground, then a load in its ground map.")
            return
        self.finder.open()

    def _rows(self, text: str) -> list[Row]:
        session = self._window.session
        if self._moved is None:
            return []
        found = places(session, self._moved)
        wanted = text.lower().split()
        return [Row(p.ground, f"{self._moved.wire} to {p.title}", p.about) for p in found
                if all(word in f"{p.title} {p.about}".lower() for word in wanted)]  # fmt: skip

    def put(self, to: str) -> None:
        """Put the return on a ground."""
        session = self._window.session
        if self._moved is None or session.solution is None:
            return
        moved, before = self._moved, (session.solution, dict(session.computed.readings))
        try:
            edit = move_return(session.harness, moved.wire, to, moved.ground)
            self._title, self._before, self._steps = (
                words(session, moved, to),
                before,
                len(session.history) + 1,
            )
            session.apply(edit)
        except EditError as error:
            self._before = None
            self._window.tell(str(error))

    def _show(self, session: Session) -> None:
        """Show the table once the moved harness is solved; take it away when the step is undone."""
        self.card.setVisible(self.able or not self.card.card.isHidden())
        self.card.move_button.setVisible(self.able)
        if self._before is None:
            return
        if len(session.history) < self._steps:
            self._before = None
            self.card.card.hide()
        elif (
            session.solution is not None
            and session.solution is not self._before[0]
            and not session.computed.stale
        ):
            after = (session.solution, session.computed.readings)
            self.card.show_table(self._title, table(session.harness, self._before, after))

    # Drops -----------------------------------------------------------------------------------------------------------

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Take a return that is dragged onto a ground of the diagram."""
        if isinstance(event, QDropEvent) and event.mimeData().hasFormat(RETURN):
            ground = self._ground_at(event)
            part = bytes(event.mimeData().data(RETURN).data()).decode()
            if event.type() == QEvent.Type.Drop:
                return self._dropped(event, part, ground)
            self._window.diagram.state.hovered = ground
            self._window.diagram.update()
            if event.type() == QEvent.Type.DragEnter or (
                ground is not None and isinstance(event, QDragMoveEvent)
            ):
                event.acceptProposedAction()
            else:
                event.ignore()
            return True
        return super().eventFilter(watched, event)

    def _dropped(self, event: QDropEvent, part: str, ground: str | None) -> bool:
        self._window.diagram.state.hovered = None
        self._moved = return_of(self._window.session, part)
        if ground is None or self._moved is None:
            event.ignore()
            return True
        event.acceptProposedAction()
        self.put(ground)
        return True

    def _ground_at(self, event: QDropEvent) -> str | None:
        diagram, at = self._window.diagram, event.position()
        camera = diagram.camera
        hit = diagram.scene.hit(camera.at(at.x(), at.y()), REACH_PX / camera.px_per_mm)
        return hit.member if hit is not None and hit.member in self._window.session.harness.grounds else None
