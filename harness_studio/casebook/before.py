"""The harness as it was known when a case began: what was found at a joint since then is what is looked for."""

from __future__ import annotations

from dataclasses import replace

from harness_studio.model.cases import Case
from harness_studio.model.harness import Harness


def as_known_before(harness: Harness, case: Case) -> tuple[Harness, tuple[str, ...]]:
    """Return (harness, notes) without the resistances recorded at joints on the day the case began or later.

    A joint whose record has no date is taken as known before. The same harness comes back where nothing is left out.
    """
    if case.date is None:
        return harness, ()
    since = [
        j
        for j in harness.joints.values()
        if j.mohm is not None and j.seen is not None and j.seen >= case.date
    ]
    if not since:
        return harness, ()
    found = harness.snapshot()
    for joint in since:
        found.joints[joint.id] = replace(joint, mohm=None)
    return found, tuple(
        f"{j.id} taken as clean: its {j.mohm:g} mΩ were recorded on {j.seen}, not before the case began"
        for j in since
    )
