"""Desktop tests use real widgets, real mouse and keys, and leave nothing behind."""

import gc
import shutil
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from PySide6.QtCore import QCoreApplication, QEvent, QSettings, QStandardPaths, QThreadPool
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from harness_studio.desktop.ask import Leave
from harness_studio.desktop.window import Window

WORKERS_END_IN_MS = 5000


@pytest.fixture(autouse=True)
def _nothing_left_behind(qapp: QApplication, tmp_path: Path) -> Iterator[None]:
    """Collect garbage only between tests, and end every window and worker of a test before the next.

    A collection in the middle of Qt's event dispatch may delete a window that is being dispatched to;
    windows that live on crash the interpreter at its end.
    """
    QStandardPaths.setTestModeEnabled(True)
    for kind in (QSettings.Format.NativeFormat, QSettings.Format.IniFormat):
        QSettings.setPath(kind, QSettings.Scope.UserScope, str(tmp_path))
    gc.disable()
    yield
    for widget in QApplication.topLevelWidgets():
        widget.close()
        widget.deleteLater()
    QCoreApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)
    ended = QThreadPool.globalInstance().waitForDone(WORKERS_END_IN_MS)
    QCoreApplication.sendPostedEvents(None, 0)  # what the workers still had to say
    left = [type(widget).__name__ for widget in QApplication.topLevelWidgets()]
    gc.collect()
    gc.enable()
    assert ended, f"a worker still runs {WORKERS_END_IN_MS} ms after its test"
    assert not left, f"windows that closing and deleteLater did not end: {left}"


class Answers:
    """Answers the window's questions as a test says, and keeps what was asked."""

    def __init__(self) -> None:
        self.open: Path | None = None
        self.save: Path | None = None
        self.on_leaving: Leave = "discard"
        self.asked: list[str] = []

    def file_to_open(self, title: str, kinds: str) -> Path | None:
        self.asked.append(title)
        return self.open

    def file_to_save(self, title: str, suggested: str, kinds: str) -> Path | None:
        self.asked.append(suggested)
        return self.save

    def leave(self, title: str) -> Leave:
        self.asked.append(title)
        return self.on_leaving


@pytest.fixture
def answers() -> Answers:
    """Return what the user will answer."""
    return Answers()


@pytest.fixture
def window(qtbot: QtBot, answers: Answers) -> Window:
    """Return a window with nothing open."""
    made = Window(answers)
    qtbot.addWidget(made)
    made.resize(1280, 800)
    made.show()
    qtbot.waitExposed(made)
    return made


@pytest.fixture
def project(tmp_path: Path, sample_projects_dir: Path) -> Path:
    """Return a copy of the first sample that may be changed."""
    return Path(shutil.copy(sample_projects_dir / "first_harness.yaml", tmp_path / "pickup.yaml"))


@pytest.fixture
def copied(tmp_path: Path, sample_projects_dir: Path) -> Callable[[str], Path]:
    """Return what copies a sample by its name: one that is opened where it lies would be locked there."""
    return lambda name: Path(shutil.copy(sample_projects_dir / f"{name}.yaml", tmp_path / f"{name}.yaml"))


@pytest.fixture
def pickup(qtbot: QtBot, window: Window, project: Path) -> Window:
    """Return a window with the first sample open and solved."""
    assert window.files.open(project)
    qtbot.waitUntil(lambda: window.session.solution is not None, timeout=10_000)
    window.activateWindow()
    window.diagram.setFocus()
    return window
