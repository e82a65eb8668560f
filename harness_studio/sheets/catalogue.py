"""Which sheets there are, in the order in which a set is bound."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

from harness_studio.base.errors import HarnessError, nearest

from . import diagram_page, fuse_card, ground_list, pinout, wire_list
from .job import Job
from .leaf import Leaf

Make = Callable[[Job], list[Leaf]]


@dataclass(frozen=True, slots=True)
class Sheet:
    """One kind of sheet: the name it is asked for by, what it holds, and what lays it out."""

    name: str
    holds: str
    make: Make


_ALL = (
    Sheet("diagram", "each page of the diagram on one sheet", diagram_page.diagram),
    Sheet("poster", "the diagram tiled at a legible size, with overlap and match marks", diagram_page.poster),
    Sheet("pinout", "each connector's face in both views and its cavities", pinout.pinout),
    Sheet(
        "grounds", "each ground's stack, who returns there with share and amperes", ground_list.ground_list
    ),
    Sheet("wires", "every wire with both ends, circuit by circuit", wire_list.wire_list),
    Sheet("cutting", "what is cut, by size and colour, with boxes to tick and sums", wire_list.cut_list),
    Sheet("fuses", "fuses and relays of each box, what they feed and carry", fuse_card.fuse_card),
    Sheet("splices", "every splice with its place, method and wires", wire_list.splice_list),
)
SHEETS: Mapping[str, Sheet] = {s.name: s for s in _ALL}


def chosen(names: Sequence[str]) -> list[Sheet]:
    """Return sheets by name, each once, in the order asked for; all for no name.

    Raises
    ------
    HarnessError
        If there is no such sheet.
    """
    for name in names:
        if name not in SHEETS:
            near = nearest(name, SHEETS)
            hint = f"nearest is '{near}'" if near else f"there are {', '.join(SHEETS)}"
            raise HarnessError(f"there is no sheet '{name}'; {hint}")
    return [SHEETS[name] for name in dict.fromkeys(names or SHEETS)]
