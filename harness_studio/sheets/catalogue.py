"""Which sheets there are, in the order in which a set is bound."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

from harness_studio.base.errors import HarnessError, nearest

from . import (
    build_board,
    build_board_full,
    case_sheet,
    cover,
    diagram_page,
    findings,
    fuse_card,
    ground_list,
    joining,
    labels,
    load_list,
    parts_list,
    pinout,
    power_up,
    testing,
    testing_more,
    wire_list,
)
from .job import Job
from .leaf import Leaf

Make = Callable[[Job], list[Leaf]]


@dataclass(frozen=True, slots=True)
class Sheet:
    """One kind of sheet: the name it is asked for by, what it holds, and what lays it out.

    One that stands apart is printed only when it is asked for by name.
    """

    name: str
    holds: str
    make: Make
    apart: bool = False

    @property
    def title(self) -> str:
        """What it is called in a list."""
        return TITLES[self.name]


TITLES = {
    "cover": "Cover", "diagram": "Diagram", "poster": "Poster, tiled", "pinout": "Pinouts", "grounds": "Ground list",
    "fuses": "Fuse and relay card", "wires": "Wire list", "cutting": "Cut list", "splices": "Splice list",
    "loads": "Load list", "budget": "Battery and alternator budget", "parts": "Parts list", "joining": "Joining sheet",
    "build_board": "Build board, to scale", "build_board_1to1": "Build board 1:1, tiled", "ringing": "Ring-out",
    "power_up": "First power-up", "testing": "Test sheet",
    "case_testing": "Test sheet of open cases", "findings": "Findings", "cases": "Case sheets",
    "labels": "Wire labels", "tags": "Tags with QR code",
}  # fmt: skip

_ALL = (
    Sheet("cover", "what is in force, cautions, revisions, contents", cover.alone),
    Sheet("diagram", "each page of the diagram on one sheet", diagram_page.diagram),
    Sheet("poster", "the diagram tiled at a legible size, with overlap and match marks", diagram_page.poster),
    Sheet("pinout", "each connector's face in both views and its cavities", pinout.pinout),
    Sheet(
        "grounds", "each ground's stack, who returns there with share and amperes", ground_list.ground_list
    ),
    Sheet("fuses", "fuses and relays of each box, what they feed and carry", fuse_card.fuse_card),
    Sheet("wires", "every wire with both ends, circuit by circuit", wire_list.wire_list),
    Sheet("cutting", "what is cut, by size and colour, with boxes to tick and sums", wire_list.cut_list),
    Sheet("splices", "every splice with its place, method and wires", wire_list.splice_list),
    Sheet("loads", "every load with rating, fuse, ground and what it takes", load_list.load_list),
    Sheet("budget", "battery and alternator against the loads, mode by mode", load_list.budget),
    Sheet(
        "parts", "devices, connectors, contacts, seals, plugs, rings, splices, counted", parts_list.parts_list
    ),
    Sheet("joining", "where two harnesses meet, and wires that are planned anew", joining.joining),
    Sheet("build_board", "the bundle in true lengths at 1:n, with its runs and tails", build_board.to_scale),
    Sheet(
        "build_board_1to1",
        "the same at 1:1, tiled; only when asked for",
        build_board_full.full_size,
        apart=True,
    ),
    Sheet("ringing", "each wire to its end, not to ground or neighbours", power_up.ring_out),
    Sheet("power_up", "first power-up: fuses in one by one", power_up.power_up),
    Sheet("testing", "readings on one walk round the vehicle, with what to expect", testing.test_sheet),
    Sheet(
        "case_testing",
        "the readings that decide the open cases; only when asked for",
        testing_more.case_tests,
        apart=True,
    ),
    Sheet("findings", "what the checks say, by grade, with limit, source and what to do", findings.findings),
    Sheet("cases", "complaint, sightings, readings before and after, mend", case_sheet.case_sheet),
    Sheet("labels", "both ends of every wire, the text twice, on a common label grid", labels.wire_labels),
    Sheet("tags", "harness and connectors with a QR code, on a common label grid", labels.tags),
)
SHEETS: Mapping[str, Sheet] = {s.name: s for s in _ALL}


def chosen(names: Sequence[str]) -> list[Sheet]:
    """Return sheets by name, each once, in the order asked for; for no name all that do not stand apart.

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
    return [SHEETS[name] for name in dict.fromkeys(names or [n for n, s in SHEETS.items() if not s.apart])]
