"""The ground map of one joint as text: who shares it, how much, and what each moves there."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

from harness_studio.model.harness import Harness

from .output import amperes, millivolts, per_cent, table, volts

if TYPE_CHECKING:
    from harness_studio.electrics.pulled import Pulled
    from harness_studio.electrics.shares import Share, Shares
    from harness_studio.electrics.what_if import WhatIf

WAYS = {"only": "only way", "main": "main way", "some": "some", "minor": "minor", "none": "no way"}
FOLDED = ("minor", "none")
"""Shares below 5 %: counted, not listed."""
LEAST_MOVED_A = 0.05
MOST_CHANGED = 6


def lines(
    harness: Harness, found: Shares, mode_words: str, also: Mapping[str, tuple[str, ...]] | None = None
) -> list[str]:
    """Return the ground map, heading first; `also` names by return point the other grounds that loads get back by.

    Shares are signed by the joint's own direction; here they are positive the way most of the current goes.
    """
    if found.sink is None and found.rows and all(row.element is None for row in found.rows):
        return [f"{harness.title_of(found.joint)}, {mode_words}", *_unfed(harness, found)]
    listed = [row for row in found.rows if row.way not in FOLDED]
    sign = -1.0 if sum(row.share * (row.amperes or 1e-12) for row in listed) < 0 else 1.0
    text = [f"{harness.title_of(found.joint)}, {mode_words}", _summary(found, listed)]
    if listed:
        head = ("load", "circuit", "share", "way", "current", "moves it", "also by")
        also = also or {}
        rows = [(*_cells(harness, row, sign), ", ".join(also.get(row.point, ()))) for row in listed]
        text += ["", *table(head, rows, right=(2, 4, 5))]
    more = len(found.rows) - len(listed)
    if more:
        text.append(f"{more} more below 5 %")
    return text


def _unfed(harness: Harness, found: Shares) -> list[str]:
    """Return what meets at a joint for which the file names neither a source nor a ground."""
    many = "1 end meets" if len(found.rows) == 1 else f"{len(found.rows)} ends meet"
    rows = [
        (row.point, row.circuit or "", harness.title_of(row.part).removeprefix(row.part).strip())
        for row in found.rows
    ]
    return [
        f"{many} here; neither a source nor a ground of theirs is recorded, so no shares can be told",
        "",
        *table(("end", "circuit", "at"), rows),
    ]


def _summary(found: Shares, listed: Sequence[Share]) -> str:
    doing = "return here" if found.side == "return" else "are fed through here"
    many = f"{len(listed)} loads {doing}" if len(listed) != 1 else f"1 load {doing.replace('are', 'is')}"
    if len(listed) == 1:
        many = many.replace("return ", "returns ")
    to = f", towards {found.sink}" if found.sink else ""
    rise = f"; rise {volts(found.rise_v)}" if found.side == "return" and found.rise_v is not None else ""
    return f"{many}{to}: {amperes(abs(found.joint_amperes))} now, {millivolts(abs(found.drop_v) * 1e3)} lost{rise}"


def _cells(harness: Harness, row: Share, sign: float) -> tuple[str, ...]:
    return (
        load_words(harness, row),
        row.circuit or "",
        per_cent(sign * row.share),
        WAYS[row.way],
        amperes(row.amperes),
        millivolts(sign * row.moved_mv),
    )


def load_words(harness: Harness, row: Share) -> str:
    """Return a load as a person reads it: 'E5 Rear lamp left, stop'; a point of an imported harness as it is."""
    if row.element is None:
        return row.point
    name = row.element.partition("/")[2]
    return harness.title_of(row.part) + (f", {name}" if name else "")


def pulled_line(harness: Harness, found: Pulled | None, joint: str) -> str:
    """Return what an open joint does, in one line."""
    if found is None:
        return "If it were open: no answer"
    from harness_studio.electrics.pulled import part_of

    part = harness.parts.get(joint)
    when = (
        "If it is pulled"
        if part is not None and part.kind in ("fuse", "breaker", "link")
        else "If it were open"
    )
    dead = ", ".join(harness.title_of(p) for p in found.dead_parts) or "nothing"
    names = [harness.title_of(part_of(c)) for c in found.changed]
    changed = ", ".join(names[:MOST_CHANGED]) + (
        f" and {len(names) - MOST_CHANGED} more" if len(names) > MOST_CHANGED else ""
    )
    return f"{when}: dead {dead}" + (f"; changed {changed}" if changed else "")


def moved_lines(harness: Harness, found: WhatIf, words: str, mode_words: str) -> list[str]:
    """Return what a move would change: readings one would notice, then the grounds whose load changes."""
    changes = [c for c in found.changes if c.weight >= 1.0]
    rows = [
        (
            c.reading,
            _plain(c.clean),
            _plain(c.bad),
            c.unit,
            harness.title_of(c.reading.partition(" ")[0].split("/")[0]),
        )
        for c in changes
    ]
    text = [f"{words}; {mode_words}"]
    if rows:
        text += ["", *table(("reading", "before", "after", "", "of"), rows, right=(1, 2))]
    else:
        text += ["", "no reading changes so that one would notice"]
    grounds = [
        (
            harness.title_of(g.ground),
            amperes(g.before_a),
            amperes(g.after_a),
            volts(g.before_v),
            volts(g.after_v),
        )
        for g in found.grounds
        if abs(g.after_a - g.before_a) >= LEAST_MOVED_A
    ]
    head = ("ground", "amperes before", "after", "rise before", "after")
    return [*text, "", *table(head, grounds, right=(1, 2, 3, 4))] if grounds else text


def _plain(value: float | None) -> str:
    return "none" if value is None else f"{value:.3g}"
