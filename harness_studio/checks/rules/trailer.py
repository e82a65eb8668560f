"""Trailer sockets of ISO 11446: contacts 3, 11 and 13 are three returns that are not joined."""

from __future__ import annotations

from collections.abc import Iterator

from harness_studio.checks import words
from harness_studio.checks.finding import Finding, finding
from harness_studio.checks.scope import Scope
from harness_studio.model.entities import Half

RETURNS = ("3", "11", "13")
CONTACTS = tuple(str(n) for n in range(1, 14))
WORDS = ("trailer", "11446", "13-pin", "13 pin", "caravan", "tow")
_BEFORE_METAL = frozenset({"wire", "crimp", "splice_leg", "terminal", "bus", "ring"})
_SOURCE = (
    "ISO 11446: contact 3 returns for contacts 1 to 8, 11 for contact 10, 13 for contact 9 (that 12 and 13 are so is "
    "from memory); not to be joined in the trailer"
)


def returns(scope: Scope) -> Iterator[Finding]:
    """Find 13-contact trailer halves whose returns meet at a splice, a bar or on one stud."""
    for half in scope.harness.halves.values():
        word = _taken_for(half)
        if word is None:
            continue
        reached = {c: _reached(scope, f"{half.id}.{c}") for c in RETURNS}
        joined = [c for c in RETURNS if any(reached[c] & reached[d] for d in RETURNS if d != c)]
        if not joined:
            continue
        common = set.union(*(reached[c] & reached[d] for c in joined for d in joined if c != d))
        names = sorted({scope.network.points[p].lstrip("~") for p in common} & set(scope.harness.grounds))
        on_stud = bool(names) and not any(scope.network.points[p] in scope.harness.splices for p in common)
        where = f"on stud {words.listed(names)}" if on_stud else "before they reach metal"
        more = ": allowed in the towing vehicle, never in the trailer" if on_stud else ""
        yield finding(
            "trailer_returns",
            "note" if on_stud else "mend",
            [half.id, *(f"{half.id}.{c}" for c in joined)],
            f"returns {words.listed(joined)} of {scope.harness.title_of(half.id)} (13 contacts, taken for ISO 11446 by "
            f"'{word}') are joined {where}{more}",
            source=_SOURCE,
            sureness="memory" if "13" in joined else "seen2",
            method="walk from the contacts",
            remedy="a wire of its own from each return to the towing vehicle's ground",
        )


def _taken_for(half: Half) -> str | None:
    if set(half.cavity_names()) != set(CONTACTS):
        return None
    text = f"{half.title or ''} {half.note or ''} {half.part_number or ''}".lower()
    return next((word for word in WORDS if word in text), None)


def _reached(scope: Scope, at: str) -> set[int]:
    """Return the points that a contact's wires reach before they come to a body or to another connector."""
    network = scope.network
    start = network.index.get(at)
    if start is None:
        return set()
    seen, waiting = {start}, [start]
    while waiting:
        for branch, other in scope.neighbours.get(waiting.pop(), ()):
            if network.branches.kind[branch] in _BEFORE_METAL and other not in seen:
                seen.add(other)
                waiting.append(other)
    return seen - {start}
