"""The build board to look at: dragged, zoomed, and what is pressed on it chosen."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import TYPE_CHECKING

from PySide6.QtCore import QPointF, QRectF, QSize, Qt, Signal
from PySide6.QtGui import (
    QKeyEvent,
    QMouseEvent,
    QPainter,
    QPaintEvent,
    QResizeEvent,
    QTransform,
    QWheelEvent,
)
from PySide6.QtWidgets import QWidget

from harness_studio.base.geometry import Box, Point
from harness_studio.drawing.strokes import Stroke, Strokes, Text, line, paint, slab
from harness_studio.drawing.texts import draw
from harness_studio.drawing.theme import Theme
from harness_studio.placing.build_board.flags import Key, Put

from .laying import Bundle, Flagged, at_scale

if TYPE_CHECKING:
    from harness_studio.placing.build_board.stretch import Stretch

PX_PER_MM = 5.2
"""The drawing is seen so large that its smallest type, 6 pt on paper, has 11 pixels."""
NEAREST, FAR, FARTHEST = 0.8, 70.0, 400.0
STEP, PAN_PX, REACH_PX, DRAG_PX = 1.25, 60.0, 7.0, 4.0


class BuildBoardView(QWidget):
    """The drawing. `picked` carries kind and id of what was pressed, `hovered` what the pointer is over (or None).

    `rescaled` tells that the scale is another one, so that flags want new places.
    """

    picked = Signal(str, str)
    hovered = Signal(object)
    rescaled = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setMouseTracking(True)
        self.setMinimumHeight(180)
        self.setAccessibleName("Build board")
        self.setAccessibleDescription(
            "Arrows move, plus and minus zoom, 0 shows all, Page Down goes to the next thing"
        )
        self.theme = Theme("light")
        self.bundle: Bundle | None = None
        self.flags = Flagged(1.0)
        self.scale, self._middle = 20.0, Point(0.0, 0.0)
        self.marked: frozenset[Key] = frozenset()
        self.current: Key | None = None
        self._pressed: QPointF | None = None
        self._from, self._dragged = Point(0.0, 0.0), False
        self.fitted = True

    def sizeHint(self) -> QSize:
        """Return a size that fits the drawer."""
        return QSize(420, 420)

    # What is shown ---------------------------------------------------------------------------------------------------

    def show_bundle(self, bundle: Bundle | None) -> None:
        """Show another bundle; the place that is looked at stays unless all is shown."""
        self.bundle, self.flags = bundle, Flagged(self.scale)
        self.current = self.current if bundle and self.current in bundle.tags else None
        if self.fitted:
            self.fit()
        else:
            self.rescaled.emit()
        self.update()

    def show_flags(self, flags: Flagged) -> None:
        """Show flags on their places."""
        self.flags = flags
        self.update()

    def mark(self, marked: frozenset[Key]) -> None:
        """Draw things in the accent colour: what is selected."""
        if marked != self.marked:
            self.marked = marked
            self.update()

    # Where it is looked at -------------------------------------------------------------------------------------------

    def on_screen(self, p: Point) -> QPointF:
        """Return the pixel of a place of the bundle."""
        by = PX_PER_MM / self.scale
        return QPointF(
            (p.x_mm - self._middle.x_mm) * by + self.width() / 2,
            (p.y_mm - self._middle.y_mm) * by + self.height() / 2,
        )

    def place_at(self, pixel: QPointF) -> Point:
        """Return the place of the bundle at a pixel."""
        by = self.scale / PX_PER_MM
        return self._middle.moved((pixel.x() - self.width() / 2) * by, (pixel.y() - self.height() / 2) * by)

    def fit(self) -> None:
        """Show all of it."""
        self.fitted = True
        if self.bundle is None:
            return
        whole = self.bundle.plan.extent
        across, down = max(60.0, self.width() - 90.0), max(60.0, self.height() - 90.0)
        self._middle = whole.centre
        self._rescale(max(whole.width_mm / across, whole.height_mm / down) * PX_PER_MM)

    def seen(self) -> Box | None:
        """Return what is seen in mm of the drawing where all of it is; flags then stay within."""
        if not self.fitted:
            return None
        corner = at_scale(self.place_at(QPointF(0, 0)), self.scale)
        return Box(corner.x_mm, corner.y_mm, self.width() / PX_PER_MM, self.height() / PX_PER_MM).grown(-1.0)

    def zoom(self, factor: float, about: QPointF | None = None) -> None:
        """Look nearer (more than 1) or from farther, about a pixel or the middle."""
        about = about or QPointF(self.width() / 2, self.height() / 2)
        before = self.place_at(about)
        self.fitted = False
        self._rescale(self.scale / factor)
        after = self.place_at(about)
        self._middle = self._middle.moved(before.x_mm - after.x_mm, before.y_mm - after.y_mm)

    def _rescale(self, scale: float) -> None:
        scale = min(FARTHEST, max(NEAREST, scale))
        if scale != self.scale:
            self.scale = scale
            self.rescaled.emit()
        self.update()

    def pan(self, dx: float, dy: float) -> None:
        """Move what is seen by pixels."""
        by = self.scale / PX_PER_MM
        self._middle = self._middle.moved(-dx * by, -dy * by)
        self.fitted = False
        self.update()

    def bring(self, key: Key) -> None:
        """Bring a thing into view."""
        if self.bundle is None:
            return
        at = self.bundle.tags[key].at[0]
        if not QRectF(self.rect()).adjusted(40, 40, -40, -40).contains(self.on_screen(at)):
            self._middle, self.fitted = at, False
        self.update()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Keep all in view where all was."""
        super().resizeEvent(event)
        if self.fitted:
            self.fit()
            self.rescaled.emit()

    # What is done ----------------------------------------------------------------------------------------------------

    def key_at(self, pixel: QPointF) -> Key | None:
        """Return what lies at a pixel: flags first, then marks, then the nearest run or tail."""
        if self.bundle is None:
            return None
        for key, box in self._boxes():
            if box.contains(pixel):
                return key
        best: tuple[float, Key] | None = None
        for key, tag in self.bundle.tags.items():
            if tag.kind != "run":
                far = math.dist(self.on_screen(tag.at[0]).toTuple(), pixel.toTuple())
                if far <= REACH_PX and (best is None or far < best[0]):
                    best = far, key
        if best is not None:
            return best[1]
        for stretch in self.bundle.plan.stretches:
            far = _from_line(pixel, self.on_screen(stretch.start), self.on_screen(stretch.end))
            if far <= REACH_PX and (best is None or far < best[0]):
                best = far, self._key_of(stretch)
        return best[1] if best else None

    def _key_of(self, stretch: Stretch) -> Key:
        assert self.bundle is not None
        if stretch.kind == "run":
            return "run", stretch.id
        return next(k for k in (("connector", stretch.id), ("thing", stretch.id)) if k in self.bundle.tags)

    def _boxes(self) -> Iterator[tuple[Key, QRectF]]:
        dx, dy = self._origin()
        for key, put in self.flags.puts.items():
            yield key, _px(self._now(key, put)[0], dx, dy)

    def _origin(self) -> tuple[float, float]:
        """Return the pixel of the drawing's origin."""
        zero = self.on_screen(Point(0.0, 0.0))
        return zero.x(), zero.y()

    def _now(self, key: Key, put: Put) -> tuple[Box, tuple[Point, Point] | None]:
        """Return a flag's box and leader in mm of the drawing; until it has its new place it goes with its thing."""
        if self.flags.scale == self.scale or self.bundle is None:
            return put.box, put.leader
        at = self.bundle.tags[key].at[0]
        was, now = at_scale(at, self.flags.scale), at_scale(at, self.scale)
        dx, dy = now.x_mm - was.x_mm, now.y_mm - was.y_mm
        leader = (put.leader[0].moved(dx, dy), put.leader[1].moved(dx, dy)) if put.leader else None
        return put.box.moved(dx, dy), leader

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Begin a drag or a choice."""
        if event.button() == Qt.MouseButton.LeftButton:
            self._pressed, self._from, self._dragged = event.position(), self._middle, False

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """Drag, or tell what the pointer is over."""
        if self._pressed is None:
            found = self.key_at(event.position())
            self.setCursor(Qt.CursorShape.PointingHandCursor if found else Qt.CursorShape.OpenHandCursor)
            self.hovered.emit(found)
            return
        way = event.position() - self._pressed
        if self._dragged or math.hypot(way.x(), way.y()) > DRAG_PX:
            self._dragged = True
            self._middle = self._from
            self.pan(way.x(), way.y())

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        """Choose what was pressed, unless it was a drag."""
        if event.button() != Qt.MouseButton.LeftButton:
            return
        pressed, self._pressed = self._pressed, None
        found = self.key_at(event.position())
        if pressed is not None and not self._dragged and found is not None:
            self.current = found
            self.picked.emit(*found)
            self.update()

    def wheelEvent(self, event: QWheelEvent) -> None:
        """Zoom about the pointer."""
        self.zoom(STEP ** (event.angleDelta().y() / 120), event.position())
        event.accept()

    def leaveEvent(self, event: object) -> None:
        """Tell that the pointer is over nothing."""
        self.hovered.emit(None)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Move, zoom, and go from thing to thing."""
        moves = {
            Qt.Key.Key_Left: (PAN_PX, 0), Qt.Key.Key_Right: (-PAN_PX, 0),
            Qt.Key.Key_Up: (0, PAN_PX), Qt.Key.Key_Down: (0, -PAN_PX),
        }  # fmt: skip
        key = event.key()
        if event.modifiers() & ~(Qt.KeyboardModifier.ShiftModifier | Qt.KeyboardModifier.KeypadModifier):
            super().keyPressEvent(event)
        elif key in moves:
            self.pan(*moves[Qt.Key(key)])
        elif key in (Qt.Key.Key_Plus, Qt.Key.Key_Equal):
            self.zoom(STEP)
        elif key == Qt.Key.Key_Minus:
            self.zoom(1 / STEP)
        elif key in (Qt.Key.Key_0, Qt.Key.Key_Home):
            self.fit()
        elif key in (Qt.Key.Key_PageDown, Qt.Key.Key_PageUp):
            self._go(1 if key == Qt.Key.Key_PageDown else -1)
        else:
            super().keyPressEvent(event)

    def _go(self, step: int) -> None:
        """Choose the next thing, from left to right."""
        if self.bundle is None:
            return
        order = sorted(self.bundle.tags, key=lambda k: (self.bundle.tags[k].at[0].x_mm, k))  # type: ignore[union-attr]
        at = order.index(self.current) + step if self.current in order else (0 if step > 0 else -1)
        self.current = order[at % len(order)]
        self.bring(self.current)
        self.hovered.emit(self.current)
        self.picked.emit(*self.current)

    # How it is drawn -------------------------------------------------------------------------------------------------

    def paintEvent(self, _: QPaintEvent) -> None:
        """Draw the bundle, then the flags."""
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.fillRect(self.rect(), self.theme.colour("paper"))
        if self.bundle is not None:
            dx, dy = self._origin()
            painter.setTransform(QTransform.fromTranslate(dx, dy).scale(PX_PER_MM, PX_PER_MM), True)
            strokes, texts = self._drawn()
            paint(painter, Strokes(tuple(strokes)), self.theme)
            painter.resetTransform()
            for text in texts:
                x, y = text.x_mm * PX_PER_MM + dx, text.y_mm * PX_PER_MM + dy
                draw(painter, text, x, y, text.size_mm * PX_PER_MM, self.theme)
        if self.hasFocus():
            painter.setPen(self.theme.pen("accent", 2.0))
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.drawRect(self.rect().adjusted(1, 1, -1, -1))

    def _drawn(self) -> tuple[list[Stroke], list[Text]]:
        from harness_studio.sheets import build_board_art as art

        assert self.bundle is not None
        made = self.bundle.plan
        strokes: list[Stroke] = []
        texts: list[Text] = []
        now = {key: self._now(key, put) for key, put in self.flags.puts.items() if key in self.bundle.tags}
        for _, leader in now.values():
            if leader:
                strokes.append(Stroke(line(*((p.x_mm, p.y_mm) for p in leader)), "muted", 0.12))
        for stretch in sorted(made.stretches, key=lambda s: s.kind != "tail"):
            ends = at_scale(stretch.start, self.scale), at_scale(stretch.end, self.scale)
            if self._key_of(stretch) in self.marked:
                strokes.append(Stroke(line(*((p.x_mm, p.y_mm) for p in ends)), "accent", art.RUN_MM + 0.9))
            strokes.append(art.piece(stretch, ends))
        small = 1.0 if self.scale < FAR else 0.55  # from afar marks would hide the runs between them
        strokes += [
            art.breakout(at_scale(p, self.scale), small * art.BREAKOUT_MM) for p in made.nodes.values()
        ]
        strokes += [art.splice(at_scale(p, self.scale), small * art.SPLICE_MM) for p in made.splices.values()]
        for key, (box, _) in now.items():
            tag = self.bundle.tags[key]
            if key in self.marked or key == self.current:
                strokes.append(Stroke(slab(box.grown(0.35), 0.8), "accent", 0.5, "card"))
            for part in art.flag_art(tag, Put(box, self.flags.puts[key].size, None)):
                (texts if isinstance(part, Text) else strokes).append(part)  # type: ignore[arg-type]
        return strokes, texts


def _px(box: Box, dx: float, dy: float) -> QRectF:
    by = PX_PER_MM
    return QRectF(box.left_mm * by + dx, box.top_mm * by + dy, box.width_mm * by, box.height_mm * by)


def _from_line(p: QPointF, a: QPointF, b: QPointF) -> float:
    """Return how far a pixel is from a line between two."""
    way, to = b - a, p - a
    square = way.x() ** 2 + way.y() ** 2
    share = min(1.0, max(0.0, (to.x() * way.x() + to.y() * way.y()) / square)) if square else 0.0
    return math.hypot(to.x() - share * way.x(), to.y() - share * way.y())
