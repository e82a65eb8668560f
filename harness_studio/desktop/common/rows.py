"""What the page of common joints says, line by line; Qt-free but for the words."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from harness_studio.desktop.ground_map import heading
from harness_studio.diagram.words import counted, millivolts, per_cent
from harness_studio.network.words import kind_words

if TYPE_CHECKING:
    from harness_studio.electrics.common import Common, CommonJoint
    from harness_studio.model.harness import Harness
    from harness_studio.session.session import Session

FOLD = "fold"
NOTICED_V = 0.05
"""A joint that loses this much more than a clean one stands out (common practice, no source: half of 0.1 V)."""


@dataclass(frozen=True, slots=True)
class Row:
    """One line: a heading, joints that are passed alike (named by the likeliest), or a fold."""

    title: str
    sub: str = ""
    share: float | None = None
    lost: str = ""
    clean: str = ""
    joint: str = ""
    head: bool = False
    noticed: bool = False


def loads_named(session: Session, names: Sequence[str]) -> tuple[tuple[str, ...], str]:
    """Return the loads meant by ids or by titles that only one load has, and what is wrong with other names."""
    from harness_studio.electrics.common import load_parts

    harness, network = session.harness, session.computed.network
    loads = load_parts(network, set(harness.parts)) if network is not None else ()
    known: list[str] = []
    wrong: list[str] = []
    unclear: list[str] = []
    for name in names:
        said = name.casefold()
        meant = [n for n in loads if n == name] or [
            n for n in loads
            if said in (n.casefold(), harness.title_of(n).casefold(), (harness.parts[n].title or "").casefold())
        ]  # fmt: skip
        if len(meant) == 1:
            known += meant
        elif meant:
            unclear.append(f"{name} may be {' or '.join(map(harness.title_of, meant))}: write which.")
        else:
            wrong.append(name)
    if wrong:
        unclear.append(
            f"{', '.join(wrong)}: no load of this harness. Write ids or titles of parts that take current."
        )
    return tuple(dict.fromkeys(known)), " ".join(unclear)


def sentence(harness: Harness, found: Common) -> str:
    """Return what is asked: the loads by name, with the senders that gauges read."""
    said = []
    for load, also in zip(found.loads, found.followed, strict=True):
        read = [f for f in also if f.partition("/")[0] != load]
        said.append(harness.title_of(load) + (f" with {', '.join(read)}" if read else ""))
    return " · ".join(said)


def rows_of(session: Session, found: Common, *, unfolded: bool = False) -> list[Row]:
    """Return the lines: the return side, the feed side, and what is ruled out, folded."""
    from harness_studio.electrics.common import passed_alike

    out: list[Row] = []
    for side, words in (("return", "return side"), ("feed", "feed side")):
        joints = found.side("return" if side == "return" else "feed")
        out.append(Row(words, "share" if joints else "", lost="lost now" if joints else "",
                       clean="clean" if joints else "", head=True))  # fmt: skip
        if not joints:
            out.append(Row(found.nothing(side), head=True))
        out += [_row(session, found, group) for group in passed_alike(joints)]
    if found.ruled_out:
        said = f"Ruled out as the one cause: {counted(len(found.ruled_out), 'joint')}"
        out.append(Row(said + (", hide them" if unfolded else ", show them"), joint=FOLD))
        if unfolded:
            out += [_row(session, found, group) for group in passed_alike(found.ruled_out)]
    return out


def _row(session: Session, found: Common, group: tuple[CommonJoint, ...]) -> Row:
    first, *rest = group
    computed = session.computed
    assert computed.network is not None
    assert computed.solution is not None
    lost = abs(computed.solution.joint(first.joint).drop_v)
    clean = computed.clean_solution
    clean_v = abs(clean.joint(first.joint).drop_v) if clean is not None else None
    shares = " · ".join(f"{load} {per_cent(s)}" for load, s in zip(found.loads, first.shares, strict=True))
    alike = f" · alike: {', '.join(j.joint for j in rest)}" if rest else ""
    return Row(
        heading(session.harness, first.joint),
        f"{shares} · {kind_words(computed.network, first.joint)}{alike}",
        first.least,
        millivolts(lost * 1e3),
        millivolts(clean_v * 1e3) if clean_v is not None else "",
        first.joint,
        noticed=clean_v is not None and lost - clean_v > NOTICED_V,
    )
