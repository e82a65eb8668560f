"""What several loads share, as text and as JSON."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from harness_studio.base.errors import HarnessError
from harness_studio.network.words import kind_words

from .output import millivolts, per_cent, table
from .solving import Solved, clean_of

if TYPE_CHECKING:
    from harness_studio.electrics.common import Common, CommonJoint

LISTED_OUT = 12
"""How many joints are named that are ruled out; JSON has them all."""


def named(text: str) -> list[str]:
    """Read 'E5,M2,P1' into names; HarnessError where there is none."""
    names = [name.strip() for name in text.split(",") if name.strip()]
    if not names:
        raise HarnessError("--common: name the loads with commas between them, for example E5,M2,P1")
    return list(dict.fromkeys(names))


def lines(done: Solved, found: Common) -> list[str]:
    """Return the answer, heading first: the return side, the feed side, and what is ruled out."""
    from harness_studio.electrics.common import passed_alike

    loads = [_load_words(done, load, also) for load, also in zip(found.loads, found.followed, strict=True)]
    text = [f"{', '.join(loads)}; {done.mode_words}"]
    for side, words in (("return", "Return side"), ("feed", "Feed side")):
        joints = found.side("return" if side == "return" else "feed")
        if not joints:
            text += ["", f"{words}: {found.nothing(side)}"]
            continue
        head = (words, "what it is", *found.loads, "lost now", "passed alike")
        rows = [_cells(done, group) for group in passed_alike(joints)]
        text += ["", *table(head, rows, right=range(2, 3 + len(found.loads)))]
    if found.ruled_out:
        shown = ", ".join(j.joint for j in found.ruled_out[:LISTED_OUT])
        more = len(found.ruled_out) - LISTED_OUT
        text += ["", f"Ruled out as the one cause, since not all of them pass it: {shown}"
                 + (f" and {more} more" if more > 0 else "")]  # fmt: skip
    return text


def _load_words(done: Solved, load: str, followed: Sequence[str]) -> str:
    read = [f for f in followed if f.partition("/")[0] != load.partition("/")[0]]
    return done.harness.title_of(load.partition("/")[0]) + (f" (with {', '.join(read)})" if read else "")


def _cells(done: Solved, group: Sequence[CommonJoint]) -> tuple[str, ...]:
    first, *rest = group
    drop_v = done.solution.joint(first.joint).drop_v
    shares = (per_cent(s) for s in first.shares)
    return (
        done.harness.title_of(first.joint),
        kind_words(done.network, first.joint),
        *shares,
        millivolts(abs(drop_v) * 1e3),
        ", ".join(j.joint for j in rest),
    )


def as_json(done: Solved, found: Common) -> dict[str, Any]:
    """Return every joint, one by one."""
    clean = clean_of(done)
    return {
        "mode": done.mode,
        "loads": [
            {"load": load, "followed": list(also)}
            for load, also in zip(found.loads, found.followed, strict=True)
        ],
        "not_connected": {side: list(loads) for side, loads in found.missing.items()},
        "common": [
            {
                **_joint(found, joint),
                "kind": kind_words(done.network, joint.joint),
                "amperes": abs(done.solution.joint(joint.joint).amperes),
                "drop_v": abs(done.solution.joint(joint.joint).drop_v),
                "clean_drop_v": abs(clean.joint(joint.joint).drop_v),
            }
            for joint in found.joints
        ],
        "ruled_out": [_joint(found, joint) for joint in found.ruled_out],
    }


def _joint(found: Common, joint: CommonJoint) -> dict[str, Any]:
    return {
        "joint": joint.joint,
        "side": joint.side,
        "least": joint.least,
        "shares": dict(zip(found.loads, joint.shares, strict=True)),
    }
