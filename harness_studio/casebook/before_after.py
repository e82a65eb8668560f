"""Before and after the mend: the same pair side by side, the milliohms that both imply, and what proves nothing.

A reading implies the resistance added to the mended joint at which the solved network shows that reading.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING, Literal

from harness_studio.base.errors import AddressError
from harness_studio.electrics.meter import volts_between
from harness_studio.electrics.solve import solve
from harness_studio.model.case_edits import same_pair
from harness_studio.model.cases import Case, Reading
from harness_studio.model.harness import Harness
from harness_studio.network.expand import expand
from harness_studio.network.network import Overrides

from .observed import METER_PART, METER_V

if TYPE_CHECKING:
    from harness_studio.electrics.solution import Solution

ADDED_OHM = (0.0, 0.003, 0.01, 0.03, 0.1, 0.3, 1.0)
"""Added resistances at which a mended joint is solved."""
REFINED = 3
"""Steps of false position between two of them."""
NOTHING_V = 0.002
"""A reading of no more than this may as well be of no current."""
SEES_V = 0.004
"""A pair whose volts move less than this over all of them says nothing of the joint."""
CLEAN_PART, BETTER_PART = 0.15, 0.6
"""Part of the excess that may be left for 'as a clean one', and for 'better' (common practice, no source)."""
ADDS = re.compile(
    r"\b(added|extra|additional|second|another|jumper|bypass\w*)\b.*\b(ground|earth|strap|wire|lead|cable)",
    re.I,
)
"""What a mend says that leaves the old joint where it was."""

Standing = Literal["not yet", "as a clean one", "better", "no better", "was clean before", "cannot be told"]


@dataclass(frozen=True, slots=True)
class Pair:
    """A reading before the mend and the same one after it, None while it was not taken again.

    `clean` is what a clean harness would show; `before_ohm` and `after_ohm` are the resistance added to `joint` that
    each implies, None where the pair does not see it.
    """

    before: Reading
    after: Reading | None
    standing: Standing = "not yet"
    clean: float | None = None
    joint: str | None = None
    before_ohm: float | None = None
    after_ohm: float | None = None


@dataclass(frozen=True, slots=True)
class BeforeAfter:
    """All pairs, what they say together, and the false leads among the mends."""

    pairs: tuple[Pair, ...]
    said: str
    false_leads: tuple[str, ...]


def pairs(case: Case) -> list[Pair]:
    """Return every reading from before the mend with the latest one of the same pair after it."""
    found: list[Pair] = []
    for reading in case.readings:
        if reading.after_mend or any(same_pair(reading, other.before) for other in found):
            continue
        latest = [r for r in case.readings if not r.after_mend and same_pair(r, reading)][-1]
        again = [r for r in case.readings if r.after_mend and same_pair(reading, r)]
        found.append(Pair(latest, again[-1] if again else None))
    return found


def value_of(reading: Reading | None) -> float | None:
    """Return the value, or the middle of least and greatest."""
    if reading is None:
        return None
    if reading.value is not None:
        return reading.value
    if reading.least is None or reading.greatest is None:
        return None
    return (reading.least + reading.greatest) / 2.0


def before_after(harness: Harness, case: Case) -> BeforeAfter:
    """Return what the readings before and after the mend say.

    Parameters
    ----------
    harness
        As it was known before the case: what is mended is clean in it.

    Raises
    ------
    SolveError
        If a mode of the readings has no solution.
    """
    joint = mended_joint(harness, case)
    solved = _Solved(harness, joint)
    found = [_judged(pair, solved) for pair in pairs(case)]
    return BeforeAfter(tuple(found), _said(case, found), tuple(false_leads(case)))


def mended_joint(harness: Harness, case: Case) -> str | None:
    """Return the joint that was mended last, as far as it is named and known."""
    network = expand(harness)
    for mend in reversed(case.mends):
        for address in mend.on:
            if address in network.joints:
                return address
    return None


class _Solved:
    """Solutions with resistance added to the mended joint, by mode; each is made once."""

    def __init__(self, harness: Harness, joint: str | None) -> None:
        self.harness = harness
        self.joint = joint
        self._found: dict[tuple[str | None, float], Solution] = {}

    def volts(self, mode: str | None, plus: str, minus: str, added_ohm: float) -> float | None:
        """Return volts from plus to minus; None if a tip hangs on nothing, AddressError if it is gone."""
        key = mode, added_ohm
        if key not in self._found:
            plain = expand(self.harness, mode)
            overrides = None
            if added_ohm and self.joint is not None and self.joint in plain.joints:
                now = float(plain.branches.resistance_ohm[plain.joints[self.joint]])
                overrides = Overrides().with_joint(self.joint, now + added_ohm)
            self._found[key] = solve(expand(self.harness, mode, overrides) if overrides else plain)
        return volts_between(self._found[key], plus, minus)


def _judged(pair: Pair, solved: _Solved) -> Pair:
    before, after = value_of(pair.before), value_of(pair.after)
    plus, minus, mode = pair.before.plus, pair.before.minus, pair.before.mode
    if pair.before.kind == "fuse_mv":
        plus, minus = f"{pair.before.at}.in", f"{pair.before.at}.out"
    scale = 1e-3 if pair.before.kind == "fuse_mv" else 1.0
    untold = Pair(pair.before, pair.after, "cannot be told" if after is not None else "not yet")
    known = pair.before.kind in ("volts", "fuse_mv") and (mode is None or mode in solved.harness.modes)
    if before is None or not known or plus is None or minus is None:
        return untold
    try:
        clean = solved.volts(mode, plus, minus, 0.0)
    except AddressError:
        return untold
    if clean is None:
        return untold

    def shown(added_ohm: float) -> float:
        return solved.volts(mode, plus, minus, added_ohm) or 0.0

    implied = [
        implied_ohm(shown, value * scale) if value is not None and solved.joint is not None else None
        for value in (before, after)
    ]
    standing = _standing(before, after, clean / scale, scale)
    return Pair(pair.before, pair.after, standing, clean / scale, solved.joint, implied[0], implied[1])


def implied_ohm(shown: Callable[[float], float], seen: float) -> float | None:
    """Return the added resistance at which `seen` volts are shown, by false position between `ADDED_OHM`.

    None where the pair does not see the joint, or shows more than the greatest of them would.
    """
    volts = [shown(ohm) for ohm in ADDED_OHM]
    if max(volts) - min(volts) < SEES_V:
        return None
    way = 1.0 if volts[-1] > volts[0] else -1.0
    if (seen - volts[0]) * way <= 0.0:
        return 0.0
    for (low, high), (first, second) in zip(pairwise(ADDED_OHM), pairwise(volts), strict=True):
        if (second - seen) * way < 0.0 or math.isclose(first, second):
            continue
        found = low + (high - low) * (seen - first) / (second - first)
        for _ in range(REFINED):
            now = shown(found)
            if (now - seen) * way < 0.0:
                low, first = found, now
            else:
                high, second = found, now
            if math.isclose(first, second):
                break
            found = low + (high - low) * (seen - first) / (second - first)
        return found
    return None


def _standing(before: float, after: float | None, clean: float, scale: float) -> Standing:
    meter = 3.0 * (METER_PART * abs(clean) + METER_V / scale)
    if after is None:
        return "not yet"
    excess = before - clean
    if abs(excess) <= meter:
        return "was clean before"
    left = abs(after - clean)
    if left <= max(meter, CLEAN_PART * abs(excess)):
        return "as a clean one"
    return "better" if left <= BETTER_PART * abs(excess) else "no better"


def _said(case: Case, found: Sequence[Pair]) -> str:
    """Return what the pairs say together, in a sentence."""
    told = [p for p in found if p.standing in ("as a clean one", "better", "no better")]
    if not case.mends or not told:
        return ""
    if any(p.standing == "no better" for p in told):
        return "The mend did not help: the fault is elsewhere, or there is a second one."
    if any(p.standing == "better" for p in told):
        return "Better, but not clean: there is more resistance left than a clean joint has."
    waiting = sum(1 for p in found if p.after is None)
    if waiting:
        return f"What was taken again is as in a clean harness; {waiting} more to take."
    if case.fault_made_to_come_back:
        return "Proven: clean after the mend, and the fault came back with the old state."
    return "Clean after the mend. It is proven once the old state brings the fault back."


def false_leads(case: Case) -> list[str]:
    """Return the mends that prove nothing by themselves, and why."""
    found = []
    days: dict[str | None, int] = {}
    for mend in case.mends:
        days[mend.date] = days.get(mend.date, 0) + 1
        if ADDS.search(mend.did):
            found.append(
                f"'{mend.did}': a way that is added masks the old joint, which is still bad, and makes a loop. "
                "Take it off and read across the old joint."
            )
    if any(number > 1 for number in days.values()) or any(_several(m.on) for m in case.mends):
        found.append(
            "More than one thing was changed before the pairs were taken again: which of them helped is not known."
        )
    after = [r for r in case.readings if r.after_mend and r.kind in ("volts", "fuse_mv")]
    if any(_nothing(r) and not r.current_confirmed for r in after):
        found.append(
            "A pair reads nothing after the mend, and nobody saw current flow: that may be no current."
        )
    return found


def _nothing(reading: Reading) -> bool:
    value = value_of(reading)
    return value is not None and abs(value) <= (NOTHING_V if reading.kind == "volts" else NOTHING_V * 1e3)


def _several(on: Sequence[str]) -> bool:
    """Tell whether a mend was at several places: a wire and the thing it ends at count as one."""
    things = {re.split(r"[./@:]", address)[0] for address in on}
    return len({t for t in things if not t.startswith("W")}) > 1
