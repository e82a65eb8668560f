"""The commands that bring what is selected into line."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import TYPE_CHECKING

from harness_studio.base.geometry import Box
from harness_studio.desktop.commands import Command
from harness_studio.diagram.doing import do
from harness_studio.drawing.symbols import outline_box
from harness_studio.model.edits import change
from harness_studio.model.values import At
from harness_studio.placing import arranging
from harness_studio.placing.arranging import Line
from harness_studio.session.regrouping import arranged, by_zone

if TYPE_CHECKING:
    from harness_studio.desktop.window import Window

_LINES: tuple[tuple[Line, str, str], ...] = (
    ("left", "Align left edges", "Ctrl+Left"),
    ("centre", "Align centres", "Ctrl+Shift+Left"),
    ("right", "Align right edges", "Ctrl+Right"),
    ("top", "Align upper edges", "Ctrl+Up"),
    ("middle", "Align middles", "Ctrl+Shift+Up"),
    ("bottom", "Align lower edges", "Ctrl+Down"),
)


class Arranging:
    """Changes places of the selected symbols, each time in one step."""

    def __init__(self, window: Window) -> None:
        self._window = window

    def keys(self) -> list[str]:
        """Return the selected symbols of the page."""
        scene = self._window.diagram.scene
        found = (scene.symbol_of(thing) for thing in sorted(self._window.session.selection))
        return list(dict.fromkeys(key for key in found if key is not None))

    def able(self) -> bool:
        """Return whether a symbol is selected."""
        return bool(self.keys())

    def _boxes(self) -> dict[str, Box]:
        symbols = self._window.diagram.scene.symbols
        return {key: outline_box(symbols[key]) for key in self.keys()}

    def _do(self, words: str, make: Callable[[Mapping[str, At]], Mapping[str, At]], least: int = 1) -> None:
        window, keys = self._window, self.keys()
        if len(keys) < least:
            window.tell(
                f"Select at least {('one', 'two', 'three')[least - 1]} of what stands on the paper to {words}."
            )
            return
        page = window.diagram.scene.page
        said = f"{words} {keys[0]}" if len(keys) == 1 else f"{words} {len(keys)} symbols"
        do(
            window.diagram,
            lambda: change(window.session.harness, "pages", page.id, said, items=make(page.items)),
        )

    def align(self, line: Line) -> None:
        """Bring the selected symbols into line."""
        steps = arranging.aligned(self._boxes(), line)
        self._do("align", lambda items: arranging.stepped(items, steps), 2)

    def distribute(self, *, across: bool) -> None:
        """Make the gaps between the selected symbols equal."""
        steps = arranging.distributed(self._boxes(), across=across)
        self._do("distribute", lambda items: arranging.stepped(items, steps), 3)

    def turn(self) -> None:
        """Turn what is selected clockwise by a quarter."""
        self._do("turn", lambda items: arranging.turned(items, self.keys()))

    def mirror(self) -> None:
        """Mirror what is selected left to right."""
        self._do("mirror", lambda items: arranging.mirrored(items, self.keys()))

    def snap(self) -> None:
        """Put what is selected onto the grid."""
        self._do("put on the grid", lambda items: arranging.snapped(items, self.keys()))

    def arrange(self) -> None:
        """Arrange what is selected by itself, beside what stays."""
        harness, scene = self._window.session.harness, self._window.diagram.scene
        others = [
            outline_box(s) for k, s in scene.symbols.items() if k not in self.keys() and s.kind != "body"
        ]
        self._do("arrange", lambda _: arranged(harness, scene.page, self.keys(), others), 2)

    def group(self) -> None:
        """Set what is selected, or everything, side by side by zone."""
        window = self._window
        if not self.keys():
            window.session.select(window.diagram.scene.page.items)
        harness, page = window.session.harness, window.diagram.scene.page
        self._do("group by zone", lambda _: by_zone(harness, page, self.keys()), 2)


def arranging_commands(window: Window) -> list[Command]:
    """Return the commands of the menu 'Arrange'."""
    a, paper = Arranging(window), window.diagram

    def line(name: Line) -> Callable[[], None]:
        return lambda: a.align(name)

    return [
        *(Command(f"align_{name}", title, "Arrange/a", line(name), (keys,), a.able, on=paper)
          for name, title, keys in _LINES),
        Command("distribute_across", "Distribute from left to right", "Arrange/b",
                lambda: a.distribute(across=True), ("Ctrl+Alt+Right",), a.able, on=paper),
        Command("distribute_down", "Distribute from top to bottom", "Arrange/b",
                lambda: a.distribute(across=False), ("Ctrl+Alt+Down",), a.able, on=paper),
        Command("turn", "Turn by a quarter", "Arrange/c", a.turn, ("T",), a.able, on=paper),
        Command("mirror", "Mirror left to right", "Arrange/c", a.mirror, ("Shift+T",), a.able, on=paper),
        Command("snap", "Put on the grid", "Arrange/c", a.snap, ("S",), a.able, on=paper),
        Command("arrange_selected", "Arrange the selected only", "Arrange/d", a.arrange, ("A",), a.able, on=paper),
        Command("group_zones", "Group by zone", "Arrange/d", a.group, ("Z",), on=paper),
    ]  # fmt: skip
