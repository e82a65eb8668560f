"""Laying a page out: small ones at once, large ones simply first and properly when another thread has done it."""

from __future__ import annotations

from collections.abc import Callable

from harness_studio.model.entities import Page
from harness_studio.model.harness import Harness
from harness_studio.placing.pace import Stopped
from harness_studio.session.progress import LOOK_MS
from harness_studio.session.scheduler import Cancel, Scheduler

from .layout import Layout, at_first, lay_out, meanwhile

AT_ONCE = 250
"""Pages with no more wires than this are laid out while one waits."""


Ready = Callable[[Harness, Page, Layout], object]
"""Gets a page that was laid out ready to be shown; called on the other thread."""


class _Work:
    """A page that is being laid out on another thread: how far it is, and whether it is still wanted."""

    def __init__(self, ready: Ready, *, whole: bool) -> None:
        self.whole = whole
        self._ready = ready
        self.part = 0.0
        self.dropped = False

    def tell(self, part: float) -> None:
        """Hear how far it is; called on the other thread."""
        if self.dropped:
            raise Stopped
        self.part = part

    def laid_out(self, harness: Harness, page: Page, before: Layout | None) -> Layout | None:
        """Lay out; None if it was dropped meanwhile."""
        try:
            found = lay_out(harness, page, before, self.tell)
        except Stopped:
            return None
        if not self.dropped:
            self._ready(harness, page, found)
        return found

    def at_first(self, harness: Harness, page: Page) -> Layout:
        """Return the page in the simplest corners."""
        found = at_first(harness, page)
        if not self.dropped:
            self._ready(harness, page, found)
        return found


class Staging:
    """Finds what stands on a page and shows it.

    Parameters
    ----------
    show
        Gets each layout, the simple one first.
    scheduler
        Threads; without one every page is laid out at once.
    ready
        Gets a page ready that was laid out on another thread, on that thread, before it is shown.
    told
        Called while a page is being laid out, whenever there is something new to say of it.
    """

    def __init__(
        self,
        show: Callable[[Layout], None],
        scheduler: Scheduler | None = None,
        told: Callable[[], object] = lambda: None,
        ready: Ready = lambda _harness, _page, _layout: None,
    ) -> None:
        self._show = show
        self._ready = ready
        self._scheduler = scheduler
        self._told = told
        self._work: _Work | None = None
        self._end_look: Cancel = lambda: None
        self._held = False
        self._waiting: Layout | None = None

    @property
    def busy(self) -> bool:
        """Whether a page is being laid out on another thread."""
        return self._work is not None

    @property
    def words(self) -> str | None:
        """What is being done, with how far it is where that takes a while."""
        if self._work is None:
            return None
        return f"laying wires, {self._work.part:.0%}" if self.can_stop else "laying wires"

    @property
    def can_stop(self) -> bool:
        """Whether every wire of the page is being laid, and need not be."""
        return self._work is not None and self._work.whole

    def lay(self, harness: Harness, page: Page, before: Layout, *, whole: bool = False) -> None:
        """Lay a page out; what was being laid out before is dropped.

        Parameters
        ----------
        before
            What is shown now.
        whole
            Whether every wire is laid anew; what is shown stays until then.
        """
        here = before.page == page.id and bool(before.routes)
        whole = whole or (here and self.can_stop)
        self.drop()
        if self._scheduler is None or len(harness.wires) <= AT_ONCE:
            self._show(lay_out(harness, page, None if whole else before))
            return
        kept = harness.snapshot()
        if here:
            self._show(meanwhile(harness, page, before))
            self._start(kept, page, None if whole else before)
        else:
            self._simply_first(kept, page)

    def _simply_first(self, kept: Harness, page: Page) -> None:
        work = self._work = _Work(self._ready, whole=True)

        def simple_done(found: Layout) -> None:
            if work is self._work:
                self._give(found)
                self._start(kept, page, None)

        if self._scheduler is not None:
            self._scheduler.run(lambda: work.at_first(kept, page), simple_done)
            self._look()

    def _start(self, kept: Harness, page: Page, before: Layout | None) -> None:
        work = self._work = _Work(self._ready, whole=before is None)

        def done(found: Layout | None) -> None:
            if work is self._work and found is not None:
                self.drop()
                self._give(found)

        if self._scheduler is not None:
            self._scheduler.run(lambda: work.laid_out(kept, page, before), done)
            self._look()

    def _look(self) -> None:
        """Tell now and again how far the work is, until it is done."""
        self._end_look()
        if self._work is not None and self._scheduler is not None:
            self._told()
            self._end_look = self._scheduler.later(LOOK_MS, self._look)

    def _give(self, found: Layout) -> None:
        if self._held:
            self._waiting = found
        else:
            self._show(found)

    def stop(self) -> bool:
        """Leave the wires as they are shown now, where all of them were being laid; return whether it was so."""
        stopped = self.can_stop
        if stopped:
            self.drop()
            self._told()
        return stopped

    def drop(self) -> None:
        """Forget what is being laid out."""
        self._end_look()
        if self._work is not None:
            self._work.dropped = True
        self._work = self._waiting = None

    def hold(self) -> None:
        """Keep what arrives for later: what the hand holds must not change under it."""
        self._held = True

    def let_go(self) -> None:
        """Show what has arrived meanwhile."""
        self._held = False
        found, self._waiting = self._waiting, None
        if found is not None:
            self._show(found)
