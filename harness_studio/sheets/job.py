"""What is printed: a harness, the modes it was solved in, the paper and the day."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING

from harness_studio.base.errors import HarnessError
from harness_studio.model.entities import Annotation, Photo, Revision, Wire
from harness_studio.model.harness import Harness
from harness_studio.placing.links import owner

from .paper import Paper

if TYPE_CHECKING:
    from harness_studio.electrics.solution import Solution
    from harness_studio.network.network import Network

    from .diagram_art import Drawing

MOST_MODES = 3
"""So many modes have room beside one another."""


@dataclass(frozen=True, slots=True)
class InMode:
    """The harness solved in one mode."""

    id: str | None
    title: str
    network: Network
    solution: Solution

    def volt(self, point: str) -> float | None:
        """Return the volts of a point, None where it has none or is no point of this mode."""
        return self.solution.volt(point) if point in self.network.index else None


@dataclass(frozen=True, slots=True)
class Job:
    """Everything that a sheet is made from.

    Parameters
    ----------
    folder
        Where the project's photos lie; None where the harness has no file.
    ends
        Point → ids of the wires that end there.
    label_grid
        Name of the grid that labels are printed on; None takes the first one for the paper.
    halves
        Connector halves that a pinout is wanted of; empty for all.
    drawn
        The pages of the diagram once a sheet has drawn them: the diagram and its poster take the same.
    """

    harness: Harness
    paper: Paper
    modes: tuple[InMode, ...]
    day: str
    folder: Path | None = None
    ends: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    label_grid: str | None = None
    halves: tuple[str, ...] = ()
    drawn: list[Drawing] = field(default_factory=list, compare=False)

    @property
    def revision(self) -> Revision | None:
        """The latest revision, None where there is none."""
        return next(reversed(self.harness.tables["revisions"].values()), None)

    def annotations_on(self, *prefixes: str) -> list[Annotation]:
        """Return the notes on things, or on points of them."""
        return [
            a
            for a in self.harness.tables["annotations"].values()
            if owner(a.on) in prefixes or a.on in prefixes
        ]

    def photos_of(self, thing: str) -> list[Photo]:
        """Return the photos that show a thing."""
        return [p for p in self.harness.tables["photos"].values() if thing in p.on]


def ends_by_point(harness: Harness) -> dict[str, tuple[str, ...]]:
    """Return point → wires that end there, in file order."""
    found: dict[str, list[str]] = {}
    for wire in harness.wires.values():
        for end in wire.ends:
            if end.point is not None:
                found.setdefault(end.point, []).append(wire.id)
    return {point: tuple(dict.fromkeys(ids)) for point, ids in found.items()}


def far_end(harness: Harness, wire: Wire, at: str) -> str:
    """Return where a wire goes from a point: the address, and the title of what is there."""
    end = wire.other_end(at)
    if end.point is None:
        return {"cut": "cut off", "unknown": "not known"}.get(end.what, f"'{end.text}'")
    title = harness.title_of(owner(end.point)).partition(" ")[2]
    return f"{end.point} {title}" if title else end.point


def solved_in(harness: Harness, mode_ids: Sequence[str] | None) -> tuple[InMode, ...]:
    """Solve a harness in modes; None takes the first ones of the file, or the harness without a mode.

    Raises
    ------
    HarnessError
        If there is no such mode, or more are asked for than have room.
    """
    from harness_studio.electrics.solve import solve
    from harness_studio.network.expand import expand

    if mode_ids is None:
        chosen: list[str | None] = [*[*harness.modes][:MOST_MODES]] or [None]
    else:
        chosen = list(dict.fromkeys(mode_ids))
    if len(chosen) > MOST_MODES:
        raise HarnessError(f"{len(chosen)} modes are too many for a sheet: choose up to {MOST_MODES}")
    if not harness.wires and not harness.parts:
        return ()
    found = []
    for mode in chosen:
        network = expand(harness, mode)
        title = "no mode" if mode is None else harness.modes[mode].title or mode
        found.append(InMode(mode, title, network, solve(network)))
    return tuple(found)
