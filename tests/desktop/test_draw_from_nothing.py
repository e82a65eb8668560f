"""A three-part circuit is drawn on an empty page with mouse and keys, undone to nothing and done again."""

from pathlib import Path

from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from harness_studio.desktop.window import Window
from harness_studio.storage.project_file import read_project, render
from tests.desktop.conftest import Answers
from tests.support.drawing_hands import handle, point, pull, put, take
from tests.support.pointing import on_wire

CONTROL, SHIFT = Qt.KeyboardModifier.ControlModifier, Qt.KeyboardModifier.ShiftModifier


def save(window: Window, answers: Answers, path: Path) -> str:
    answers.save = path
    QTest.keyClick(window, Qt.Key.Key_S, CONTROL | SHIFT)
    return render(read_project(path).harness)  # blank lines between entries do not count


def ends(window: Window) -> dict[str, tuple[str, str]]:
    return {w.id: (str(w.ends[0]), str(w.ends[1])) for w in window.session.harness.wires.values()}


def draw_circuit(window: Window) -> None:
    for words, x, y in (
        ("battery", -20, 20), ("fuse, 10", 30, 0), ("lamp, 21", 90, 0),
        ("shell", 40, 80), ("ground m6", 60, 80),
    ):  # fmt: skip
        take(window, words)
        put(window, x, y)
    pull(window, point(window, "GB1.30"), point(window, "F1.in"))
    pull(window, point(window, "F1.out"), point(window, "E1.1"))
    pull(window, point(window, "E1.31"), point(window, "GP1"))
    pull(window, handle(window, "shell"), point(window, "GB1.31"))


def test_draw_undo_redo_save(qtbot: QtBot, window: Window, answers: Answers, tmp_path: Path) -> None:
    window.activateWindow()
    QTest.keyClick(window, Qt.Key.Key_N, CONTROL)
    empty = save(window, answers, tmp_path / "empty.yaml")
    draw_circuit(window)
    harness = window.session.harness
    assert set(harness.parts) == {"GB1", "F1", "E1"}
    assert ends(window) == {
        "W1": ("GB1.30", "F1.in"), "W2": ("F1.out", "E1.1"), "W3": ("E1.31", "GP1"),
        "W4": ("shell.front", "GB1.31"),
    }  # fmt: skip
    assert harness.grounds["GP1"].place == "shell.gp1"

    take(window, "splice")
    spot = on_wire(window.diagram, "W2")
    QTest.mouseMove(window.diagram, spot)
    QTest.mouseClick(window.diagram, Qt.MouseButton.LeftButton, Qt.KeyboardModifier.NoModifier, spot)
    assert ends(window)["W2"] == ("F1.out", "SP1")
    assert ends(window)["W5"] == ("SP1", "E1.1")

    steps = len(window.session.history)
    full = save(window, answers, tmp_path / "full.yaml")
    for _ in range(steps):
        QTest.keyClick(window, Qt.Key.Key_Z, CONTROL)
    assert not window.session.can_undo
    assert window.session.harness.taken_ids() == set()
    assert save(window, answers, tmp_path / "undone.yaml") == empty
    for _ in range(steps):
        QTest.keyClick(window, Qt.Key.Key_Z, CONTROL | SHIFT)
    assert not window.session.can_redo
    assert save(window, answers, tmp_path / "redone.yaml") == full

    read = read_project(tmp_path / "redone.yaml").harness
    assert read.tables == window.session.harness.tables
    qtbot.waitUntil(lambda: window.session.solution is not None, timeout=10_000)
    assert window.session.computed.problem is None
