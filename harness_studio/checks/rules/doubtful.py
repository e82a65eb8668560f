"""What the numbers rest on: assumptions, limits that are not known, modes and islands without an answer."""

from __future__ import annotations

import re
from collections.abc import Iterator

from harness_studio.checks.finding import Finding, finding
from harness_studio.checks.how import How
from harness_studio.checks.scope import Scope, State
from harness_studio.network.wires import length_mm

_SOURCE = "what the file does not say"
_METHOD = "assumed by the solver"


def assumed(scope: Scope, state: State) -> Iterator[Finding]:
    """Find missing lengths, sizes, ratings and quantities for which the solver took something."""
    del scope
    for note in state.solution.assumed:
        lacking = re.search(r"not known|no quantity|assumed", note.what)
        if lacking:
            owner = note.id.partition("/")[0]
            yield finding(
                "assumed",
                "note",
                [owner] if owner == note.id else [owner, note.id],
                f"{note.id}: {note.what}",
                source=_SOURCE,
                method=_METHOD,
                remedy="measure it or read it off the part, and write it down",
                alike=note.what,
            )


def zero_length(scope: Scope) -> Iterator[Finding]:
    """Find wires of zero length: they lose nothing and warm nothing, which no wire does."""
    for wire in scope.harness.wires.values():
        if length_mm(scope.harness, wire) == 0.0:
            yield finding(
                "length_zero",
                "note",
                [wire.id],
                f"{wire.id} is 0 mm long: its drop cannot be judged",
                value=0.0,
                unit="mm",
                source=_SOURCE,
                method="as recorded",
                remedy="measure it",
                alike="0 mm long: the drop cannot be judged",
            )


def limits(scope: Scope) -> Iterator[Finding]:
    """Find limit sets, limits and ways to find ampacity that a project names and that are not there."""
    instead = {
        "limit set": f"{scope.limits.name} is used instead",
        "limit": "so it changes nothing",
        "way to find ampacity": f"{How(scope.limits.method, scope.limits.table)} is used, as the limit set says",
    }
    for one in scope.limits.strange:
        hint = f"; nearest is '{one.near}'" if one.near else ""
        yield finding(
            "limit_unknown",
            "mend",
            [],
            f"there is no {one.what} '{one.name}'{hint}, {instead[one.what]}",
            source="settings of the project file",
            method="as recorded",
            remedy=f"write {one.near}" if one.near else "write one of the known names",
        )


def unsolved(scope: Scope) -> Iterator[Finding]:
    """Find modes without a solution: nothing was judged in them."""
    for mode, why in scope.unsolved:
        yield finding(
            "mode_not_judged",
            "mend",
            [mode] if mode else [],
            f"mode {mode or 'without a name'} has no solution, so nothing was judged in it: {why}",
            source="the solver",
            method="not judged",
            remedy="mend what the message names",
        )


def islands(scope: Scope, state: State) -> Iterator[Finding]:
    """Find parts of the harness that have no way to the grounded post however switches and relays stand.

    What only an open contact or a load that is off parts from it is dead in the mode, as it should be.
    """
    joined = scope.joined
    for lost in state.solution.unsolved:
        if any(point in joined for point in lost.points):
            continue
        owners = list(dict.fromkeys(re.split(r"[.@]", point)[0] for point in lost.points))
        yield finding(
            "no_way_to_ground",
            "note",
            owners[:12],
            f"not judged: {lost.what}",
            source="the solver",
            method="not judged",
            remedy="record how it returns, or the battery if there is none",
        )
