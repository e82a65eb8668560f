"""Work that makes very many small things at once, without the garbage collector walking them again and again."""

from __future__ import annotations

import gc
from collections.abc import Iterator
from contextlib import contextmanager


@contextmanager
def collector_paused() -> Iterator[None]:
    """Keep the garbage collector off until it is done.

    What two threads do so beside each other ends with the collector on again, whichever ends last.
    """
    was_on = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was_on:
            gc.enable()
