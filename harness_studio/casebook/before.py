"""The harness as it was known when a case began: what was found at a joint since then is what is looked for."""

from __future__ import annotations

import math
from dataclasses import replace

from harness_studio.model.cases import Case
from harness_studio.model.entities import JointRecord
from harness_studio.model.harness import Harness

BAD_MOHM = 5.0
"""From so much on a joint that was recorded before is told of (common practice, no source)."""


def as_known_before(harness: Harness, case: Case) -> tuple[Harness, tuple[str, ...]]:
    """Return (harness, notes) without the resistances recorded at joints on the day the case began or later.

    A joint whose record has no date is taken as known before; one that was known to be bad then is told of as well:
    what it does is no suspect's doing. The same harness comes back where nothing is left out.
    """
    measured = [j for j in harness.joints.values() if j.mohm is not None]
    since = [j for j in measured if case.date is not None and j.seen is not None and j.seen >= case.date]
    notes = [f"{j.id} taken as clean: {_found(j)} recorded, not before the case began" for j in since]
    notes += [
        f"{j.id} counts as it is: {_found(j)} recorded; if that is looked for, give the case an earlier date"
        for j in measured
        if j not in since and (j.mohm or 0.0) >= BAD_MOHM
    ]
    if not since:
        return harness, tuple(notes)
    found = harness.snapshot()
    for joint in since:
        found.joints[joint.id] = replace(joint, mohm=None)
    return found, tuple(notes)


def _found(joint: JointRecord) -> str:
    """Return what a joint was found with, when, and the verb: 'on 2026-03-02 70 mΩ were'."""
    mohm = joint.mohm or 0.0
    when = f"on {joint.seen} " if joint.seen else ""
    return when + ("an open joint was" if math.isinf(mohm) else f"{mohm:g} mΩ were")
