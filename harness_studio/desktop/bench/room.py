"""The room of the bench: its pages and the commands that open them."""

from __future__ import annotations

from typing import TYPE_CHECKING

from harness_studio.desktop.commands import Command
from harness_studio.desktop.rooms import Room

from .bench_page import BenchPage
from .ring_page import RingPage

if TYPE_CHECKING:
    from PySide6.QtWidgets import QWidget

    from harness_studio.desktop.window import Window

BENCH, RING = "bench", "ring_out"


def open_room(window: Window) -> Room:
    """Make the room."""
    bench, ring = BenchPage(window.drawer), RingPage(window.drawer)

    def opened(page: str, first: QWidget) -> None:
        window.drawer.show()
        window.drawer.open(page)
        first.setFocus()
        first.selectAll()  # type: ignore[attr-defined]

    commands = [
        Command(
            BENCH,
            "Bench: a connector cavity by cavity",
            "Edit/c",
            lambda: opened(BENCH, bench.which),
            ("Ctrl+B",),
        ),
        Command(
            RING,
            "Ring out: rings to, does not ring to",
            "Edit/c",
            lambda: opened(RING, ring.near),
            ("Ctrl+Shift+B",),
        ),
    ]
    return Room({BENCH: bench, RING: ring}, commands)
