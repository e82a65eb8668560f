"""Opens the room: the page of plots, and a command for each plot."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QVBoxLayout, QWidget

from harness_studio.base.errors import HarnessError
from harness_studio.desktop.commands import Command
from harness_studio.desktop.rooms import Room

from .kinds import KINDS
from .page import PlotPage
from .plot import Plot
from .record import Record

if TYPE_CHECKING:
    from harness_studio.desktop.window import Window

PAGE = "plots"
PDF = "PDF files (*.pdf)"


def open_room(window: Window) -> Room:
    """Make the page; pressing a step, bar or block selects its thing on the diagram."""
    page = PlotPage(window.scheduler, window.drawer)
    page.picked.connect(window.show_thing)
    page.printing.connect(lambda plot: _print(window, plot))
    page.larger.connect(lambda plot: _larger(window, page, plot))

    def show(kind: str | None) -> None:
        if kind is not None:
            page.open_kind(kind)
        window.drawer.call_up(PAGE)
        page.choice.setFocus(Qt.FocusReason.ShortcutFocusReason)

    record = Record(window.scheduler, window.drawer.ground_map)
    record.wanted.connect(partial(show, "against"))
    window.drawer.ground_map.add_card(record, record.show_session)
    page.themed.connect(record.set_theme)
    commands = [Command("plots", "Plots", "Plots/a", lambda: show(None), ("P",))]
    commands += [
        Command(f"plot_{kind.id}", kind.title, "Plots/b", partial(show, kind.id), (f"Ctrl+Alt+{number}",))
        for number, kind in enumerate(KINDS, 4)
    ]
    return Room({PAGE: page}, commands)


def _print(window: Window, plot: Plot) -> None:
    """Ask for a file and write the plot to it."""
    from harness_studio.storage.disk import replace_file

    from .paper import plot_pdf

    path = window.files.ask.file_to_save("Write the plot", f"{plot.title}.pdf", PDF)
    if path is None:
        return
    try:
        replace_file(path, plot_pdf(plot, window.session.title))
    except HarnessError as error:
        window.tell(str(error))
    else:
        window.tell(f"{path.name} is written.")


def _larger(window: Window, page: PlotPage, plot: Plot) -> None:
    """Open the plot in a window of its own, which follows the page."""
    from .chart import Chart

    own = QWidget(window, Qt.WindowType.Window)
    own.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
    own.setWindowTitle(f"{plot.title} · {window.session.title}")
    own.resize(1000, 680)
    chart = Chart(own)
    layout = QVBoxLayout(own)
    layout.setContentsMargins(14, 14, 14, 10)
    layout.addWidget(chart)
    own.show()
    page.show_in(chart)
    chart.setFocus(Qt.FocusReason.OtherFocusReason)
