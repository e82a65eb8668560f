"""The log: what went wrong inside the program, with everything a report of it needs."""

from __future__ import annotations

import logging
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from types import TracebackType

from harness_studio import __version__

KEPT_BYTES = 1_000_000

_log = logging.getLogger("harness_studio")


def path() -> Path:
    """Return where the log is."""
    from platformdirs import user_log_path

    return user_log_path("harness-studio", appauthor=False) / "harness-studio.log"


class _LogFile(logging.Handler):
    """Appends warnings and errors to the log; makes the file when there is something to write."""

    def __init__(self) -> None:
        super().__init__(logging.WARNING)
        self.setFormatter(logging.Formatter(f"%(asctime)s {__version__} %(levelname)s %(name)s: %(message)s"))

    def emit(self, record: logging.LogRecord) -> None:
        try:
            file = path()
            file.parent.mkdir(parents=True, exist_ok=True)
            full = file.exists() and file.stat().st_size > KEPT_BYTES
            with file.open("w" if full else "a", encoding="utf-8", errors="replace") as stream:
                stream.write(self.format(record) + "\n")
        except OSError:
            pass  # a log that cannot be written must not stop the work


@contextmanager
def kept() -> Iterator[None]:
    """Keep what is logged, and what nobody catches (in a slot of the window), in the log file."""
    handler = _LogFile()
    root = logging.getLogger()
    root.addHandler(handler)
    before, sys.excepthook = sys.excepthook, _uncaught
    try:
        yield
    finally:
        sys.excepthook = before
        root.removeHandler(handler)


def _uncaught(kind: type[BaseException], error: BaseException, trace: TracebackType | None) -> None:
    _log.error("nobody caught this", exc_info=(kind, error, trace))
    print(f"harness-studio: {told(error)}", file=sys.stderr)


def told(error: BaseException) -> str:
    """Return the one line that a user gets to see of a defect, and where the rest of it stands."""
    what = " ".join(f"{type(error).__name__}: {error}".split())
    return f"a defect of the program, not of the file: {what}; details stand in {path()}"
