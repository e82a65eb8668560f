"""Desktop tests use real widgets, real mouse and keys, and leave nothing behind."""

import gc
import shutil
import threading
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
import shiboken6
from PySide6.QtCore import (
    QCoreApplication,
    QEvent,
    QObject,
    QSettings,
    QStandardPaths,
    QThread,
    QThreadPool,
    QTimer,
)
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
    gc.freeze()  # what was there before is neither collected nor looked through: late tests would take seconds for it
    threads = set(threading.enumerate())
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
    running = [thread.name for thread in threading.enumerate() if thread not in threads]
    timers = [timer_words(timer) for timer in living_timers()]
    loops = [thread for thread in _living(QThread) if thread.isRunning() and thread is not qapp.thread()]
    assert not running, f"threads that a test left behind: {running}"
    assert not timers, f"timers that still run after their windows are gone: {timers}"
    assert not loops, f"event loops of threads that still run: {loops}"
    assert ended, f"a worker still runs {WORKERS_END_IN_MS} ms after its test"
    assert not left, f"windows that closing and deleteLater did not end: {left}"


def _living(kind: type[QObject]) -> list[QObject]:
    return [thing for thing in gc.get_objects() if isinstance(thing, kind) and shiboken6.isValid(thing)]


def living_timers(within: QObject | None = None) -> list[QTimer]:
    """Return the timers that run: those below an object, or all that Python knows of."""
    timers = within.findChildren(QTimer) if within is not None else _living(QTimer)
    return [timer for timer in timers if timer.isActive()]


def timer_words(timer: QTimer) -> str:
    """Return what a timer belongs to and how often it fires."""
    parent = timer.parent()
    owner = f"{type(parent).__name__} {parent.objectName()}".strip() if parent is not None else "nobody"
    return f"{timer.interval()} ms of {owner}"


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
