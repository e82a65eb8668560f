"""Tells when a file may have been changed: by the system's notices where it gives them, and by looking now and then."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import QFileSystemWatcher, QObject, QTimer, Signal

SETTLES_MS = 400
"""Others write a file in steps; it is looked at when it has been left alone for a moment."""
LOOKS_EVERY_MS = 4000

State = tuple[int, int, int] | None


class Watch(QObject):
    """Watches one file at a time. `touched` may come without a change in what the file says."""

    touched = Signal()
    ticked = Signal()

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._path: Path | None = None
        self._seen: State = None
        self._watcher = QFileSystemWatcher(self)
        self._watcher.fileChanged.connect(self._stirred)
        self._watcher.directoryChanged.connect(self._stirred)
        self._settling = QTimer(self)
        self._settling.setSingleShot(True)
        self._settling.setInterval(SETTLES_MS)
        self._settling.timeout.connect(self._settled)
        self._looking = QTimer(self)
        self._looking.setInterval(LOOKS_EVERY_MS)
        self._looking.timeout.connect(self._look)

    def follow(self, path: Path | None) -> None:
        """Watch this file instead of the one before; None for none."""
        for watched in (self._watcher.files(), self._watcher.directories()):
            if watched:
                self._watcher.removePaths(watched)
        self._path = path
        self._settling.stop()
        if path is None:
            self._looking.stop()
            return
        # A file that is replaced as a whole is another one from then on: its folder tells of that.
        self._watcher.addPath(str(path.parent.resolve()))
        self._again()
        self._looking.start()

    def _again(self) -> None:
        assert self._path is not None
        self._seen = _state(self._path)
        name = str(self._path.resolve())
        if self._seen is not None and name not in self._watcher.files():
            self._watcher.addPath(name)

    def _stirred(self, _: str) -> None:
        if self._path is not None and _state(self._path) != self._seen:
            self._settling.start()

    def _look(self) -> None:
        if self._path is not None and _state(self._path) != self._seen and not self._settling.isActive():
            self._settling.start()
        self.ticked.emit()

    def _settled(self) -> None:
        if self._path is None:
            return
        self._again()
        self.touched.emit()


def _state(path: Path) -> State:
    try:
        about = path.stat()
    except OSError:
        return None
    return about.st_mtime_ns, about.st_size, about.st_ino
