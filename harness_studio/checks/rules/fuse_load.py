"""Fuses carry their load: all the time, and at switch-on."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from harness_studio.checks import words
from harness_studio.checks.finding import Finding, finding
from harness_studio.checks.scope import Scope, State
from harness_studio.model.parts import Part
from harness_studio.network.fixtures import FUSE_KINDS
from harness_studio.standards import fuse_bands, fuses
from harness_studio.standards.figures import Figure, NotJudged

_SOLVED = "solved current"


def fuses_in(scope: Scope) -> Iterator[Part]:
    """Yield the fuses, breakers and links."""
    return (part for part in scope.harness.parts.values() if part.kind in FUSE_KINDS)


def style_of(part: Part) -> str | None:
    """Return a fuse's style where it is one that is known."""
    style = getattr(part.ratings, "style", None)
    return style if style in fuses.styles() else None


def carries(scope: Scope, state: State) -> Iterator[Finding]:
    """Find fuses that carry more than their continuous share; while cranking, more than they are sure to hold."""
    share = scope.limits["fuse_share"]
    for part in fuses_in(scope):
        rated_a, amperes = part.ratings.rated_a, state.branch_amperes(part.id)
        if rated_a is None or share.value is None or amperes <= share.value * rated_a:
            continue
        if state.cranking and _holds(part, amperes, scope.limits.value("crank_s")):
            continue
        bigger = _next(part, amperes / share.value)
        over = amperes > rated_a
        will = "and will blow in time" if over else "and runs warm"
        yield finding(
            "fuse_load",
            "mend",
            [part.id],
            f"{scope.harness.title_of(part.id)} ({rated_a:g} A) carries {words.amps(amperes)}, "
            f"{amperes / rated_a:.0%} of its rating, {will}; {share.value:.0%} at most",
            value=amperes,
            limit=share.value * rated_a,
            unit="A",
            source=f"limit {share.name}: {share.source}",
            sureness=share.sureness,
            method=_SOLVED,
            remedy=f"{bigger}, but only if every wire behind it may carry that; else share the loads over two fuses",
        )


def _holds(part: Part, amperes: float, duration_s: float) -> bool:
    style = style_of(part)
    return style is not None and fuse_bands.holds(style, part.ratings.rated_a, amperes, duration_s) is True


def _next(part: Part, amperes: float) -> str:
    style = style_of(part)
    found = fuse_bands.next_rating(style, amperes) if style else NotJudged("")
    return (
        f"the next rating that carries it is {found.value:g} A"
        if isinstance(found, Figure)
        else "a larger rating"
    )


def inrush(scope: Scope, state: State) -> Iterator[Finding]:
    """Find fuses that may blow when their loads are switched on: lamps all at once, motors one at a time."""
    for part in fuses_in(scope):
        style, rated_a = style_of(part), part.ratings.rated_a
        if style is None or rated_a is None:
            continue
        for what, amperes, duration_s, source in surges(scope, state, part):
            held = fuse_bands.holds(style, rated_a, amperes, duration_s)
            if held is not False:
                continue
            band = fuse_bands.band(style, rated_a, amperes)
            assert not isinstance(band, NotJudged)
            yield finding(
                "fuse_inrush",
                "mend",
                [part.id],
                f"{scope.harness.title_of(part.id)} ({rated_a:g} A) may blow when {what}: {words.amps(amperes)} for "
                f"{words.seconds(duration_s)}, it is sure to hold that for {words.seconds(band.shortest_s)} only",
                value=duration_s,
                limit=band.shortest_s,
                unit="s",
                source=f"{band.source} | {source}",
                sureness="memory",
                method=fuse_bands.METHOD,
                remedy="a slower style or the next rating, if every wire behind it may carry that",
            )


def surges(scope: Scope, state: State, fuse: Part) -> Iterator[tuple[str, float, float, str]]:
    """Yield (what happens, amperes, seconds, source) of the switch-on currents that a fuse sees in a mode."""
    steady = state.branch_amperes(fuse.id)
    if steady <= 0.0:
        return
    behind = scope.protection.downstream(fuse.id)
    lamps = starts = 0.0
    starter = ""
    for load in state.loads:
        if load.feed is None or scope.here(state, load.feed) not in behind:
            continue
        ratings = ratings_of(state, load.element)
        if load.kind == "lamp":
            lamps += load.amperes * (
                limited(state, load.amperes, load.path_drop_v, ratings.hot_to_cold) - 1.0
            )
        else:
            first_a = getattr(ratings, "inrush_a", None) or getattr(ratings, "stall_a", None)
            if first_a is not None and load.kind != "starter" and first_a - load.amperes > starts:
                starts, starter = first_a - load.amperes, load.element
    if lamps > 0.0:
        limit = scope.limits["lamp_start_s"]
        # A pulse that dies away with a time constant heats like its peak for half of it.
        yield (
            "its lamps come on cold together", steady + lamps, (limit.value or 0.0) / 2,
            f"limit {limit.name}: {limit.source}; an exponential pulse counts as I²t = Ip²·τ/2, fuse selection guide",
        )  # fmt: skip
    if starts > 0.0:
        limit = scope.limits["start_s"]
        name = words.load_name(scope.harness, starter)
        yield f"{name} starts", steady + starts, limit.value or 0.0, f"limit {limit.name}: {limit.source}"


def ratings_of(state: State, element: str) -> Any:
    """Return the ratings of an element; a lamp's filament has the hot-to-cold ratio of its lamp."""
    part = state.scope.harness.parts[element.partition("/")[0]]
    return part.ratings


def limited(state: State, amperes: float, path_drop_v: float | None, hot_to_cold: float) -> float:
    """Return how many times its steady current a cold lamp draws, the wires to it in series."""
    if state.posts is None or path_drop_v is None:
        return hot_to_cold
    supply_v = state.posts.volts(state.solution)
    wires_ohm = max(path_drop_v, 0.0) / amperes
    lamp_ohm = max(supply_v - path_drop_v, 0.0) / amperes
    return (wires_ohm + lamp_ohm) / (wires_ohm + lamp_ohm / hot_to_cold) if lamp_ohm else hot_to_cold
