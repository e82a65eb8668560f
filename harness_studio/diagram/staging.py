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
        self.busy = False
        """Whether a page is being laid out on another thread."""

    def lay(self, harness: Harness, page: Page, before: Layout) -> None:
        """Lay a page out; what was being laid out before is dropped."""
        self.drop()
        if self._scheduler is None or len(harness.wires) <= AT_ONCE:
            self._show(lay_out(harness, page, before))
            return
        self.busy = True
        generation, kept = self._generation, harness.snapshot()
        scheduler = self._scheduler
        if before.page == page.id and before.routes:
            self._show(meanwhile(harness, page, before))
            scheduler.run(
                lambda: lay_out(kept, page, before), lambda found: self._arrived(generation, found, last=True)
            )
            return

        def simple_done(found: Layout) -> None:
            self._arrived(generation, found, last=False)
            if generation == self._generation:
                scheduler.run(
                    lambda: lay_out(kept, page), lambda better: self._arrived(generation, better, last=True)
                )

        scheduler.run(lambda: at_first(kept, page), simple_done)

    def _arrived(self, generation: int, found: Layout, *, last: bool) -> None:
        if generation != self._generation:
            return
        self.busy = self.busy and not last
        if self._held:
            self._waiting = found
        else:
            self._show(found)

    def drop(self) -> None:
        """Forget what is being laid out."""
        self._generation += 1
        self._waiting = None
        self.busy = False

    def hold(self) -> None:
        """Keep what arrives for later: what the hand holds must not change under it."""
        self._held = True

    def let_go(self) -> None:
        """Show what has arrived meanwhile."""
        self._held = False
        found, self._waiting = self._waiting, None
        if found is not None:
            self._show(found)
