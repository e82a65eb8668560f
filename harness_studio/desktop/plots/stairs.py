"""The voltage staircase of a load: what is lost step by step, feed side above, return side below."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from harness_studio.diagram.words import amperes, millivolts, volts
from harness_studio.network.words import kind_words
from harness_studio.placing.links import thing_of

from .plot import Axis, Line, Note, Panel, Plot, Spot

if TYPE_CHECKING:
    from harness_studio.electrics.staircase import Step
    from harness_studio.model.harness import Harness
    from harness_studio.session.session import Session

NAMED = 4
"""How many steps of a side are named in the picture; all are in the table."""
LEAST_NAMED_V = 0.005
HEAD = ("step", "side", "what", "volts before", "volts after", "mV lost", "mV lost, clean", "amperes")


def stairs(session: Session, load: str) -> Plot | str:
    """Return the staircase of a load; words for why there is none."""
    from harness_studio.electrics.staircase import staircase, volts_along

    computed = session.computed
    if computed.network is None or computed.solution is None:
        return computed.problem or "Solving."
    steps = staircase(computed.network, computed.solution, load, session.chosen)
    if not steps:
        return f"{session.harness.title_of(load)} is not fed through metal in this mode: it has no staircase."
    clean_v = volts_along(steps, computed.clean_solution or computed.solution)
    middle = next(i for i, s in enumerate(steps) if s.side == "load")
    feed, own, back = steps[:middle], steps[middle], steps[middle + 1 :]
    whole = steps[0].from_v - steps[-1].to_v
    by = f" by {session.chosen}" if session.chosen in {s.address for s in steps} else ""
    about = f"{session.harness.title_of(load)}{by}: {volts(abs(own.lost_v))} of {volts(whole)}, {amperes(own.amperes)}"
    panels = (
        _panel(
            session.harness, f"Feed side, {_mv(feed)} lost", feed, clean_v[: middle + 1], ("battery", "load")
        ),
        _panel(
            session.harness, f"Return side, {_mv(back)} lost", back, clean_v[middle + 1 :], ("load", "post")
        ),
    )
    rows = tuple(
        (s.address, s.side, _what(session, s), s.from_v, s.to_v, s.lost_v * 1e3, (clean_v[i] - clean_v[i + 1]) * 1e3,
         s.amperes)
        for i, s in enumerate(steps)
    )  # fmt: skip
    return Plot(
        "Voltage staircase", about, panels, None, HEAD, rows, tuple(thing_of(s.address) for s in steps)
    )


def _mv(steps: Sequence[Step]) -> str:
    return millivolts(sum(s.lost_v for s in steps) * 1e3)


def _what(session: Session, step: Step) -> str:
    if step.side == "load":
        return "load"
    if step.kind == "wire":
        return "wire"
    network = session.computed.network
    return kind_words(network, step.address) if network is not None and step.kind != "body" else "body metal"


def _panel(
    harness: Harness, title: str, steps: Sequence[Step], clean_v: Sequence[float], ends: tuple[str, str]
) -> Panel:
    """Return one side as treads: each holds the volts of its point, then falls by what its step loses."""
    levels = [s.from_v for s in steps[:1]] + [s.to_v for s in steps]
    x, y = _treads(levels)
    clean_x, clean_y = _treads(clean_v)
    spots = [
        Spot(
            i + 1.0,
            (s.from_v + s.to_v) / 2,
            f"{_named(harness, s)}: {millivolts(s.lost_v * 1e3)} lost at {amperes(abs(s.amperes))}, "
            f"clean {millivolts((clean_v[i] - clean_v[i + 1]) * 1e3)}; {s.from_v:.3f} to {s.to_v:.3f} V",
            thing_of(s.address),
        )
        for i, s in enumerate(steps)
    ]
    worst = sorted(range(len(steps)), key=lambda i: -abs(steps[i].lost_v))[:NAMED]
    half = len(steps) / 2
    notes = []
    for i in worst:
        if abs(steps[i].lost_v) >= LEAST_NAMED_V:
            said = f"{steps[i].address} {millivolts(steps[i].lost_v * 1e3)}"
            early = i < half
            notes.append(
                Note(
                    i + 1.0, levels[i + 1] if early else levels[i], said, "ink", "right" if early else "left"
                )
            )
    lines = (
        Line("clean", clean_x, clean_y, "muted", "dash", "", 1.5),
        Line("now", x, y, "accent", "solid", "", 2.5),
    )
    axis = Axis("", ticks=((0.5, ends[0]), (len(steps) + 0.5, ends[1])), least=-0.5, most=len(steps) + 1.5)
    return Panel(
        title, axis, Axis("volts"), lines, (), tuple(notes), tuple(spots), legend=ends[0] == "battery"
    )


def _treads(levels: Sequence[float]) -> tuple[list[float], list[float]]:
    x, y = [], []
    for i, level in enumerate(levels):
        x += [float(i), float(i + 1)]
        y += [level, level]
    return x, y


def _named(harness: Harness, step: Step) -> str:
    titled = harness.title_of(thing_of(step.address))
    return step.address if titled == step.address else f"{step.address} ({titled})"
