"""Time and threads, as far as a session needs them: two methods, so that it knows neither Qt nor a clock."""

from __future__ import annotations

from collections.abc import Callable
from typing import Protocol, TypeVar

T = TypeVar("T")

Cancel = Callable[[], None]
"""Takes back what was to happen later; does nothing once it has happened."""


class Scheduler(Protocol):
    """Runs things later, and long things beside the caller."""

    def later(self, ms: int, do: Callable[[], None]) -> Cancel:
        """Call `do` on the caller's thread in `ms` milliseconds; return what takes it back."""
        ...

    def run(self, work: Callable[[], T], done: Callable[[T], None]) -> None:
        """Call `work`, on another thread if there is one, then `done` with what it returned on the caller's thread.

        `work` lets no exception out.
        """
        ...


class Synchronous:
    """Does everything at once: for commands and tests."""

    def later(self, ms: int, do: Callable[[], None]) -> Cancel:
        """Call `do` now."""
        do()
        return _nothing

    def run(self, work: Callable[[], T], done: Callable[[T], None]) -> None:
        """Call `work`, then `done`."""
        done(work())


def _nothing() -> None:
    """Take back nothing: it has happened."""
