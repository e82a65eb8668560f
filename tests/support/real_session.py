"""Draws six circuits from nothing in a real window, by real mouse and key events of an X server.

    python -m tests.support.real_session FOLDER [--size 1280x800] [--appearance dark]

It needs Xvfb, xdotool, openbox and ImageMagick's import. The folder gets a picture of each stage and the file
`six.yaml` that the session saved. A thread drives the window as a hand would: it asks it only where things are.
"""

import argparse
import os
import queue
import shutil
import subprocess
import sys
import tempfile
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import ExitStack, contextmanager
from pathlib import Path
from typing import Any

NEEDED = ("Xvfb", "xdotool", "openbox", "import")
LOADS = ("lamp, 21 w", "lamp, 5 w", "lamp, 55 w", "fuel pump", "fan motor", "heated rear")
FEEDS = ("E1.1", "E2.1", "E3.1", "M1.15", "M2.15", "E4.1")
RETURNS = (
    ("E1.31", "GP2"),
    ("E2.31", "GP2"),
    ("E3.31", "GP2"),
    ("M1.31", "GP3"),
    ("M2.31", "GP3"),
    ("E4.2", "GP3"),
)
COLOURS = ("gn", "gn/wh", "ye", "bu", "bu/wh", "vt")
LONGEST_S = 30.0


class Hand:
    """Moves the pointer, presses keys, takes pictures; `ask` lets the window's thread answer a question."""

    def __init__(self, window: Any, bridge: Any, folder: Path) -> None:
        self.window, self.bridge, self.folder = window, bridge, folder
        self.pictures = 0

    def ask(self, question: Callable[[], Any]) -> Any:
        answers: queue.Queue[Any] = queue.Queue()
        self.bridge.asked.emit((question, answers))
        found = answers.get(timeout=LONGEST_S)
        if isinstance(found, Exception):
            raise found
        return found

    def until(self, true: Callable[[], bool], what: str) -> None:
        end = time.monotonic() + LONGEST_S
        while not self.ask(true):
            assert time.monotonic() < end, f"waited in vain until {what}"
            time.sleep(0.05)

    def xdo(self, *words: str) -> None:
        subprocess.run(["xdotool", *words], check=True, capture_output=True)
        time.sleep(0.06)

    def key(self, *keys: str) -> None:
        for one in keys:
            self.xdo("key", "--clearmodifiers", one)

    def type(self, text: str) -> None:
        self.xdo("type", "--delay", "15", text)

    def picture(self, name: str) -> None:
        time.sleep(0.5)
        self.pictures += 1
        path = self.folder / f"{self.pictures:02}_{name}.png"
        subprocess.run(["import", "-window", "root", str(path)], check=True, capture_output=True)

    def to(self, at: Any) -> None:
        self.xdo("mousemove", str(at.x()), str(at.y()))

    def click(self, at: Any) -> None:
        self.to(at)
        self.xdo("click", "1")

    def drag(self, start: Any, end: Any) -> None:
        self.to(start)
        self.xdo("mousedown", "1")
        for step in (0.1, 0.5, 0.9, 1.0):
            self.to(start + (end - start) * step)
        self.xdo("mouseup", "1")

    # Where things are ------------------------------------------------------------------------------------------------

    def on_page(self, x_mm: float, y_mm: float) -> Any:
        from harness_studio.base.geometry import Point
        from tests.support.pointing import pixel

        diagram = self.window.diagram
        return self.ask(lambda: diagram.mapToGlobal(pixel(diagram, Point(x_mm, y_mm))))

    def point(self, name: str) -> Any:
        from tests.support import drawing_hands

        diagram = self.window.diagram
        return self.ask(lambda: diagram.mapToGlobal(drawing_hands.point(self.window, name)))

    @property
    def wires(self) -> dict[str, Any]:
        return self.ask(lambda: dict(self.window.session.harness.wires))


def take(hand: Hand, words: str, x_mm: float, y_mm: float) -> None:
    """Take the first row that the stock finds for some words, and put it down by a click."""
    before = hand.ask(lambda: len(hand.window.session.history))
    hand.key("ctrl+t")
    hand.until(lambda: hand.window.drawer._pages["stock"].line.hasFocus(), "the stock is open")
    hand.key("ctrl+a")
    hand.type(words)
    hand.key("Return")
    hand.click(hand.on_page(x_mm, y_mm))
    hand.until(lambda: len(hand.window.session.history) == before + 1, f"{words} stands on the paper")


def pen(hand: Hand, size: str, colour: str, insulation: str) -> None:
    """Set what the next wire is laid with, by keys."""
    hand.key("shift+w")
    for text in (size, colour, insulation):
        hand.key("ctrl+a")
        hand.type(text)
        hand.key("Return" if text == insulation else "Tab")
    hand.until(hand.window.diagram.hasFocus, "the drawing has the keys again")


def lay(hand: Hand, first: str, second: str) -> None:
    """Drag a wire from point to point."""
    before = len(hand.wires)
    hand.drag(hand.point(first), hand.point(second))
    hand.until(lambda: len(hand.window.session.harness.wires) == before + 1, f"{first} is wired to {second}")


def session(hand: Hand) -> None:
    """Draw, look, name, check and save."""
    window = hand.window
    hand.picture("start")
    hand.key("ctrl+n")
    hand.until(lambda: window.diagram.isVisible(), "there is paper")
    hand.picture("empty_paper")
    for _ in range(5):
        hand.key("ctrl+minus")
    take(hand, "battery, 60", -70, 0)
    hand.picture("battery_from_the_stock")
    take(hand, "fuse box, 6", 20, 0)
    for number, words in enumerate(LOADS):
        take(hand, words, 130, -90 + 32 * number)
    take(hand, "shell", 60, 120)
    for x_mm in (40, 62, 84):
        take(hand, "ground m8", x_mm, 120)
    hand.picture("parts")
    hand.key("shift+w")
    hand.picture("next_wire")
    hand.key("Escape")
    pen(hand, "25 mm2", "red", "PVC")
    lay(hand, "GB1.30", "A1.30")
    pen(hand, "25 mm2", "black", "PVC")
    lay(hand, "GB1.31", "GP1")
    for number, terminal in enumerate(FEEDS, 1):
        pen(hand, "2,5", COLOURS[number - 1], "TXL")
        lay(hand, f"F{number}.out", terminal)
    hand.picture("feeds")
    pen(hand, "2,5", "brown", "TXL")
    for terminal, ground in RETURNS:
        lay(hand, terminal, ground)
    hand.key("f")
    hand.picture("wired")
    hand.key("ctrl+shift+a", "f")
    hand.picture("arranged")
    there_and_back(hand)
    lengths(hand)
    hand.picture("lengths_in_the_list")
    hand.until(
        lambda: window.session.solution is not None and not window.session.computed.stale, "it is solved"
    )
    hand.key("Escape")
    hand.click(hand.point("GP2"))
    hand.picture("ground_chosen")
    hand.key("Escape")
    save(hand)
    hand.picture("saved")


def there_and_back(hand: Hand) -> None:
    """Undo everything, and do it again."""
    window = hand.window
    steps = hand.ask(lambda: len(window.session.history))
    hand.xdo("key", "--clearmodifiers", "--repeat", str(steps), "--delay", "60", "ctrl+z")
    hand.until(lambda: not window.session.history, "everything is undone")
    hand.picture("undone")
    hand.xdo("key", "--clearmodifiers", "--repeat", str(steps), "--delay", "60", "ctrl+shift+z")
    hand.until(lambda: len(window.session.history) == steps, "everything is done again")


def lengths(hand: Hand) -> None:
    """Give every wire a length in the list of wires, and the lead to the fuses its own."""
    window = hand.window
    hand.key("ctrl+l")
    page = window.drawer._pages["lists"]
    hand.until(page.isVisible, "the lists are open")
    row_of = hand.ask(lambda: {wire: row for row, wire in enumerate(page.things.ids)})
    columns = range(hand.ask(page.things.columnCount))
    column = next(c for c in columns if hand.ask(lambda c=c: page.things.column(c).name) == "length")

    def cell(wire: str) -> Any:
        table = page.table
        index = page.things.index(row_of[wire], column)
        table.scrollTo(index)
        return table.viewport().mapToGlobal(table.visualRect(index).center())

    hand.click(hand.ask(lambda: cell("W2")))
    hand.key("ctrl+a")
    hand.type("50 cm")
    hand.key("ctrl+Return")
    hand.click(hand.ask(lambda: cell("W1")))
    hand.type("25 cm")
    hand.key("Return")
    hand.until(lambda: window.session.harness.wires["W1"].length_mm == 250.0, "W1 has its length")


def save(hand: Hand) -> None:
    """Save under a name typed into the system's dialog."""
    window = hand.window
    hand.key("ctrl+s")
    time.sleep(1.0)
    hand.key("ctrl+a")
    hand.type(str(hand.folder / "six.yaml"))
    hand.picture("save_dialog")
    hand.key("Return")
    hand.until(lambda: window.session.path is not None and not window.session.unsaved, "it is saved")


@contextmanager
def screen(size: str) -> Iterator[None]:
    """Let there be a screen of that size with a window manager."""
    read, write = os.pipe()
    command = ["Xvfb", "-displayfd", str(write), "-screen", "0", f"{size}x24", "-nolisten", "tcp"]
    server = subprocess.Popen(command, pass_fds=[write], stderr=subprocess.DEVNULL)
    os.close(write)
    with os.fdopen(read) as said:
        os.environ["DISPLAY"] = f":{said.readline().strip()}"
    manager = subprocess.Popen(["openbox"], stderr=subprocess.DEVNULL)
    try:
        yield
    finally:
        for process in (manager, server):
            process.terminate()
            process.wait(10)


def run(folder: Path, size: str, appearance: str) -> int:
    """Open the window, let the hand work on it, and return 0 if it came to its end."""
    from PySide6.QtCore import QObject, Qt, Signal
    from PySide6.QtWidgets import QApplication

    from harness_studio.desktop.window import Window
    from harness_studio.drawing import fonts

    class Bridge(QObject):
        asked = Signal(object)

        def answer(self, asked: Any) -> None:
            question, answers = asked
            try:
                answers.put(question())
            except Exception as error:
                answers.put(error)

    app = QApplication(sys.argv[:1])
    fonts.family()
    window, bridge = Window(), Bridge()
    bridge.asked.connect(bridge.answer, Qt.ConnectionType.QueuedConnection)
    window.set_appearance(appearance)
    window.showMaximized()
    failed: list[BaseException] = []

    def work() -> None:
        hand = Hand(window, bridge, folder)
        try:
            hand.until(window.isActiveWindow, "the window has the keys")
            session(hand)
        except BaseException as error:
            failed.append(error)
            hand.picture("failed")
        finally:
            bridge.asked.emit((app.exit, queue.Queue()))

    thread = threading.Thread(target=work, daemon=True)
    thread.start()
    app.exec()
    thread.join(LONGEST_S)
    window.take_down()
    if failed:
        raise failed[0]
    return 0


def main(arguments: list[str]) -> int:
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("folder", type=Path)
    parser.add_argument("--size", default="1280x800")
    parser.add_argument("--appearance", default="light", choices=("light", "dark"))
    asked = parser.parse_args(arguments)
    missing = [name for name in NEEDED if shutil.which(name) is None]
    if missing:
        parser.error(f"not here: {', '.join(missing)}")
    asked.folder.mkdir(parents=True, exist_ok=True)
    with ExitStack() as stack:
        home = stack.enter_context(tempfile.TemporaryDirectory(prefix="real_session"))
        for name in ("HOME", "XDG_CONFIG_HOME", "XDG_STATE_HOME", "XDG_DATA_HOME", "XDG_CACHE_HOME"):
            os.environ[name] = home
        os.environ["QT_QPA_PLATFORM"] = "xcb"
        stack.enter_context(screen(asked.size))
        return run(asked.folder.resolve(), asked.size, asked.appearance)


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
