"""Bars and blocks: load of each ground and fuse, readings before and after, coupling between circuits."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from harness_studio.diagram.words import amperes, millivolts, per_cent

from .plot import Axis, Bar, Cell, Field, Panel, Plot, Spot

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from harness_studio.electrics.loading import Loading
    from harness_studio.electrics.readings import Change, Reading
    from harness_studio.session.session import Session

MOST_BARS = 14
MOST_CHANGES = 16
LEAST_MV_PER_A = 0.1


def loading_plot(session: Session) -> Plot | str:
    """Return what each ground and each fuse carries, the fuses beside their ratings."""
    from harness_studio.electrics.loading import loadings

    solution = session.solution
    if solution is None:
        return session.computed.problem or "Solving."
    found = loadings(session.harness, solution)
    grounds = [f for f in found if f.kind == "ground"]
    fuses = [f for f in found if f.kind == "fuse"]
    panels = tuple(
        _loads(session, title, some[:MOST_BARS], label)
        for title, some, label in (
            ("Grounds", grounds, "amperes"),
            ("Fuses", fuses, "per cent of the rating"),
        )
        if some
    )
    if not panels:
        return "This harness has neither grounds nor fuses."
    rows: tuple[tuple[Cell, ...], ...] = tuple(
        (
            f.id,
            f.kind,
            f.amperes,
            f.rated_a,
            None if f.part_of_rating is None else f.part_of_rating * 100,
            f.lost_v * 1e3,
        )
        for f in found
    )
    head = ("id", "what", "amperes", "rated A", "per cent of rating", "mV lost")
    return Plot(
        "Load of grounds and fuses", _mode(session), panels, None, head, rows, tuple(f.id for f in found)
    )


def _loads(session: Session, title: str, some: Sequence[Loading], label: str) -> Panel:
    rated = title == "Fuses"
    bars, spots, ticks = [], [], []
    for row, load in enumerate(some):
        part = load.part_of_rating
        value = (part or 0.0) * 100 if rated else load.amperes
        said = amperes(load.amperes) + (f" of {load.rated_a:g} A" if load.rated_a else "")
        over = rated and part is not None and part > 1.0
        bars.append(
            Bar(
                row,
                value,
                said + (" OVER" if over else ""),
                "stop" if over else "accent",
                100.0 if rated else None,
            )
        )
        about = f"{session.harness.title_of(load.id)}: {said}, {millivolts(load.lost_v * 1e3)} lost"
        spots.append(
            Spot(value, float(row), about + (f", {per_cent(part)}" if part is not None else ""), load.id)
        )
        ticks.append((float(row), load.id))
    most = max((b.value for b in bars), default=1.0)
    x = Axis(label, least=0.0, most=max(most * 1.35, 130.0 if rated else 0.1))
    return Panel(
        title, x, Axis("", ticks=tuple(ticks)), bars=tuple(bars), spots=tuple(spots), weight=len(some)
    )


def _mode(session: Session) -> str:
    mode = session.harness.modes.get(session.mode or "")
    return (mode.title or mode.id) if mode is not None else "as it stands"


def before_after(
    session: Session,
    before: Mapping[str, Reading],
    after: Mapping[str, Reading],
    names: tuple[str, str],
    about: str,
) -> Plot | str:
    """Return the readings that a person would notice to differ, as part of what one notices, beside their numbers."""
    from harness_studio.electrics.readings import compare, one_each

    changes = one_each([c for c in compare(before, after) if c.weight >= 1.0])
    if not changes:
        return f"{about}: no reading differs so that one would notice."
    shown = changes[:MOST_CHANGES]
    bars, spots, ticks = [], [], []
    for row, change in enumerate(shown):
        size = min(change.weight, 50.0)
        way = -1.0 if change.bad is None or (change.clean is not None and change.bad < change.clean) else 1.0
        said = f"{_value(change.clean, change.unit)} → {_value(change.bad, change.unit)}"
        bars.append(Bar(row, way * size, said, "stop" if way < 0 else "accent"))
        spots.append(Spot(way * size, float(row), f"{_title(session, change)}: {said}", _part(change)))
        ticks.append((float(row), change.reading))
    most = max(abs(b.value) for b in bars) * 1.25
    x = Axis("less  ·  times what one notices  ·  more", least=-most, most=most)
    panel = Panel("", x, Axis("", ticks=tuple(ticks)), bars=tuple(bars), spots=tuple(spots))
    head = ("reading", names[0], names[1], "unit", "times what one notices")
    rows = tuple((c.reading, c.clean, c.bad, c.unit, c.weight) for c in changes)
    return Plot("Before and after", about, (panel,), None, head, rows, tuple(_part(c) for c in changes))


def _value(value: float | None, unit: str) -> str:
    return "none" if value is None else f"{value:.3g} {unit}".replace(" of scale", "")


def _part(change: Change) -> str:
    return change.reading.split(" ")[0].split("/")[0]


def _title(session: Session, change: Change) -> str:
    return f"{session.harness.title_of(_part(change))}, {change.reading.rpartition(' ')[2]}"


def coupling_plot(session: Session) -> Plot | str:
    """Return how many millivolts each return rises per ampere of each other load, those that share metal together."""
    from harness_studio.electrics.coupling import coupling, in_blocks, return_points
    from harness_studio.electrics.sweep import prepare

    network, solution = session.computed.network, session.solution
    if network is None or solution is None or network.grounded is None:
        return session.computed.problem or "Solving."
    points = return_points(network, solution)
    if len(points) < 2:
        return "Fewer than two loads take part: nothing can disturb anything."
    found = in_blocks(coupling(prepare(network), points))
    values = found.mv_per_a.tolist()
    names = tuple(p.partition(".")[0] for p in found.points)
    said = tuple(
        tuple(
            f"1 A more of {session.harness.title_of(names[j])} moves the return of "
            f"{session.harness.title_of(names[i])} by {values[i][j]:.2f} mV"
            for j in range(len(names))
        )
        for i in range(len(names))
    )
    most = max(max(abs(v) for v in line) for line in values)
    field = Field(
        names, names, tuple(tuple(line) for line in values), said, "mV per A", LEAST_MV_PER_A, max(most, 1.0)
    )
    head = ("mV of rise per A of", *found.points)
    rows = tuple((p, *line) for p, line in zip(found.points, values, strict=True))
    about = f"{_mode(session)}: millivolts that a return rises per ampere of another load"
    return Plot("Coupling", about, (), field, head, rows, names)


def shade(value: float, field: Field) -> float:
    """Return where a value stands between the least and the most of a field, evenly by its logarithm: 0 to 1."""
    size = abs(value)
    if size <= field.least:
        return 0.0
    return min(1.0, math.log(size / field.least) / math.log(field.most / field.least))
