"""What of safety no mode of the file lets one judge: said, never passed in silence."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from harness_studio.checks import words
from harness_studio.checks.finding import Finding, finding
from harness_studio.checks.scope import Scope

from .safety import fuel_pump_word, key_off_because


def not_judged(scope: Scope) -> Iterator[Finding]:
    """Find fuel pumps, cut-offs and ignition switches that the modes of the file leave without a judgement.

    A fuel pump is judged in a mode in which the engine runs and it works, a cut-off in one in which the engine runs,
    loads that stay on in one with the key off. Nothing is said where not every mode was looked at.
    """
    if not scope.whole:
        return
    parts = scope.harness.parts.values()
    running = [state for state in scope.states if state.running]
    works = {load.part for state in running for load in state.loads}
    for pump in parts:
        if fuel_pump_word(pump) is not None and pump.id not in works:
            what = f"whether {scope.harness.title_of(pump.id)} stops with the engine"
            yield _told([pump.id], what, "it works in no mode with the engine running", "in which it works")
    for switch in parts:
        if switch.kind == "cut_off" and not running:
            what = f"whether {scope.harness.title_of(switch.id)} stops the engine"
            yield _told([switch.id], what, "the engine runs in no mode", "with all that it runs on")
    keys = [part.id for part in parts if part.kind == "ignition_switch"]
    if keys and all(key_off_because(scope, state) is None for state in scope.states):
        yield finding(
            "safety_not_judged",
            "note",
            keys,
            f"whether anything stays on with the key off was not judged: no mode has the engine off and "
            f"{words.listed(keys)} in a position that joins nothing",
            source="the modes of the file",
            method="not judged",
            remedy="record a mode with the key off",
        )


def _told(ids: Sequence[str], what: str, why: str, mode: str) -> Finding:
    return finding(
        "safety_not_judged",
        "note",
        ids,
        f"{what} was not judged: {why}",
        source="the modes of the file",
        method="not judged",
        remedy=f"record a mode with the engine running {mode}",
    )
