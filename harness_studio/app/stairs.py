"""The voltage staircase of a load as text and as JSON."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from .output import amperes, millivolts, table, volts
from .solving import Solved

if TYPE_CHECKING:
    from harness_studio.electrics.solution import Solution
    from harness_studio.electrics.staircase import Step


def lines(done: Solved, load: str, steps: Sequence[Step], clean: Solution) -> list[str]:
    """Return the steps as a table, heading first."""
    from harness_studio.electrics.staircase import volts_along
    from harness_studio.network.words import KINDS

    title = done.harness.title_of(load.partition("/")[0])
    if not steps:
        return [f"{title} is not fed through metal in this mode: it has no staircase; {done.mode_words}"]
    clean_v = volts_along(steps, clean)
    rows = [
        (
            step.address,
            step.side,
            "load" if step.side == "load" else KINDS.get(step.kind, step.kind),
            volts(step.from_v),
            volts(step.to_v),
            millivolts(step.lost_v * 1e3),
            millivolts((clean_v[i] - clean_v[i + 1]) * 1e3),
            amperes(step.amperes),
        )
        for i, step in enumerate(steps)
    ]
    head = ("step", "side", "what", "before", "after", "lost", "clean", "current")
    return [f"{title}, from post to post; {done.mode_words}", "", *table(head, rows, right=(3, 4, 5, 6, 7))]


def as_json(steps: Sequence[Step], clean: Solution) -> list[dict[str, Any]]:
    """Return the steps; volts lost in the clean harness are null where a point is not there."""
    from harness_studio.electrics.staircase import volts_along

    clean_v = volts_along(steps, clean)
    return [
        {
            "step": step.address,
            "side": step.side,
            "kind": step.kind,
            "from": step.from_point,
            "to": step.to_point,
            "from_v": step.from_v,
            "to_v": step.to_v,
            "lost_v": step.lost_v,
            "clean_lost_v": clean_v[i] - clean_v[i + 1],
            "amperes": step.amperes,
        }
        for i, step in enumerate(steps)
    ]
