"""Where things are in a window: pixels of the diagram for a test's mouse."""

from itertools import pairwise

from PySide6.QtCore import QPoint, QPointF, Qt
from PySide6.QtGui import QWheelEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QWidget

from harness_studio.base.geometry import Point
from harness_studio.desktop.window import Window
from harness_studio.diagram.view import Diagram


def pixel(diagram: Diagram, place: Point) -> QPoint:
    """Return the pixel of the diagram at a place of the page."""
    return QPointF(*diagram.camera.on(place)).toPoint()


def middle_of(diagram: Diagram, thing: str) -> QPoint:
    """Return the pixel in the middle of a thing; of a ground, of its lowest ring."""
    scene = diagram.scene
    home = scene.symbol_of(thing)
    rings = (
        [box for name, box in scene.symbols[home].outlines.items() if name.startswith(f"{thing}/")]
        if home
        else []
    )
    box = rings[0] if rings else scene.place_of(thing)
    assert box is not None, f"{thing} is not on the page"
    return pixel(diagram, box.centre)


def on_wire(diagram: Diagram, wire: str) -> QPoint:
    """Return the pixel in the middle of the longest stretch of a wire."""
    points = diagram.scene.layout.routes[wire].points
    a, b = max(pairwise(points), key=lambda ab: abs(ab[0].x_mm - ab[1].x_mm) + abs(ab[0].y_mm - ab[1].y_mm))
    return pixel(diagram, Point((a.x_mm + b.x_mm) / 2, (a.y_mm + b.y_mm) / 2))


def click(
    window: Window, thing: str, modifiers: Qt.KeyboardModifier = Qt.KeyboardModifier.NoModifier
) -> None:
    """Click a thing on the diagram with the left button."""
    QTest.mouseClick(window.diagram, Qt.MouseButton.LeftButton, modifiers, middle_of(window.diagram, thing))


def drag(
    window: Window,
    start: QPoint,
    by: QPoint,
    button: Qt.MouseButton = Qt.MouseButton.LeftButton,
    *,
    release: bool = True,
) -> None:
    """Press, move in steps, and release unless told otherwise."""
    diagram = window.diagram
    none = Qt.KeyboardModifier.NoModifier
    QTest.mousePress(diagram, button, none, start)
    for step in range(1, 6):
        QTest.mouseMove(diagram, start + by * (step / 5))
    if release:
        QTest.mouseRelease(diagram, button, none, start + by)


def press(
    window: Window, key: Qt.Key, modifiers: Qt.KeyboardModifier = Qt.KeyboardModifier.NoModifier
) -> None:
    """Press a key on whatever has the keys, as a user would."""
    QTest.keyClick(window.focusWidget() or window, key, modifiers)


def wheel(
    widget: QWidget,
    at: QPointF,
    notches: int,
    modifiers: Qt.KeyboardModifier = Qt.KeyboardModifier.NoModifier,
) -> bool:
    """Turn the wheel over a widget, up by so many notches; return whether it was taken."""
    event = QWheelEvent(
        at, QPointF(widget.mapToGlobal(at)), QPoint(), QPoint(0, 120 * notches), Qt.MouseButton.NoButton, modifiers,
        Qt.ScrollPhase.NoScrollPhase, False,
    )  # fmt: skip
    QApplication.sendEvent(widget, event)
    return event.isAccepted()
