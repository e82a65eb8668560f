"""One program at a time writes a project: a lock beside the file, which the system lets go when the program dies.

The lock is the system's (on an open file), so that one left behind by a program that ended in whatever way holds
nothing; what is written in the file only says who has it.
"""

from __future__ import annotations

import contextlib
import os
import socket
import sys
from dataclasses import dataclass
from pathlib import Path

_FAR = 1 << 30
"""Windows locks bytes against reading, too: the locked one lies far behind the words."""


@dataclass(frozen=True, slots=True)
class Holder:
    """Who holds a lock, as far as that is known."""

    pid: int | None = None
    host: str = ""

    def __str__(self) -> str:
        if self.pid is None:
            return "another window"
        if self.host and self.host != socket.gethostname():
            return f"a window on {self.host} (process {self.pid})"
        return (
            "another window of this program"
            if self.pid == os.getpid()
            else f"another window (process {self.pid})"
        )


class Lock:
    """A lock that is held until `release`, or until the program ends."""

    def __init__(self, path: Path, handle: int | None) -> None:
        self.path = path
        self._handle = handle

    def release(self) -> None:
        """Let go; any number of times."""
        handle, self._handle = self._handle, None
        if handle is None:
            return
        # The name goes first: nobody can then lock a file that is about to lose its name.
        if sys.platform != "win32":
            self.path.unlink(missing_ok=True)
        os.close(handle)
        if sys.platform == "win32":
            with contextlib.suppress(OSError):
                self.path.unlink(missing_ok=True)


def lock_path(path: Path) -> Path:
    """Return where the lock of a file is."""
    target = Path(os.path.realpath(path))
    return target.with_name(f".{target.name[:100]}.lock")


def take(path: Path) -> Lock | Holder:
    """Take a lock file, or say who has it.

    Where locks cannot be had (a folder that cannot be written, a file system without them) nobody is kept out: the
    lock that is returned holds nothing.
    """
    while True:
        try:
            handle = os.open(path, os.O_RDWR | os.O_CREAT | getattr(os, "O_CLOEXEC", 0), 0o666)
        except OSError:
            return Lock(path, None)
        try:
            locked = _lock(handle)
        except OSError:
            os.close(handle)
            return Lock(path, None)
        if not locked:
            os.close(handle)
            return _holder(path)
        if _same(handle, path):
            os.truncate(handle, 0)
            os.write(handle, f"{os.getpid()} {socket.gethostname()}\n".encode())
            return Lock(path, handle)
        os.close(handle)  # its holder let go of it, and took its name away, between the two steps


def _holder(path: Path) -> Holder:
    try:
        pid, _, host = path.read_text(encoding="utf-8").strip().partition(" ")
        return Holder(int(pid), host)
    except (OSError, ValueError):
        return Holder()


def _same(handle: int, path: Path) -> bool:
    try:
        here, there = os.fstat(handle), os.stat(path)
    except OSError:
        return False
    return (here.st_dev, here.st_ino) == (there.st_dev, there.st_ino)


if sys.platform == "win32":
    import msvcrt

    def _lock(handle: int) -> bool:
        os.lseek(handle, _FAR, os.SEEK_SET)
        try:
            msvcrt.locking(handle, msvcrt.LK_NBLCK, 1)
        except PermissionError:
            return False
        finally:
            os.lseek(handle, 0, os.SEEK_SET)
        return True

else:
    import fcntl

    def _lock(handle: int) -> bool:
        try:
            fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError:
            return False
        return True
