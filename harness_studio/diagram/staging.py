"""Laying a page out: small ones at once, large ones simply first and properly when another thread has done it."""

from __future__ import annotations

from collections.abc import Callable

from harness_studio.model.entities import Page
from harness_studio.model.harness import Harness
from harness_studio.session.scheduler import Scheduler

from .layout import Layout, at_first, lay_out, meanwhile

AT_ONCE = 250
"""Pages with no more wires than this are laid out while one waits."""


class Staging:
    """Finds what stands on a page and shows it.

    Parameters
    ----------
    show
        Gets each layout, the simple one first.
    scheduler
        Threads; without one every page is laid out at once.
    """

    def __init__(self, show: Callable[[Layout], None], scheduler: Scheduler | None = None) -> None:
        self._show = show
        self._scheduler = scheduler
        self._generation = 0
        self._held = False
        self._waiting: Layout | None = None

    def lay(self, harness: Harness, page: Page, before: Layout) -> None:
        """Lay a page out; what was being laid out before is dropped."""
        self.drop()
        if self._scheduler is None or len(harness.wires) <= AT_ONCE:
            self._show(lay_out(harness, page, before))
            return
        known = before.page == page.id and bool(before.routes)
        self._show(meanwhile(harness, page, before) if known else at_first(harness, page))
        generation, kept = self._generation, harness.snapshot()
        self._scheduler.run(
            lambda: lay_out(kept, page, before if known else None),
            lambda found: self._arrived(generation, found),
        )

    def _arrived(self, generation: int, found: Layout) -> None:
        if generation != self._generation:
            return
        if self._held:
            self._waiting = found
        else:
            self._show(found)

    def drop(self) -> None:
        """Forget what is being laid out."""
        self._generation += 1
        self._waiting = None

    def hold(self) -> None:
        """Keep what arrives for later: what the hand holds must not change under it."""
        self._held = True

    def let_go(self) -> None:
        """Show what has arrived meanwhile."""
        self._held = False
        found, self._waiting = self._waiting, None
        if found is not None:
            self._show(found)
