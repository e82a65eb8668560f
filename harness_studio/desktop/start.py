"""Starts the window program."""

from __future__ import annotations

import sys
from pathlib import Path
from types import TracebackType

from PySide6.QtCore import QCoreApplication, QTimer
from PySide6.QtGui import QGuiApplication
from PySide6.QtWidgets import QApplication

from harness_studio.drawing import fonts

from .moving_on import LongLived
from .window import Window

WRONG = "Something went wrong in the program; your work is still here. Details stand in the log."


def run(file: Path | None = None) -> int:
    """Open the window, with a file if one is given, and return the exit code when it is closed.

    Raises
    ------
    FontMissing
        If the program's font is not installed.
    """
    QCoreApplication.setApplicationName("Harness Studio")
    QCoreApplication.setOrganizationName("harness-studio")
    app = QApplication.instance() or QApplication(sys.argv[:1])
    QGuiApplication.setDesktopFileName("harness-studio")
    fonts.family()
    window = Window()
    before = sys.excepthook

    def unexpected(kind: type[BaseException], error: BaseException, trace: TracebackType | None) -> None:
        before(kind, error, trace)
        window.tell(WRONG)

    sys.excepthook = unexpected
    keeping = LongLived(window)
    try:
        window.show()
        if file is not None:
            QTimer.singleShot(0, window, lambda: window.files.open(file))
        return app.exec()
    finally:
        sys.excepthook = before
        keeping.end()
        window.take_down()
