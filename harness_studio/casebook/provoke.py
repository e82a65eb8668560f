"""Provocations: what they said of a fault, and which to try next."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from harness_studio.model.cases import Case, Provocation
from harness_studio.model.harness import Harness

from .groups import Group

if TYPE_CHECKING:
    from .suspects import Suspects

FELT = 0.6
"""How often a bad joint shows when it is provoked (common practice, no source)."""
CHANCE = 0.08
"""How often something shows while a good one is provoked."""
NOTHING = frozenset({"", "nothing", "no change", "none", "no", "not"})
MOVED = ("wiggle", "push", "bump", "steering lock", "hinge")
"""Means that move a joint; the others warm, cool or wet it."""


@dataclass(frozen=True, slots=True)
class Provoke:
    """A provocation to try: the means, the joint, and what to watch meanwhile."""

    means: str
    at: str
    watch: str
    group: str
    kind: str = "provocation"


def provoked_log(harness: Harness, case: Case, group: Group) -> float:
    """Return by how much provocations speak for a group: the logarithm of a factor on its prior."""
    import math

    total = 0.0
    for one in case.provocations:
        mine = _concerns(harness, one, group)
        if mine is None:
            continue
        showed = (one.did or "").strip().lower() not in NOTHING
        chance = FELT if mine else CHANCE
        total += math.log(chance if showed else 1.0 - chance)
    return total


def _concerns(harness: Harness, one: Provocation, group: Group) -> bool | None:
    """Tell whether a provocation reached a group; None where it says nothing of any joint."""
    if one.at is not None:
        return one.at in group.members
    flag = {"heat": "hot", "cold": "hot", "wet": "wet", "steering lock": "flexes", "hinge": "flexes"}.get(
        one.means
    )
    if flag is None:
        return None
    records = [harness.joints[m] for m in group.members if m in harness.joints]
    marked = any(getattr(j, flag) for j in harness.joints.values())
    return any(getattr(r, flag) for r in records) if marked else None


def provocations(harness: Harness, found: Suspects, readings: bool) -> list[Provoke]:
    """Return a provocation of the first suspects, where the fault comes and goes or no reading tells more."""
    from .posterior import comes_and_goes

    if readings and not comes_and_goes(found.case):
        return []
    tried = {p.at for p in found.case.provocations}
    result = []
    for group in found.ranked()[:2]:
        members = [m for m in found.groups[group].members if m not in harness.wires and m not in tried]
        if found.probability[group] < 0.05 or not members:
            continue
        record = harness.joints.get(members[0])
        means = (
            "wet"
            if record is not None and record.wet
            else "heat"
            if record is not None and record.hot
            else "wiggle"
        )
        watch = next(
            (s.on for s in found.case.sightings if s.seen != "stays"), "the meter, on least and greatest"
        )
        result.append(Provoke(means, members[0], watch, found.groups[group].joint))
    return result[:1]
