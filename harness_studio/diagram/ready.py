"""Scenes of large pages are made on the thread that laid them out: they would hold the window for 90 ms."""

from __future__ import annotations

from harness_studio.model.entities import Page
from harness_studio.model.harness import Harness

from .layout import Layout
from .scene import NO_PAGE, Scene


class Scenes:
    """Makes scenes, each with what it can take over from the one that is shown; keeps one that was made beforehand."""

    def __init__(self) -> None:
        self.shown = Scene(Harness(), NO_PAGE)
        self._ready: Scene | None = None

    def get_ready(self, harness: Harness, page: Page, layout: Layout) -> None:
        """Make the scene of a layout that is to be shown soon; on any thread."""
        found = Scene(harness, page, layout, self.shown)
        found.room.get_ready()
        self._ready = found

    def of(self, harness: Harness, layout: Layout) -> Scene:
        """Return the scene of a layout, to be shown now."""
        found, self._ready = self._ready, None
        if found is None or found.layout is not layout:
            page = harness.pages.get(layout.page, NO_PAGE)
            found = Scene(harness, page, layout, self.shown)
        found.harness = harness  # what was made beforehand knows a copy
        self.shown = found
        return found
