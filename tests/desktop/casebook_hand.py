"""What a technician's hand does on the casebook, for its tests."""

from PySide6.QtCore import QPoint, Qt
from PySide6.QtWidgets import QApplication, QWidget

from harness_studio.desktop.casebook.page import CasebookPage
from harness_studio.desktop.window import Window
from harness_studio.diagram.tips import place_of_point
from tests.support.pointing import middle_of, pixel, press

LEFT = Qt.MouseButton.LeftButton
ANSWER_MS = 30_000


def page_of(window: Window) -> CasebookPage:
    return next(p for p in window.drawer.findChildren(QWidget) if isinstance(p, CasebookPage))


def settle() -> None:
    """Let layouts take their places."""
    QApplication.processEvents()


def push(qtbot, widget) -> None:
    """Press a button in its middle, as a mouse does: it must be there to be seen."""
    assert widget.isVisible(), f"{widget.accessibleName() or widget.text()} cannot be seen"
    settle()
    area = widget
    while area is not None and not hasattr(area, "ensureWidgetVisible"):
        area = area.parentWidget()
    if area is not None:
        area.ensureWidgetVisible(widget)
        settle()
    qtbot.mouseClick(widget, LEFT)


def tick(qtbot, box) -> None:
    """Press a box to tick on its mark."""
    qtbot.mouseClick(box, LEFT, pos=QPoint(8, box.height() // 2))


def write(qtbot, line, text: str) -> None:
    """Write into a line, over what is in it."""
    line.setFocus()
    line.selectAll()
    qtbot.keyClicks(line, text)


def touch_thing(qtbot, window: Window, thing: str) -> None:
    qtbot.mouseClick(window.diagram, LEFT, pos=middle_of(window.diagram, thing))


def touch_point(qtbot, window: Window, point: str) -> None:
    place = place_of_point(window.diagram.scene, point)
    assert place is not None
    qtbot.mouseClick(window.diagram, LEFT, pos=pixel(window.diagram, place))


def begin(qtbot, window: Window, complaint: str) -> CasebookPage:
    """Open the casebook by its key, and begin a case."""
    press(window, Qt.Key.Key_C)
    page = page_of(window)
    push(qtbot, page.cases.new)
    qtbot.keyClicks(page.case.seen.complaint, complaint)
    press(window, Qt.Key.Key_Tab)
    return page


def keep_sighting(qtbot, window: Window, page: CasebookPage, thing: str, seen: str) -> None:
    """Keep a sighting by mouse: the thing on the diagram, the word, Keep."""
    form = page.case.seen.sighting
    if form.isHidden():
        push(qtbot, page.case.seen._add_sighting)
    touch_thing(qtbot, window, thing)
    push(qtbot, form.seen.buttons[seen])
    push(qtbot, form.keep_button)


def answered(qtbot, window: Window) -> None:
    """Wait until the suspects of the open case are there."""
    work = window.session.casework
    qtbot.waitUntil(
        lambda: not work.busy and work.answer is not None and not work.stale, timeout=ANSWER_MS
    )  # fmt: skip
