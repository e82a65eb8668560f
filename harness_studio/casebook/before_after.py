"""What the same pairs before and after the mend say of the mended joint, and of the case.

A reading implies the resistance added to the mended joint at which the solved network shows that reading.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING, Literal

from harness_studio.base.errors import HarnessError
from harness_studio.electrics.meter import volts_between
from harness_studio.electrics.solve import solve
from harness_studio.model.cases import Case, Reading
from harness_studio.model.harness import Harness
from harness_studio.network.expand import expand
from harness_studio.network.network import Overrides

from .after import Compared, after_mend
from .observed import METER_PART, METER_V

if TYPE_CHECKING:
    from harness_studio.electrics.solution import Solution

ADDED_OHM = (0.0, 0.003, 0.01, 0.03, 0.1, 0.3, 1.0)
"""Added resistances at which a mended joint is solved first."""
REFINED = 3
"""Steps of false position between two of them."""
SEEN_OHM, SEES_PART = 0.03, 0.4
"""A pair sees a joint if it moves by this part of what the joint loses with so much resistance more."""
SEES_V = 0.004
"""A pair whose volts move less than this over all of them says nothing of the joint."""
CLEAN_PART, BETTER_PART = 0.15, 0.6
"""Part of the excess that may be left for 'as a clean one', and for 'better' (common practice, no source)."""

Standing = Literal["not yet", "as a clean one", "better", "no better", "was clean before", "cannot be told"]


@dataclass(frozen=True, slots=True)
class Pair:
    """A pair before and after the mend, how it stands, and the resistance added to `joint` that each implies.

    None where a pair does not see the joint.
    """

    compared: Compared
    standing: Standing
    joint: str | None = None
    before_ohm: float | None = None
    after_ohm: float | None = None

    @property
    def before(self) -> Reading:
        """The reading before the mend."""
        return self.compared.before

    @property
    def after(self) -> Reading | None:
        """The reading after it, None while it was not taken again."""
        return self.compared.after

    @property
    def clean(self) -> float | None:
        """What a clean harness would show."""
        return self.compared.clean


@dataclass(frozen=True, slots=True)
class BeforeAfter:
    """All pairs, what they say together, and the false leads among the mends."""

    pairs: tuple[Pair, ...]
    said: str
    false_leads: tuple[str, ...]


def before_after(harness: Harness, case: Case) -> BeforeAfter:
    """Return what the readings before and after the mend say.

    Parameters
    ----------
    harness
        As it was known before the case: what is mended is clean in it.
    """
    found = after_mend(harness, case)
    solved = _Solved(harness, mended_joint(harness, case))
    pairs = tuple(_judged(one, solved) for one in found.pairs)
    return BeforeAfter(pairs, _said(case, pairs), found.leads)


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
        return volts_between(self._solution(mode, added_ohm), plus, minus)

    def sees(self, mode: str | None, plus: str, minus: str) -> bool:
        """Tell whether a pair shows what the joint loses, and not only that the currents change with it."""
        if self.joint is None:
            return False
        good, bad = self._solution(mode, 0.0), self._solution(mode, SEEN_OHM)
        if self.joint not in bad.network.joints:
            return False
        lost = abs(bad.joint(self.joint).drop_v) - abs(good.joint(self.joint).drop_v)
        first, second = volts_between(good, plus, minus), volts_between(bad, plus, minus)
        return first is not None and second is not None and abs(second - first) >= SEES_PART * abs(lost) > 0.0

    def _solution(self, mode: str | None, added_ohm: float) -> Solution:
        key = mode, added_ohm
        if key not in self._found:
            plain = expand(self.harness, mode)
            overrides = None
            if added_ohm and self.joint is not None and self.joint in plain.joints:
                now = float(plain.branches.resistance_ohm[plain.joints[self.joint]])
                overrides = Overrides().with_joint(self.joint, now + added_ohm)
            self._found[key] = solve(expand(self.harness, mode, overrides) if overrides else plain)
        return self._found[key]


def _judged(one: Compared, solved: _Solved) -> Pair:
    if one.was is None or one.clean is None or one.before.kind not in ("volts", "fuse_mv"):
        return Pair(one, "cannot be told" if one.now is not None else "not yet")
    plus, minus, scale = one.before.plus, one.before.minus, 1.0
    if one.before.kind == "fuse_mv":
        plus, minus, scale = f"{one.before.at}.in", f"{one.before.at}.out", 1e-3
    standing = _standing(one.was, one.now, one.clean, scale)
    if solved.joint is None or plus is None or minus is None:
        return Pair(one, standing)
    tips = plus, minus

    def shown(added_ohm: float) -> float:
        return solved.volts(one.before.mode, *tips, added_ohm) or 0.0

    try:
        if not solved.sees(one.before.mode, *tips):
            return Pair(one, standing)
        implied = [
            implied_ohm(shown, value * scale) if value is not None else None for value in (one.was, one.now)
        ]
    except HarnessError:
        return Pair(one, standing)
    return Pair(one, standing, solved.joint, implied[0], implied[1])


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
