"""Which commands there are, what they are called, and by which keys."""

from __future__ import annotations

from typing import TYPE_CHECKING

from harness_studio.diagram.overlays import TITLES, Kind

from .commands import Command
from .drawer import DETAILS

if TYPE_CHECKING:
    from .window import Window


def commands_of(window: Window) -> list[Command]:
    """Return the commands of a window, in the order of the menus."""
    return [*_file(window), *_edit(window), *_view(window)]


def _file(w: Window) -> list[Command]:
    files = w.files
    return [
        Command("new", "New harness", "Harness/a", lambda: w.leaving(files.new), ("Ctrl+N",), always=True),
        Command("open", "Open…", "Harness/a", lambda: w.leaving(files.open_asking), ("Ctrl+O",), always=True),
        Command(
            "open_sample",
            "Open the sample",
            "Harness/a",
            lambda: w.leaving(files.open_sample),
            ("Ctrl+Alt+O",),
            always=True,
        ),
        Command(
            "import_kbl",
            "Import a KBL file…",
            "Harness/a",
            lambda: w.leaving(files.import_asking),
            ("Ctrl+I",),
            always=True,
        ),
        Command("save", "Save", "Harness/b", w.save, ("Ctrl+S",)),
        Command("save_as", "Save as…", "Harness/b", w.save_as, ("Ctrl+Shift+S",)),
        Command("quit", "Quit", "Harness/c", w.close, ("Ctrl+Q",), always=True),
    ]


def _edit(w: Window) -> list[Command]:
    return [
        Command("undo", "Undo", "Edit/a", w.undo, ("Ctrl+Z",), able=lambda: w.session.can_undo),
        Command("redo", "Redo", "Edit/a", w.redo, ("Ctrl+Shift+Z", "Ctrl+Y"), able=lambda: w.session.can_redo),
        Command("arrange", "Arrange the whole page", "Arrange/d", w.arrange, ("Ctrl+Shift+A",),
                able=lambda: bool(w.session.harness.taken_ids())),
        Command("find", "Find on the harness…", "Edit/c", w.search.open, ("Ctrl+F",)),
        Command("dial", "Dial the chosen joint: how bad?", "Diagnose/b", w.dial, ("D",),
                able=lambda: w.session.chosen is not None or bool(w.session.selection)),
        Command("meter", "Meter: put two tips on", "Diagnose/b", w.measure, ("M",)),
        Command("clear", "Let go of joint and selection", "Edit/c", w.clear, ("Ctrl+.",),
                able=lambda: bool(w.session.selection) or w.session.chosen is not None),
        Command("commands", "Commands…", "Edit/d", w.command_list.open, ("Ctrl+K",), always=True),
    ]  # fmt: skip


def _to_details(w: Window) -> None:
    w.drawer.call_up(DETAILS)
    w.drawer.details.give_keys()


def _view(w: Window) -> list[Command]:
    looks = {"system": "As the system", "light": "Light paper", "dark": "Dark paper"}

    def appear(name: str) -> Command:
        return Command(
            f"appear_{name}",
            looks[name],
            "View/c",
            lambda: w.set_appearance(name),
            (f"Ctrl+Alt+{list(looks).index(name) + 1}",),
            ticked=lambda: w.appearance == name,
            always=True,
        )

    def overlay(kind: Kind | None, title: str, keys: str) -> Command:
        return Command(
            f"overlay_{kind or 'none'}",
            title,
            "View/d",
            lambda: w.show_overlay(kind),
            (keys,),
            ticked=lambda: w.diagram.overlay == kind,
        )

    return [
        Command("fit", "Whole page", "View/a", w.diagram.fit, ("F", "Ctrl+0")),
        Command("zoom_in", "Nearer", "View/a", lambda: w.zoom(1), ("Ctrl++", "Ctrl+=")),
        Command("zoom_out", "Further away", "View/a", lambda: w.zoom(-1), ("Ctrl+-",)),
        Command(
            "drawer", "Drawer", "View/b", w.toggle_drawer, ("Ctrl+D",), ticked=lambda: not w.drawer.isHidden()
        ),
        Command("details", "Details of what is selected", "View/b", lambda: _to_details(w), ("Alt+Return",)),
        Command(
            "pin",
            "Pin the drawer's page",
            "View/b",
            w.pin_page,
            ("Ctrl+Shift+D",),
            ticked=lambda: w.drawer.pinned,
        ),
        Command(
            "apart", "The drawer's page in a window of its own", "View/b", w.page_apart, ("Ctrl+Shift+W",)
        ),
        *(appear(name) for name in looks),
        overlay(None, "Plain diagram", "Alt+0"),
        *(overlay(kind, title, f"Alt+{n}") for n, (kind, title) in enumerate(TITLES.items(), 1)),
    ]
