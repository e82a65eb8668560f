"""Drawing in a window with real mouse and keys: take from the stock, put down, lay wires."""

from PySide6.QtCore import QPoint, Qt
from PySide6.QtTest import QTest

from harness_studio.base.geometry import Point
from harness_studio.desktop.window import Window
from harness_studio.diagram.wire_points import handle_of, place_of

from .pointing import pixel

NONE = Qt.KeyboardModifier.NoModifier


def stock(window: Window) -> object:
    """Return the stock's page of the drawer."""
    return window.drawer._pages["stock"]


def take(window: Window, words: str) -> None:
    """Type words into the stock's line and press Enter: the first row hangs at the pointer."""
    QTest.keyClick(window, Qt.Key.Key_T, Qt.KeyboardModifier.ControlModifier)
    page = window.drawer._pages["stock"]
    page.line.clear()  # type: ignore[attr-defined]
    QTest.keyClicks(page.line, words)  # type: ignore[attr-defined]
    QTest.keyClick(page.line, Qt.Key.Key_Return)  # type: ignore[attr-defined]


def put(window: Window, x_mm: float, y_mm: float) -> None:
    """Move what hangs at the pointer to a place of the page and click."""
    at = pixel(window.diagram, Point(x_mm, y_mm))
    assert window.diagram.rect().contains(at), f"{x_mm}, {y_mm} mm is out of view"
    QTest.mouseMove(window.diagram, at)
    QTest.mouseClick(window.diagram, Qt.MouseButton.LeftButton, NONE, at)


def point(window: Window, name: str) -> QPoint:
    """Return the pixel at a terminal, cavity, splice, ground or place."""
    found = place_of(window.diagram.scene, name)
    assert found is not None, f"{name} is not on the page"
    return pixel(window.diagram, found)


def handle(window: Window, thing: str) -> QPoint:
    """Hover a splice, ground or body and return the pixel of its handle."""
    scene = window.diagram.scene
    box = scene.place_of(thing)
    assert box is not None
    QTest.mouseMove(window.diagram, pixel(window.diagram, box.centre))
    found = handle_of(scene, thing)
    assert found is not None
    assert window.diagram.handle == found
    return pixel(window.diagram, found.at)


def pull(window: Window, start: QPoint, end: QPoint, *, release: bool = True) -> None:
    """Drag from a pixel to a pixel in steps."""
    diagram = window.diagram
    QTest.mousePress(diagram, Qt.MouseButton.LeftButton, NONE, start)
    for step in range(1, 6):
        QTest.mouseMove(diagram, start + (end - start) * (step / 5))
    if release:
        QTest.mouseRelease(diagram, Qt.MouseButton.LeftButton, NONE, end)


def key(window: Window, what: Qt.Key, modifiers: Qt.KeyboardModifier = NONE) -> None:
    """Press a key on the diagram."""
    QTest.keyClick(window.diagram, what, modifiers)
