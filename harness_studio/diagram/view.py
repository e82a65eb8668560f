"""The diagram as a widget: shows a page of a session's harness, and hands the pointer and keys to gestures."""

from __future__ import annotations

from collections.abc import Callable, Collection

from PySide6.QtCore import QEvent, QPoint, QPointF, Qt, Signal
from PySide6.QtGui import (
    QFocusEvent,
    QKeyEvent,
    QMouseEvent,
    QPainter,
    QPaintEvent,
    QResizeEvent,
    QWheelEvent,
)  # fmt: skip
from PySide6.QtWidgets import QSizePolicy, QWidget

from harness_studio.base.changes import Changes
from harness_studio.drawing.theme import Theme, light
from harness_studio.session.scheduler import Scheduler
from harness_studio.session.session import Session

from . import keys, pointer, wheel
from .camera import Camera, fitted
from .dial import Dial
from .dial_place import place_dial
from .ease import FIRST_STEP, Ease
from .focus import focus_on
from .gestures.gesture import Gesture
from .gestures.lay import Loose
from .gestures.pan import Pan
from .layout import Layout, forgotten
from .overlays import Kind, overlay_of
from .pens import Pens
from .picture import View, draw
from .ranks import Ranks
from .readings import Later, glyphs, readings
from .ready import Scenes
from .scene import NO_PAGE, Hit, Scene
from .staging import Staging
from .tips import Tips
from .under import Under
from .wire_points import WirePoint


class Diagram(QWidget):
    """Shows one page and lets the hand work on it.

    It reads the session and gives it edits; it never changes the harness. `close_session` ends that, and must be called
    before the session is let go. With a scheduler large pages are laid out on another thread.
    """

    complained = Signal(str)
    followed = Signal(str, str)
    asked = Signal(object)
    laying = Signal()
    laid_out = Signal()
    zoomed = Signal()

    def __init__(
        self, session: Session, parent: QWidget | None = None, scheduler: Scheduler | None = None
    ) -> None:
        super().__init__(parent)
        self.session = session
        self._scenes = Scenes()
        self.staging = Staging(self._show_layout, scheduler, self.laying.emit, self._scenes.get_ready)
        self.theme: Theme = light()
        self.camera = Camera()
        self.state = View()
        self.probe: Callable[[Hit], bool] | None = None
        self.pens = Pens()
        self.repeat: Callable[[int], object] | None = None
        self.handle: WirePoint | None = None
        self.overlay: Kind | None = None
        self.page_id: str | None = None
        self.scene = Scene(session.harness, NO_PAGE)
        self._gesture: Gesture | None = None
        self._space = False
        self._fitted, self._top = True, 0
        self._shows_focus = False
        self._ease = Ease(self, self._eased)
        self.under = Under()
        self.dial = Dial(session, self, self.setFocus)
        self._ends: list[Callable[[], None]] = []
        self.setMouseTracking(True)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)
        self.setMinimumSize(240, 180)
        self.setAccessibleName("Diagram")
        self.open_session(session)

    # The session -----------------------------------------------------------------------------------------------------

    def open_session(self, session: Session) -> None:
        """Show another session's harness from its first page."""
        self.close_session()
        self.session = session
        self.scene = Scene(session.harness, NO_PAGE)
        self._ends = [
            session.subscribe("changes", self._on_changes),
            session.subscribe("results", self._on_results, first=True),
            session.subscribe("selection", self._on_selection),
            session.subscribe("chosen", self._on_chosen, first=True),
        ]
        self.show_page(next(iter(session.harness.pages), None))

    def close_session(self) -> None:
        """Hear no more of the session."""
        for end in self._ends:
            end()
        self._ends = []
        self.staging.drop()
        self.begin(None)

    def show_page(self, page_id: str | None) -> None:
        """Show a page from its whole extent."""
        self.page_id = page_id
        self.state = View(
            tips=self.state.tips, ranks=self.state.ranks, marks=self.state.marks, notes=self.state.notes
        )
        self._rebuild()
        self.fit()
        self._on_chosen(self.session.chosen)
        self._on_selection(self.session.selection)

    def relay(self, wires: Collection[str] | None = None) -> None:
        """Lay some wires of the page anew, or all of them."""
        if wires is not None:
            self.scene.layout = forgotten(self.scene.layout, wires)
        self._rebuild(whole=wires is None)

    def _rebuild(self, *, whole: bool = False) -> None:
        pages = self.session.harness.pages
        page = pages.get(self.page_id) if self.page_id is not None else None
        if page is None:
            page = next(iter(pages.values()), NO_PAGE)
            self.page_id = page.id or None
        self.staging.lay(self.session.harness, page, self.scene.layout, whole=whole)

    def _show_layout(self, layout: Layout) -> None:
        self.scene = self._scenes.of(self.session.harness, layout)
        if self._fitted:
            self.fit()
        self._refresh_results()
        self.update()
        self.laid_out.emit()

    @property
    def busy(self) -> str | None:
        """What is being done beside the window, in words."""
        return self.staging.words

    def _on_changes(self, changes: Changes) -> None:
        self.begin(None)
        was_empty = self.scene.empty
        self._rebuild()
        if was_empty and not self.scene.empty and self._fitted:
            self.fit()

    def _on_results(self, _: object) -> None:
        self._refresh_results()
        self._show_dial()
        self.repaint()  # at once: the pages that tell of it can follow

    def _refresh_results(self) -> None:
        solution = self.session.solution
        now, clean = self.session.computed.readings, self.session.computed.clean_readings
        scene = self.scene
        self.state.readings = Later(lambda: readings(scene, solution, now, clean)) if solution else {}
        self.state.glyphs = Later(lambda: glyphs(scene, now, clean)) if solution else {}
        kind = self.overlay if solution else None
        self.state.overlay = overlay_of(kind, self.scene, solution) if kind and solution else None
        found = self.session.ground_map()
        if found is not None:
            self.state.focus = focus_on(self.scene, found)
        elif self.session.chosen is None:
            self.state.focus = None

    def _on_selection(self, ids: frozenset[str]) -> None:
        self.state.selected = ids
        titles = [self.session.harness.title_of(i) for i in sorted(ids)]
        self.setAccessibleDescription("selected: " + ", ".join(titles[:12]) if titles else "nothing selected")
        self.update()

    def _on_chosen(self, joint: str | None) -> None:
        found = self.session.ground_map()
        focus = focus_on(self.scene, found) if found is not None else None
        if focus is not None:
            had = self.state.focus is not None
            self.state.focus = focus
            self._ease.run(self.state.progress if had else FIRST_STEP, 1.0)
        elif self.state.focus is not None:
            self._ease.run(self.state.progress, 0.0)
        self._show_dial()
        self.repaint()  # at once: the pages that tell of it can follow

    def _show_dial(self) -> None:
        self.dial.show_session(self.session)
        self._place_dial()

    def _place_dial(self) -> None:
        place_dial(self.dial, self.scene, self.camera, self.state.focus if self.session.chosen else None)

    def _eased(self, value: float) -> None:
        self.state.progress = value
        if self.state.progress <= 0.0 and self.session.chosen is None:
            self.state.focus = None
            self.state.progress = 1.0
        self.update()

    # What is seen ----------------------------------------------------------------------------------------------------

    def set_theme(self, theme: Theme) -> None:
        """Draw in another theme."""
        self.theme = self.dial.theme = theme
        self.update()
        self.dial.update()

    def show_overlay(self, kind: Kind | None) -> None:
        """Let the whole page be read for something, or for nothing."""
        self.overlay = kind
        self._refresh_results()
        self.update()

    def show_tips(self, tips: Tips, ranks: Ranks = ()) -> None:
        """Draw the meter's tips, and the suspects by rank."""
        self.state.tips, self.state.ranks = tips, ranks
        self.update()

    def look(self, camera: Camera) -> None:
        """Show another part of the page."""
        self._fitted = False
        if camera != self.camera:
            self.camera = camera
            self.zoomed.emit()
            self._place_dial()
            self.update()

    def redraw(self) -> None:
        """Draw again soon."""
        self.update()

    def fit(self) -> None:
        """Show the whole page, and go on doing so while the view changes its size."""
        self.look(fitted(self.under.extent(self.scene, self.session.path), self.width(), self.height()))
        self._fitted = True

    def zoom_by(self, factor: float, at: QPointF | None = None) -> None:
        """Zoom; the place under `at` (the middle by default) stays where it is."""
        spot = at if at is not None else QPointF(self.width() / 2, self.height() / 2)
        self.look(self.camera.zoomed(factor, spot.x(), spot.y()))

    def show_thing(self, thing: str) -> bool:
        """Bring a thing into view, near enough to read it; return whether it stands on this page."""
        box = self.scene.place_of(thing)
        if box is None:
            return False
        camera = self.camera.showing(box, self.width(), self.height())
        if camera != self.camera:
            self.look(camera)
        return True

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Keep what is in the middle in the middle, or where it is if a bar comes above; a whole page stays whole."""
        before, top = event.oldSize(), self._top
        self._top = self.mapTo(self.window(), QPoint(0, 0)).y()
        if self._fitted:
            self.fit()
        elif before.isValid():
            dx, dy = (self.width() - before.width()) / 2, (self.height() - before.height()) / 2
            self.look(self.camera.panned(dx, dy if top == self._top else top - self._top))

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw a frame."""
        painter = QPainter(self)
        try:
            painter.fillRect(event.rect(), self.theme.colour("paper"))
            ratio = self.devicePixelRatioF()
            painter.scale(1 / ratio, 1 / ratio)
            at = self.camera.pixels(self.width(), self.height(), ratio)
            self.under.paint(painter, at, self.scene.page.photo, self.session.path)
            draw(painter, self.scene, at, self.theme, self.state)
            if self._gesture is not None:
                self._gesture.paint(painter, at, self.theme)
            else:
                pointer.paint_handles(self, painter, at)
            if self.hasFocus() and self._shows_focus:
                pointer.paint_frame(painter, at, self.theme)
        finally:
            painter.end()

    # The hand --------------------------------------------------------------------------------------------------------

    @property
    def gesture(self) -> Gesture | None:
        """What the hand is doing."""
        return self._gesture

    def begin(self, gesture: Gesture | None) -> None:
        """Hand the pointer to a gesture, or to none (then what was being done is cancelled)."""
        before, self._gesture = self._gesture, gesture
        if gesture is None and before is not None:
            before.cancel()
        if gesture is None:
            self.staging.let_go()
        else:
            self.staging.hold()
        self.setCursor(
            Qt.CursorShape.ClosedHandCursor if isinstance(gesture, Pan) else Qt.CursorShape.ArrowCursor
        )

    def complain(self, what: str) -> None:
        """Tell the user in one line that something was not done."""
        self.complained.emit(what)

    def follow(self, page: str, thing: str) -> None:
        """Ask for a thing on another page."""
        self.followed.emit(page, thing)

    def ask(self, what: Loose) -> None:
        """Ask the user what goes where a wire was let go."""
        self.asked.emit(what)

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Begin a gesture."""
        self.setFocus(Qt.FocusReason.MouseFocusReason)
        self._shows_focus = False
        if self._gesture is None:
            gesture = pointer.gesture_for(self, event, space=self._space)
            if gesture is not None:
                self.begin(gesture)
        elif event.button() == Qt.MouseButton.RightButton:
            self.begin(None)

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """Go on with the gesture, or show what lies under the pointer."""
        if self._gesture is not None:
            self._gesture.move(event.position())
        else:
            pointer.hover(self, event.position())

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        """End the gesture."""
        gesture, self._gesture = self._gesture, None
        if gesture is not None:
            gesture.release(event.position())
            self.staging.let_go()
            self.setCursor(Qt.CursorShape.OpenHandCursor if self._space else Qt.CursorShape.ArrowCursor)

    def mouseDoubleClickEvent(self, event: QMouseEvent) -> None:
        """Choose a wire: who else uses it."""
        hit = pointer.hit_at(self, event.position())
        if hit is not None and hit.kind == "wire" and event.button() == Qt.MouseButton.LeftButton:
            self.session.choose(hit.id)

    def leaveEvent(self, event: QEvent) -> None:
        """Show nothing as under the pointer."""
        self.state.hovered = self.handle = None
        self.update()

    def wheelEvent(self, event: QWheelEvent) -> None:
        """Pan; zoom at the pointer with Ctrl."""
        wheel.turned(self, event)
        event.accept()

    def event(self, event: QEvent) -> bool:
        """Zoom by a pinch."""
        return wheel.pinched(self, event) or super().event(event)

    def focusInEvent(self, event: QFocusEvent) -> None:
        """Show that keys go here, when the keyboard brought them."""
        self._shows_focus = event.reason() in (
            Qt.FocusReason.TabFocusReason,
            Qt.FocusReason.BacktabFocusReason,
        )
        self.update()

    def focusOutEvent(self, event: QFocusEvent) -> None:
        """Show that keys go elsewhere."""
        self._space = False
        self.update()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Cancel, choose, pan, nudge, or go to the next symbol."""
        if event.key() == Qt.Key.Key_Space:
            if not event.isAutoRepeat():
                self._space = True
                self.setCursor(Qt.CursorShape.OpenHandCursor)
        elif not keys.press(self, Qt.Key(event.key()), event.modifiers()):
            super().keyPressEvent(event)

    def keyReleaseEvent(self, event: QKeyEvent) -> None:
        """Let go of the page."""
        if event.key() == Qt.Key.Key_Space and not event.isAutoRepeat():
            self._space = False
            self.setCursor(Qt.CursorShape.ArrowCursor)
        else:
            super().keyReleaseEvent(event)
