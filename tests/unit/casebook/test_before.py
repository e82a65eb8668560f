"""What was found at a joint since a case began is not known to the case."""

import math

from harness_studio.casebook.before import as_known_before
from harness_studio.model.cases import Case
from harness_studio.model.entities import JointRecord
from harness_studio.model.harness import Harness


def harness_with(*records: JointRecord) -> Harness:
    harness = Harness()
    harness.joints.update({r.id: r for r in records})
    return harness


def test_only_what_was_recorded_since_is_left_out() -> None:
    harness = harness_with(
        JointRecord("GP1", mohm=70.0, seen="2026-03-02", wet=True),
        JointRecord("GP2", mohm=14.0, seen="2026-03-01"),
        JointRecord("GP3", mohm=math.inf),
    )
    found, notes = as_known_before(harness, Case("c", date="2026-03-02"))
    assert found.joints["GP1"] == JointRecord("GP1", seen="2026-03-02", wet=True)
    assert found.joints["GP2"].mohm == 14.0
    assert found.joints["GP3"].mohm == math.inf
    earlier = "recorded; if that is looked for, give the case an earlier date"
    assert notes == (
        "GP1 taken as clean: on 2026-03-02 70 mΩ were recorded, not before the case began",
        f"GP2 counts as it is: on 2026-03-01 14 mΩ were {earlier}",
        f"GP3 counts as it is: an open joint was {earlier}",
    )
    assert harness.joints["GP1"].mohm == 70.0  # the project itself stays as it is


def test_without_a_date_or_records_the_same_harness_comes_back() -> None:
    harness = harness_with(JointRecord("GP1", mohm=70.0, seen="2026-03-02"))
    found, notes = as_known_before(harness, Case("c"))
    assert found is harness
    assert notes[0].startswith("GP1 counts as it is")
    assert as_known_before(harness_with(JointRecord("GP1", mohm=0.4)), Case("c"))[1] == ()
    assert as_known_before(harness, Case("c", date="2026-03-03"))[0] is harness
