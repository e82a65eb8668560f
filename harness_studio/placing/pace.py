"""How far long work is, and stopping it: said from within, heard by whoever waits."""

from __future__ import annotations

from collections.abc import Callable

Tell = Callable[[float], None]
"""Hears how far the work is, 0 to 1; may raise `Stopped`."""


class Stopped(Exception):
    """What is being worked out is not wanted any more."""


def silent(_part: float) -> None:
    """Hear nothing."""


def within(tell: Tell, start: float, end: float) -> Tell:
    """Return what hears a piece of the work as the part of the whole from `start` to `end`."""
    return lambda part: tell(start + (end - start) * part)
