"""The room of drawing: its page is the stock, its commands place, lay, part and arrange."""

from __future__ import annotations

from typing import TYPE_CHECKING

from harness_studio.desktop.commands import Command
from harness_studio.desktop.rooms import Room

from .arranging import arranging_commands
from .clipboard import Clipboard
from .hanging import Hanging
from .loose_ends import LooseEnds
from .next_wire import NextWire
from .stock_page import StockPage
from .taking_out import TakingOut
from .ways import Ways

if TYPE_CHECKING:
    from harness_studio.desktop.window import Window


def open_room(window: Window) -> Room:
    """Make the stock and the commands of drawing."""
    page = StockPage(window)
    hanging, loose, out, ways = Hanging(window, page), LooseEnds(window), TakingOut(window), Ways(window)
    paper, clipboard = window.diagram, Clipboard(window, hanging)

    window.foot.stop.clicked.connect(ways.stop)
    next_wire = NextWire(window)
    window.foot.put_in(next_wire.button)
    column = window.stack.parentWidget()
    below = column.layout() if column is not None else None
    assert below is not None  # the window is put together by now
    below.addWidget(next_wire)

    def selected() -> bool:
        return bool(window.session.selection)

    return Room(
        {"stock": page},
        [
            Command("stock", "Stock: parts and connectors", "Draw/a", hanging.open_page, ("Ctrl+T",)),
            Command("place", "Place something from the stock…", "Draw/a", hanging.finder.open, ("N",), on=paper),
            Command("lay", "Lay a wire from the selected…", "Draw/a", loose.start, ("W",), on=paper),
            Command(
                "next_wire", "Size, colour and insulation of the next wire…", "Draw/a", next_wire.toggle, ("Shift+W",),
                on=paper,
            ),
            Command("copy", "Copy", "Draw/d", clipboard.copy, ("Ctrl+C",), selected, on=paper),
            Command("cut", "Cut", "Draw/d", clipboard.cut, ("Ctrl+X",), selected, on=paper),
            Command("paste", "Paste", "Draw/d", clipboard.paste, ("Ctrl+V",), on=paper),
            Command("duplicate", "Duplicate", "Draw/d", clipboard.duplicate, ("Ctrl+E",), selected, on=paper),
            Command(
                "duplicate_side", "Duplicate for the other side", "Draw/d", clipboard.other_side,
                ("Ctrl+Shift+E",), selected, on=paper,
            ),
            *arranging_commands(window),
            Command("reroute", "Re-route the selected wires", "Draw/c", ways.selected, ("R",), selected, on=paper),
            Command("reroute_page", "Re-route the whole page", "Draw/c", ways.page, ("Shift+R",), on=paper),
            Command("reroute_stop", "Stop laying wires", "Draw/c", ways.stop, ("Shift+Esc",)),
            Command("extend", "Extend the connector by a cavity", "Draw/b", out.extend, ("X",), selected, on=paper),
            Command(
                "take_out", "Take out with its wires", "Draw/b", out.with_wires, ("Del", "Backspace"), selected,
                on=paper,
            ),
            Command(
                "take_out_open", "Take out, leave its wires open", "Draw/b", out.leave_wires, ("Shift+Del",),
                selected, on=paper,
            ),
        ],
        follow=next_wire.follow,
        close=next_wire.close_session,
    )  # fmt: skip
