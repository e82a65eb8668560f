"""The ground map of one joint as text: who shares it, how much, and what each moves there."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from harness_studio.model.harness import Harness

from .output import amperes, millivolts, per_cent, table, volts

if TYPE_CHECKING:
    from harness_studio.electrics.shares import Share, Shares

WAYS = {"only": "only way", "main": "main way", "some": "some", "minor": "minor", "none": "no way"}
FOLDED = ("minor", "none")
"""Shares below 5 %: counted, not listed."""


def lines(harness: Harness, found: Shares, mode_words: str) -> list[str]:
    """Return the ground map, heading first.

    Shares are signed by the joint's own direction; here they are positive the way most of the current goes.
    """
    if found.sink is None and found.rows and all(row.element is None for row in found.rows):
        return [f"{harness.title_of(found.joint)}, {mode_words}", *_unfed(harness, found)]
    listed = [row for row in found.rows if row.way not in FOLDED]
    sign = -1.0 if sum(row.share * (row.amperes or 1e-12) for row in listed) < 0 else 1.0
    text = [f"{harness.title_of(found.joint)}, {mode_words}", _summary(found, listed)]
    if listed:
        head = ("load", "circuit", "share", "way", "current", "moves it")
        text += ["", *table(head, [_cells(harness, row, sign) for row in listed], right=(2, 4, 5))]
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
