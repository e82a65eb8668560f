"""The room of sheets: its page, its commands, and what is done with them."""

from __future__ import annotations

from typing import TYPE_CHECKING

from harness_studio.desktop.commands import Command
from harness_studio.desktop.rooms import Room
from harness_studio.model.drawing.selecting import halves_with_mates

from .laying import Laying, Printed, Wanted
from .page import SheetsPage
from .preview import Preview
from .printer import Printing, by_dialog

if TYPE_CHECKING:
    from PySide6.QtWidgets import QWidget

    from harness_studio.desktop.window import Window
    from harness_studio.sheets.leaf import Leaf

PAGE = "sheets"
PDF = "Documents (*.pdf)"


class Sheets:
    """Does what the page asks for; one thing at a time."""

    def __init__(self, window: Window) -> None:
        self._window = window
        self.page = SheetsPage(window)
        self.page.wanted.connect(self.do)
        self.page.stopped.connect(self.stop)
        self.laying = Laying(window.scheduler, self.page.show_progress, self._laid)
        self.preview: Preview | None = None
        self._printing: Printing | None = None
        self._then = "preview"
        self._lacking = ""

    def open(self) -> None:
        """Open the page."""
        self._window.drawer.call_up(PAGE)
        self.page.list.setFocus()

    def do(self, what: str) -> None:
        """Lay out, then show, write or print."""
        if self.laying.busy or self._printing is not None:
            return
        page, session = self.page, self._window.session
        if not page.chosen:
            page.say("No sheet is ticked.")
            return
        halves = halves_with_mates(session.harness, session.selection) if page.only.isChecked() else ()
        if page.only.isChecked() and not halves:
            page.say("No connector is selected: click it on the diagram, then print.")
            return
        file = None
        if what == "file":
            name = f"{session.path.stem if session.path else 'harness'}.pdf"
            near = session.path.with_name(name) if session.path else name
            file = self._window.files.ask.file_to_save("Write the sheets", str(near), PDF)
            if file is None:
                return
        self._then = what
        self.laying.begin(
            Wanted(
                session.harness.snapshot(),
                page.chosen,
                page.paper.currentText(),
                page.lying.isChecked(),
                page.chosen_modes or None,
                page.chosen_grid,
                session.path.resolve().parent if session.path else None,
                file,
                halves,
            )
        )

    def stop(self) -> None:
        """End what is being done."""
        self.laying.stop()
        if self._printing is not None:
            self._printing.stop()

    def _laid(self, printed: Printed) -> None:
        self._lacking = printed.lacking
        if printed.problem or printed.stopped:
            self._finished("Stopped; nothing was printed." if printed.stopped else printed.problem)
        elif printed.wanted.file is not None:
            count = len(printed.leaves)
            self._finished(
                f"{printed.wanted.file.name}: {count} {'page' if count == 1 else 'pages'} written."
            )
        elif self._then == "printer":
            self._print(printed.leaves)
        else:
            self._finished(f"{len(printed.leaves)} pages in the preview.")
            self._show(printed.leaves)

    def _show(self, leaves: object) -> None:
        if self.preview is None:
            self.preview = Preview(self._window)
        self.preview.show_leaves(leaves, self._window.session.title)  # type: ignore[arg-type]

    def _print(self, leaves: object) -> None:
        parent: QWidget = self._window
        printer = by_dialog(parent)
        if printer is None:
            self._finished("Nothing was printed.")
            return
        pages: list[Leaf] = list(leaves)  # type: ignore[call-overload]
        self._printing = Printing(
            self._window.scheduler, printer, pages, self.page.show_progress, self._finished
        )
        self._printing.begin()

    def _finished(self, said: str) -> None:
        self._printing = None
        self.page.show_progress("", 0, 0)
        self.page.say(f"{said} Mind: {self._lacking}." if self._lacking else said)


def open_room(window: Window) -> Room:
    """Return the room of sheets."""
    sheets = Sheets(window)
    return Room(
        {PAGE: sheets.page},
        [
            Command("sheets", "Sheets: choose, preview, print…", "Harness/b", sheets.open, ("Ctrl+P",)),
            Command(
                "sheets_preview",
                "Preview the ticked sheets",
                "Harness/b",
                lambda: sheets.do("preview"),
                ("Ctrl+Shift+P",),
            ),
            Command(
                "sheets_pdf",
                "Write the ticked sheets to a PDF file…",
                "Harness/b",
                lambda: sheets.do("file"),
                ("Ctrl+Alt+P",),
            ),
            Command(
                "sheets_print",
                "Print the ticked sheets…",
                "Harness/b",
                lambda: sheets.do("printer"),
                ("Ctrl+Alt+Shift+P",),
            ),
        ],
    )
