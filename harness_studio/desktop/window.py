"""The main window: puts diagram, strip, drawer and foot together, and follows one session."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from PySide6.QtCore import Qt
from PySide6.QtGui import QCloseEvent, QGuiApplication
from PySide6.QtWidgets import QMainWindow, QSplitter, QStackedWidget

from harness_studio.base.errors import EditError
from harness_studio.diagram.camera import STEP
from harness_studio.diagram.keys import to_dial
from harness_studio.diagram.overlays import Kind
from harness_studio.diagram.scene import Hit
from harness_studio.diagram.search import Index
from harness_studio.diagram.view import Diagram
from harness_studio.drawing.theme import Theme, dark, light
from harness_studio.network.network import Overrides
from harness_studio.session.session import Session

from . import look
from .ask import Ask, Dialogs
from .bar import Bar
from .column import column
from .commands import Commands
from .drawer import DETAILS, GROUND_MAP, METER, Drawer
from .files import Files, arrange_edit
from .finder import Finder, Row
from .foot import Foot
from .menu import commands_of
from .remembered import keep_layout, restore_layout, settings
from .rooms import Room, open_rooms
from .scheduler import QtScheduler
from .showing import Showing
from .start_page import StartPage
from .strip import Strip


class Window(QMainWindow):
    """Assembles; each thing it shows follows the session by itself or is told here."""

    def __init__(self, ask: Ask | None = None) -> None:
        super().__init__()
        self.setObjectName("window")
        self.setWindowTitle("Harness Studio")
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose, False)
        self.scheduler = QtScheduler(self)
        self.session = Session.new(self.scheduler)
        self.files = Files(ask or Dialogs(self), self.scheduler, self.show_session, self.tell, self.show_busy)
        self._ends: list[Callable[[], None]] = []
        self._index: Index | None = None
        self._busy: str | None = None
        self._answer: object = None
        self.appearance = str(settings().value("appearance", "system"))
        look.apply(self.theme)
        self._build()
        self._rooms: list[Room] = open_rooms(self)
        for room in self._rooms:
            for page_id, page in room.pages.items():
                self.drawer.add(page_id, page)
        commands = commands_of(self) + [command for room in self._rooms for command in room.commands]
        self.commands = Commands(self, commands, lambda: self.stack.currentWidget() is self.diagram)
        self.commands.fill(self.menuBar())
        QGuiApplication.styleHints().colorSchemeChanged.connect(self.refresh_theme)
        self.refresh_theme()
        restore_layout(self)
        self.show_session(self.session)

    # Putting together ------------------------------------------------------------------------------------------------

    def _build(self) -> None:
        self.strip, self.bar, self.foot, self.drawer = (
            Strip(self),
            Bar(self),
            Foot(self),
            Drawer(self, self.scheduler),
        )
        self.diagram = Diagram(self.session, self, self.scheduler)
        self.showing = Showing(self.diagram, self.tell)
        self.start_page = StartPage(self)
        self.stack = QStackedWidget(self)
        self.stack.addWidget(self.start_page)
        self.stack.addWidget(self.diagram)
        self.offer = Bar(self)
        left = column(self.strip, self.offer, self.bar, self.stack)
        self.split = QSplitter(Qt.Orientation.Horizontal, self)
        self.split.setHandleWidth(1)
        self.split.setChildrenCollapsible(False)
        self.split.addWidget(left)
        self.split.addWidget(self.drawer)
        self.split.setStretchFactor(0, 1)
        self.split.setStretchFactor(1, 0)
        self.split.setSizes([1080, 360])
        self.setCentralWidget(column(self.split, self.foot))
        self.search = Finder(
            self.stack, "Find on the harness", "id, title, colour, mark, zone …", self._found
        )
        self.command_list = Finder(self.stack, "Commands", "what to do …", self._commands_found)
        self.search.picked.connect(self.show_thing)
        self.command_list.picked.connect(self._run)
        for finder in (self.search, self.command_list):
            finder.closed.connect(self.diagram.setFocus)
        self.strip.wanted.connect(self._set_mode)
        self.strip.overridden.connect(self._set_overrides)
        self.diagram.complained.connect(self.tell)
        for told in (self.diagram.laying, self.diagram.laid_out):
            told.connect(self.refresh_foot)
        self.start_page.wanted.connect(self._run)
        self.drawer.details.picked.connect(self.show_thing)
        self.drawer.ground_map.picked.connect(self._select)
        self.drawer.meter.moved.connect(self.show_marks)
        self.drawer.tabs.currentChanged.connect(self.show_marks)

    # The session -----------------------------------------------------------------------------------------------------

    def show_session(self, session: Session) -> None:
        """Show another session."""
        self.bar.hide()
        for end in self._ends:
            end()
        self.session.casework.open(None)
        self.session = session
        for room in self._rooms:
            if room.follow is not None:
                room.follow(session)
        self._ends = [
            session.subscribe("changes", self._on_changes),
            session.subscribe("results", self._on_results),
            session.subscribe("selection", self._on_selection),
            session.subscribe("chosen", self._on_chosen),
            session.subscribe("mode", self._on_mode),
            session.subscribe("forecast", self._on_forecast),
            session.subscribe("casework", self._on_casework),
            session.subscribe("saved", self.refresh_foot),
        ]
        self._index = None
        self.diagram.open_session(session)
        self.strip.show_modes(session.harness, session.mode, session.overrides)
        nothing = self._nothing_open()
        self.stack.setCurrentWidget(self.start_page if nothing else self.diagram)
        self.strip.setVisible(not nothing)
        self.drawer.setVisible(not nothing and not self.drawer.put_away)
        self.drawer.show_apart(not nothing)
        self.foot.setVisible(not nothing)
        self.refresh()
        first = self.start_page.buttons["new"] if nothing else self.diagram
        first.setFocus(Qt.FocusReason.OtherFocusReason)

    def _nothing_open(self) -> bool:
        harness = self.session.harness
        return self.session.path is None and not harness.pages and not harness.taken_ids()

    def _on_changes(self, _: object) -> None:
        self._index = None
        self.strip.show_modes(self.session.harness, self.session.mode, self.session.overrides)
        self.refresh()

    def show_marks(self, _: object = None) -> None:
        """Draw the tips and suspects of the open page, and let it take clicks on the diagram if it wants them."""
        pages = self.drawer.seen
        self.diagram.probe = self._touch if any(hasattr(page, "touch") for page in pages) else None
        found = [[shown for p in pages if (shown := getattr(p, what, ()))] for what in ("tips", "ranks")]
        self.diagram.show_tips(*(shown[0] if shown else () for shown in found))

    def _touch(self, hit: Hit) -> bool:
        """Offer a click on the diagram to the pages that are seen, those in windows of their own first."""
        return any(page.touch(hit) for page in self.drawer.seen if hasattr(page, "touch"))

    def _on_casework(self, answer: object) -> None:
        if answer is not self._answer:  # else it is only further on, which the casebook's page shows itself
            self._answer = answer
            self.drawer.meter.show_session(self.session)
            self.drawer.show_session(self.session)
            self.show_marks()

    def show_overlay(self, kind: Kind | None) -> None:
        """Let the diagram be read for currents, rise and drop, or temperatures; None for nothing."""
        self.diagram.show_overlay(kind)
        self.commands.refresh()

    def measure(self) -> None:
        """Open the meter's page and give its + tip the keys."""
        self.drawer.call_up(METER)
        self.drawer.meter.fields["+"].setFocus(Qt.FocusReason.ShortcutFocusReason)

    def _on_results(self, _: object) -> None:
        self.drawer.meter.show_session(self.session)
        self.drawer.ground_map.show_session(self.session)
        self.drawer.details.show_session(self.session)
        self.drawer.show_session(self.session)
        self.refresh_foot()

    def _on_selection(self, _: object) -> None:
        self.drawer.details.show_session(self.session)
        self.drawer.ground_map.show_forecast(self.session)
        self.drawer.show_session(self.session)
        if self.session.selection and self.session.chosen is None and not self.drawer.keeps_open:
            self.drawer.open(DETAILS)
        self.commands.refresh()

    def _on_chosen(self, joint: str | None) -> None:
        self.drawer.details.show_session(self.session)
        self.drawer.ground_map.show_session(self.session)
        self.drawer.show_session(self.session)
        if joint is not None:
            self.drawer.offer(GROUND_MAP)
        self.commands.refresh()

    def _on_forecast(self, _: object) -> None:
        self.drawer.ground_map.show_forecast(self.session)

    def _on_mode(self, mode: str | None) -> None:
        self.strip.show_modes(self.session.harness, mode, self.session.overrides)
        self.drawer.show_session(self.session)

    def refresh(self) -> None:
        """Let everything show the session as it is now."""
        self.drawer.details.show_session(self.session)
        self.drawer.ground_map.show_session(self.session)
        self.drawer.meter.show_session(self.session)
        self.drawer.show_session(self.session)
        self.show_marks()
        self.refresh_foot()
        self.commands.refresh()

    def refresh_foot(self, *_: object) -> None:
        """Let the foot and the title show the session as it is now."""
        busy, can_stop = self._busy or self.diagram.busy, self.diagram.staging.can_stop
        self.foot.show_session(self.session, self.diagram.page_id, busy, can_stop=can_stop)
        if self._nothing_open():
            self.setWindowModified(False)
            self.setWindowTitle("Harness Studio")
        else:
            self.setWindowTitle(f"{self.session.title}[*] · Harness Studio")
            self.setWindowModified(self.session.unsaved)

    # What commands do ------------------------------------------------------------------------------------------------

    def tell(self, what: str) -> None:
        """Say something in the quiet bar."""
        self.bar.say(what)

    def show_busy(self, what: str | None) -> None:
        """Say in the foot what is being done beside the window; None when it is done."""
        self._busy = what
        self.refresh_foot()

    def leaving(self, then: Callable[[], object]) -> None:
        """Do what replaces the session, unless the user would rather stay."""
        if self.files.may_leave(self.session):
            then()

    def save(self) -> None:
        """Save the project."""
        self.files.save(self.session)
        self.refresh_foot()

    def save_as(self) -> None:
        """Save the project to another file."""
        self.files.save_as(self.session)
        self.refresh_foot()

    def undo(self) -> None:
        """Undo the latest step."""
        self._edit(self.session.undo)

    def redo(self) -> None:
        """Do the step again that was undone last."""
        self._edit(self.session.redo)

    def arrange(self) -> None:
        """Arrange the whole page anew."""
        edit = arrange_edit(self.session.harness, self.diagram.page_id)
        if edit is not None:
            self._edit(lambda: self.session.apply(edit))
            self.diagram.fit()

    def _edit(self, do: Callable[[], object]) -> None:
        try:
            do()
        except EditError as error:
            self.tell(str(error))

    def zoom(self, steps: int) -> None:
        """Zoom about the middle."""
        self.diagram.zoom_by(STEP**steps)

    def clear(self) -> None:
        """Let go of the chosen joint and of the selection."""
        self.session.choose(None)
        self.session.select(())

    def dial(self) -> None:
        """Give the keys to the dial beside the chosen joint, or the selected one."""
        if not to_dial(self.diagram):
            self.tell("There is no dial: the chosen thing is no single joint, or it is out of view.")

    def toggle_drawer(self) -> None:
        """Show or hide the drawer."""
        self.drawer.put_away = not self.drawer.isHidden()
        self.drawer.setVisible(not self.drawer.put_away)
        self.commands.refresh()

    def pin_page(self) -> None:
        """Let the drawer's page stay whatever is clicked, or not."""
        self.drawer.pin(not self.drawer.pinned)

    def page_apart(self) -> None:
        """Put the drawer's page into a window of its own, or back."""
        self.drawer.tear_off(self.drawer.page_id)

    def show_thing(self, thing: str) -> None:
        """Select a thing and bring it into view, on another page if need be."""
        if thing not in self.session.harness.taken_ids():
            return
        self.session.select({thing})
        self.showing.show(thing)

    def _select(self, thing: str) -> None:
        self.session.select({thing})
        self.showing.show(thing)

    def _set_mode(self, mode: str) -> None:
        self.session.set_mode(mode)
        self.refresh_foot()

    def _set_overrides(self, overrides: object) -> None:
        """Take the positions pressed beside the mode; what is dialled stays."""
        new = overrides if isinstance(overrides, Overrides) else Overrides()
        dialled = self.session.overrides.joint_ohm if self.session.overrides else ()
        new = replace(new, joint_ohm=dialled)
        self.session.set_overrides(new if new != Overrides() else None, at_once=True)
        self.strip.show_modes(self.session.harness, self.session.mode, self.session.overrides)
        self.refresh_foot()

    def _run(self, command: str) -> None:
        self.commands.actions[command].trigger()

    def _found(self, text: str) -> list[Row]:
        if self._index is None:
            self._index = Index(self.session.harness)
        return [Row(found.id, found.title, found.about) for found in self._index.find(text)]

    def _commands_found(self, text: str) -> list[Row]:
        return self.commands.found(text)

    # Look ------------------------------------------------------------------------------------------------------------

    @property
    def theme(self) -> Theme:
        """The theme in force: chosen, or the system's."""
        if self.appearance in ("light", "dark"):
            return dark() if self.appearance == "dark" else light()
        return dark() if QGuiApplication.styleHints().colorScheme() == Qt.ColorScheme.Dark else light()

    def set_appearance(self, appearance: str) -> None:
        """Follow the system, or be light or dark whatever it says."""
        self.appearance = appearance
        settings().setValue("appearance", appearance)
        self.refresh_theme()

    def refresh_theme(self, *_: object) -> None:
        """Give everything the theme in force."""
        look.apply(self.theme)
        self.diagram.set_theme(self.theme)
        self.drawer.set_theme(self.theme)
        self.drawer.details.show_session(self.session)
        if hasattr(self, "commands"):
            self._on_mode(self.session.mode)  # a new style sheet gives each word the weight it was made with
            self.commands.refresh()

    # Coming and going ------------------------------------------------------------------------------------------------

    def closeEvent(self, event: QCloseEvent) -> None:
        """Ask once if there is something to lose, keep the geometry, and take everything down in order."""
        if not self.files.may_leave(self.session):
            event.ignore()
            return
        keep_layout(self)
        self.take_down(left=True)
        event.accept()

    def take_down(self, *, left: bool = False) -> None:
        """Hear no more of the session, and let nothing call back; `left`: the user knows what becomes of the work."""
        rooms, self._rooms = self._rooms, []
        for room in rooms:
            if room.close is not None:
                room.close(left)
        self.drawer.put_all_back()
        for end in self._ends:
            end()
        self._ends = []
        self.session.casework.open(None)
        self.diagram.close_session()
        self.scheduler.close()
