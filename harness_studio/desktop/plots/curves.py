"""Readings against a joint's resistance, and a fuse's time band against what its wires withstand."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from harness_studio.base.units import show_mohm
from harness_studio.diagram.words import amperes
from harness_studio.standards.figures import NotJudged

from .plot import Axis, Cell, Dash, Line, Mark, Panel, Plot, Spot

if TYPE_CHECKING:
    from harness_studio.checks.curves import FuseCurves
    from harness_studio.electrics.against import Against
    from harness_studio.model.harness import Harness
    from harness_studio.session.session import Session

WIRE_LOOKS: tuple[tuple[str, Dash, Mark], ...] = (
    ("accent", "solid", "o"), ("ink", "solid", "d"), ("muted", "solid", "s"),
)  # fmt: skip
"""Colour, dash and mark of each wire in turn."""
OPEN_MOHM = 31_623.0
"""Where 'open' stands on an axis of milliohms that ends at 10 Ω."""
FOREVER_S = 1000.0
SOONEST_S = 0.001


def against_plot(harness: Harness, found: Against) -> Plot:
    """Return the readings against a joint's resistance, a panel for each, marked where they were solved."""
    mohm = [OPEN_MOHM if math.isinf(o) else o * 1e3 for o in found.ohm]
    ticks = (
        (1.0, "1"),
        (10.0, "10"),
        (100.0, "100"),
        (1000.0, "1 Ω"),
        (10_000.0, "10 Ω"),
        (OPEN_MOHM, "open"),
    )
    here = (max(1.0, found.present_ohm * 1e3), f"now {show_mohm(found.present_ohm)}")
    panels = []
    for number, (key, values) in enumerate(found.values.items()):
        unit, last = found.units[key], number == len(found.values) - 1
        spots = tuple(
            Spot(at, value, f"{_whose(harness, key)}: {value:.4g} {unit} at {show_mohm(ohm)}", _part(key))
            for at, ohm, value in zip(mohm, found.ohm, values, strict=True)
            if value is not None
        )
        x = Axis("mΩ of the joint" if last else "", log=True, ticks=ticks, least=0.8, most=OPEN_MOHM * 1.25)
        line = Line(key, mohm, list(values), "accent", "solid", "o")
        panels.append(
            Panel(
                _whose(harness, key),
                x,
                Axis(unit),
                (line,),
                spots=spots,
                here=here if last else (here[0], ""),
            )
        )
    head = ("mΩ", *(f"{key} ({found.units[key]})" for key in found.values))
    rows: tuple[tuple[Cell, ...], ...] = tuple(
        ("open" if math.isinf(o) else o * 1e3, *(found.values[key][i] for key in found.values))
        for i, o in enumerate(found.ohm)
    )
    about = f"{harness.title_of(found.joint)}, {show_mohm(found.present_ohm)} now"
    if not found.values:
        about += ": nobody would notice it at any resistance"
    return Plot("Readings against resistance", about, tuple(panels), None, head, rows, ("",) * len(rows))


def _part(key: str) -> str:
    return key.partition(" ")[0].partition("/")[0]


def _whose(harness: Harness, key: str) -> str:
    element, _, what = key.partition(" ")
    part, _, name = element.partition("/")
    return f"{harness.title_of(part)}{', ' + name if name else ''}, {what}"


def fuse_plot(session: Session, fuse: str) -> Plot | str:
    """Return a fuse's band and its wires' curves; words for why there are none."""
    from harness_studio.checks.curves import fuse_curves

    network = session.computed.network
    if network is None:
        return session.computed.problem or "Solving."
    found = fuse_curves(session.harness, network, fuse)
    if isinstance(found, NotJudged):
        return found.why
    time = Axis("seconds", log=True, least=SOONEST_S, most=FOREVER_S)
    here = (found.rated_a, f"rated {found.rated_a:g} A")
    panel = Panel("", Axis("amperes", log=True), time, tuple(_fuse_lines(found)), spots=tuple(_fuse_spots(found)),
                  here=here, legend=True)  # fmt: skip
    verdict = (
        f"from {amperes(found.crosses_a)} on a wire may go first"
        if found.crosses_a is not None
        else "the fuse clears before any of its wires is damaged"
    )
    names = (f"{w.wire} withstands, s" for w in found.wires)
    head = ("amperes", "clears after at most, s", "holds at least, s", *names)
    rows = tuple(
        (
            a,
            _cell(found.longest_s[i]),
            found.shortest_s[i] or None,
            *(_cell(w.seconds[i]) for w in found.wires),
        )
        for i, a in enumerate(found.amperes)
    )
    about = f"{session.harness.title_of(fuse)}: {verdict}"
    source = f"{found.source} ({found.sureness})"
    return Plot("Fuse band and wires", about, (panel,), None, head, rows, (fuse,) * len(rows), source)


def _fuse_lines(found: FuseCurves) -> Iterator[Line]:
    yield Line("clears at the latest", found.amperes, _between(found.longest_s), "stop", "solid", "", 2.0)
    if any(s > 0 for s in found.shortest_s):
        shortest = [max(SOONEST_S, min(FOREVER_S, s)) for s in found.shortest_s]
        yield Line("holds at least", found.amperes, shortest, "stop", "dot", "", 2.0)
    for number, wire in enumerate(found.wires):
        alike = f" and {len(wire.beside)} alike" if wire.beside else ""
        yield Line(
            f"{wire.wire}{alike} withstands", found.amperes, _between(wire.seconds), *WIRE_LOOKS[number]
        )


def _fuse_spots(found: FuseCurves) -> Iterator[Spot]:
    for i, (a, s) in enumerate(zip(found.amperes, _between(found.longest_s), strict=True)):
        if s is not None:
            yield Spot(a, s, f"{amperes(a)}: {found.fuse} {_within(found.longest_s[i])}", found.fuse)
    for wire in found.wires:
        for i, (a, s) in enumerate(zip(found.amperes, _between(wire.seconds), strict=True)):
            if s is not None:
                yield Spot(
                    a, s, f"{amperes(a)}: {wire.wire} bears it for {_seconds(wire.seconds[i])}", wire.wire
                )


def _between(seconds: Sequence[float]) -> list[float | None]:
    return [s if SOONEST_S / 4 <= s <= FOREVER_S * 4 else None for s in seconds]


def _cell(seconds: float) -> Cell:
    return "for good" if math.isinf(seconds) else seconds


def _within(seconds: float) -> str:
    return "need not clear" if math.isinf(seconds) else f"has cleared after {_seconds(seconds)}"


def _seconds(seconds: float) -> str:
    if math.isinf(seconds):
        return "good"
    return f"{seconds:.0f} s" if seconds >= 10 else f"{seconds:.2g} s"
