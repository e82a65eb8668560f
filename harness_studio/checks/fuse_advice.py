"""Which rating a fuse should have: it carries its load and holds at switch-on; never more than its wires bear."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from harness_studio.model.parts import Part
from harness_studio.standards import fuse_bands
from harness_studio.standards.figures import NotJudged

from . import words
from .rules.fuse_load import style_of, surges
from .scope import Scope


@dataclass(frozen=True, slots=True)
class FuseAdvice:
    """A fuse: its present rating, the one proposed (None: leave it), why, and why there is no proposal."""

    fuse: str
    present_a: float | None
    proposed_a: float | None
    why: str
    problem: str | None = None


def needed_a(scope: Scope, fuse: Part) -> float | NotJudged | None:
    """Return the smallest rating that carries a fuse's load and its switch-on; None where it carries nothing.

    The continuous share of the limit set over every mode but cranking, then every surge within the shortest time of
    the band.
    """
    share = scope.limits["fuse_share"].value or 1.0
    amperes = max((s.branch_amperes(fuse.id) for s in scope.states if not s.cranking), default=0.0)
    if amperes <= 0.0:
        return None
    style = style_of(fuse)
    if style is None:
        return NotJudged("its style is not known, so neither are the ratings that are made")
    for rated_a in fuse_bands.ratings_a(style):
        if rated_a * share >= amperes and all(_holds(scope, fuse, style, rated_a)):
            return rated_a
    return NotJudged(f"no {style} fuse carries {words.amps(amperes)} and what its loads draw at switch-on")


def _holds(scope: Scope, fuse: Part, style: str, rated_a: float) -> Iterator[bool]:
    tried = replace(fuse, ratings=replace(fuse.ratings, rated_a=rated_a))
    for state in scope.states:
        if not state.cranking:
            for _, surge_a, duration_s, _ in surges(scope, state, tried):
                yield fuse_bands.holds(style, rated_a, surge_a, duration_s) is not False


def targets(scope: Scope, wires: Sequence[str]) -> tuple[dict[str, float], dict[str, FuseAdvice]]:
    """Return (rating each fuse before the wires is to have, advice by fuse); fuses without a rating to go by are left.

    A rating that is too small for the load is raised, to be borne by the wires; one that is not is kept.
    """
    ratings: dict[str, float] = {}
    advice: dict[str, FuseAdvice] = {}
    protection = scope.protection
    for fuse_id in dict.fromkeys(f for wire in wires for f in protection.before(wire)):
        fuse = scope.harness.parts[fuse_id]
        present, need = fuse.ratings.rated_a, needed_a(scope, fuse)
        if fuse.kind == "link":
            continue
        if isinstance(need, NotJudged):
            advice[fuse_id] = FuseAdvice(fuse_id, present, None, "", need.why)
            if present is not None:
                ratings[fuse_id] = present
        elif need is None and present is None:
            advice[fuse_id] = FuseAdvice(
                fuse_id, None, None, "", "it carries nothing in any mode, so no rating follows"
            )
        elif present is not None and (need is None or need <= present):
            ratings[fuse_id] = present
            advice[fuse_id] = FuseAdvice(fuse_id, present, None, _kept(present, need))
        elif need is not None:
            ratings[fuse_id] = need
            advice[fuse_id] = FuseAdvice(
                fuse_id, present, need, f"{need:g} A is the smallest that carries its load"
            )
    return ratings, advice


def _kept(present: float, need: float | None) -> str:
    if need is None or need == present:
        return f"{present:g} A carries its load"
    return f"{present:g} A carries its load; {need:g} A would, too"


def lower_ratings(scope: Scope, fuse_id: str) -> tuple[float, ...]:
    """Return the ratings below the present one that still carry a fuse's load, the largest first."""
    fuse = scope.harness.parts[fuse_id]
    need, present, style = needed_a(scope, fuse), fuse.ratings.rated_a, style_of(fuse)
    if not isinstance(need, float) or present is None or style is None:
        return ()
    return tuple(r for r in reversed(fuse_bands.ratings_a(style)) if need <= r < present)
