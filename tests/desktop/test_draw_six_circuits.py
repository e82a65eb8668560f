"""Six circuits are drawn from nothing with mouse and keys; the file that is saved is checked and solved by commands."""

import json
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from harness_studio.app.main import main
from harness_studio.desktop.window import Window
from harness_studio.model.drawing.laying import Pen
from tests.desktop.conftest import Answers
from tests.support.drawing_hands import point, pull, put, take

CONTROL, SHIFT = Qt.KeyboardModifier.ControlModifier, Qt.KeyboardModifier.ShiftModifier
LOADS = ("lamp, 21 w", "lamp, 5 w", "lamp, 55 w", "fuel pump", "fan motor", "heated rear")
FEEDS = ("E1.1", "E2.1", "E3.1", "M1.15", "M2.15", "E4.1")
RETURNS = ("E1.31", "E2.31", "E3.31", "M1.31", "M2.31", "E4.2")


def draw(window: Window) -> None:
    for _ in range(6):
        QTest.keyClick(window.diagram, Qt.Key.Key_Minus, CONTROL)
    take(window, "battery, 60")
    put(window, -60, 0)
    take(window, "fuse box, 6")
    put(window, 30, 0)
    for number, words in enumerate(LOADS):
        take(window, words)
        put(window, 130, -70 + 28 * number)
    take(window, "shell")
    put(window, 160, 130)
    take(window, "ground m8")
    put(window, 160, 130)
    window.diagram.pens.take(Pen(area_mm2=16.0, colour="RD"))
    pull(window, point(window, "GB1.30"), point(window, "A1.30"))
    window.diagram.pens.take(Pen(area_mm2=16.0, colour="BK"))
    pull(window, point(window, "GB1.31"), point(window, "GP1"))
    window.diagram.pens.take(Pen(area_mm2=2.5, colour="GN", insulation="TXL"))
    for number, terminal in enumerate(FEEDS, 1):
        pull(window, point(window, f"F{number}.out"), point(window, terminal))
    window.diagram.pens.take(Pen(area_mm2=2.5, colour="BN", insulation="TXL"))
    for terminal in RETURNS:
        pull(window, point(window, terminal), point(window, "GP1"))
    QTest.keyClick(window.diagram, Qt.Key.Key_R, SHIFT)


def test_six_circuits(
    qtbot: QtBot, window: Window, answers: Answers, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    window.activateWindow()
    QTest.keyClick(window, Qt.Key.Key_N, CONTROL)
    draw(window)
    wires = window.session.harness.wires
    assert len(wires) == 14
    assert [str(wires[f"W{n}"].ends[1]) for n in range(1, 15)] == ["A1.30", "GP1", *FEEDS, *["GP1"] * 6]
    items = window.session.harness.pages["all"].items
    assert items["GP1"].y_mm == items["shell"].y_mm - 4
    assert [wires[f"W{n}"].colour for n in (1, 2, 3, 8, 9, 14)] == ["RD", "BK", "GN", "GN", "BN", "BN"]
    answers.save = tmp_path / "six.yaml"
    QTest.keyClick(window, Qt.Key.Key_S, CONTROL | SHIFT)
    qtbot.waitUntil(
        lambda: window.session.solution is not None and not window.session.computed.stale, timeout=20_000
    )
    assert window.session.computed.problem is None
    window.diagram.grab()

    path = str(answers.save)
    capsys.readouterr()
    assert main(["solve", path, "--json"]) == 0
    solved = json.loads(capsys.readouterr().out)
    assert solved
    assert main(["check", path, "--json"]) in (0, 1)
    assert json.loads(capsys.readouterr().out)
