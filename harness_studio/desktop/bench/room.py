"""The room of the bench: its pages and the commands that open them."""

from __future__ import annotations

from typing import TYPE_CHECKING

from harness_studio.desktop.commands import Command
from harness_studio.desktop.rooms import Room

from .bench_page import BenchPage
from .face_page import FacePage
from .ring_page import RingPage

if TYPE_CHECKING:
    from PySide6.QtWidgets import QWidget

    from harness_studio.desktop.window import Window

BENCH, RING, FACE = "bench", "ring_out", "face"


def open_room(window: Window) -> Room:
    """Make the room."""
    bench, ring = BenchPage(window.drawer, lambda: window.diagram.page_id), RingPage(window.drawer)
    face = FacePage(window.drawer)

    def opened(page: str, first: QWidget, known: QWidget | None = None) -> None:
        window.drawer.call_up(page)
        if known is not None and bench.half is not None and window.session.selection == {bench.half}:
            first = known  # which connector it is has been said by selecting it
        first.setFocus()
        first.selectAll()  # type: ignore[attr-defined]

    commands = [
        Command(
            BENCH,
            "Bench: a connector cavity by cavity",
            "Record/b",
            lambda: opened(BENCH, bench.which, bench.lines["colour"]),
            ("Ctrl+B",),
        ),
        Command(
            RING,
            "Ring out: rings to, does not ring to",
            "Record/b",
            lambda: opened(RING, ring.near),
            ("Ctrl+Shift+B",),
        ),
        Command(
            FACE,
            "Draw up the face of a connector",
            "Record/b",
            lambda: opened(FACE, face.names),
            ("Ctrl+Alt+B",),
        ),
    ]

    def face_of_bench() -> None:
        if bench.half is not None:
            window.session.select({bench.half})
        opened(FACE, face.names)

    bench.face_wanted.connect(face_of_bench)
    return Room({BENCH: bench, RING: ring, FACE: face}, commands)
