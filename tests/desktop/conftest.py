"""Desktop tests use real widgets, real mouse and keys, and leave nothing behind."""

import gc
from collections.abc import Iterator
from pathlib import Path

import pytest
from PySide6.QtCore import QCoreApplication, QEvent, QSettings, QStandardPaths, QThreadPool
from PySide6.QtWidgets import QApplication

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
