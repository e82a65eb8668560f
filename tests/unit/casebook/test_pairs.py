"""Two faults at once. Truth is a full solution with both joints dialled; nothing of the casebook makes it."""

import dataclasses

import pytest

from harness_studio.casebook.next_reading import next_readings, verdict
from harness_studio.casebook.suspects import suspects
from harness_studio.electrics.solve import solve
from harness_studio.model.cases import Case, Reading, Sighting
from harness_studio.model.harness import Harness
from harness_studio.network.expand import expand
from harness_studio.network.network import Overrides
from tests.support.builders import shared_stud

TIPS = ("GP1", "GP2", "M1.1", "E1.31", "GB1.30", "M2.31", "shell.rear")


def read(harness: Harness, **ohm: float) -> tuple[Reading, ...]:
    dialled = Overrides()
    for joint, added in ohm.items():
        dialled = dialled.with_joint(joint, added)
    found = solve(expand(harness, None, dialled))
    return tuple(Reading("volts", plus=tip, minus="GB1.31", value=found.volt(tip)) for tip in TIPS)


@pytest.fixture
def harness() -> Harness:
    return shared_stud(3, others=2)


def test_two_bad_studs_are_both_named(harness: Harness) -> None:
    found = suspects(harness, Case("c", readings=read(harness, GP1=0.2, GP2=0.5)))
    best = found.pairs[0]
    assert {found.groups[g].joint for g in best.groups} == {"GP1", "GP2"}
    assert best.probability > 0.9
    ohm = {found.groups[g].joint: r for g, r in zip(best.groups, best.added_ohm, strict=True)}
    assert ohm["GP1"] == pytest.approx(0.2, rel=0.2)
    assert ohm["GP2"] == pytest.approx(0.5, rel=0.2)
    assert {found.groups[g].joint for g in found.ranked()[:2]} == {"GP1", "GP2"}
    assert "GP1 and GP2" in verdict(found, next_readings(harness, found)).words


def test_faults_one_behind_the_other_are_told_from_one(harness: Harness) -> None:
    """GP1's three lamps and GP2's one all return through GP0, so that each hides part of the other."""
    found = suspects(harness, Case("c", readings=read(harness, GP0=0.1, GP1=0.3)))
    named = {found.groups[g].joint for g in found.ranked()[:2]}
    assert "GP1" in named
    assert found.two_at_once > 0.5


def test_one_fault_is_not_taken_for_two(harness: Harness) -> None:
    found = suspects(harness, Case("c", readings=read(harness, GP1=0.2)))
    assert found.two_at_once < 0.2
    assert float(found.weight.sum()) + found.none_fits == pytest.approx(1.0 + found.two_at_once)


def test_without_evidence_there_are_no_pairs(harness: Harness) -> None:
    assert suspects(harness, Case("c")).pairs == ()


def test_what_was_seen_tells_of_two_as_well(harness: Harness) -> None:
    case = Case("c", readings=read(harness, GP1=0.2, GP2=0.5)[:2])
    seen = tuple(Sighting(on, "down") for on in ("M1", "E1"))
    before, after = suspects(harness, case), suspects(harness, dataclasses.replace(case, sightings=seen))
    assert after.two_at_once > before.two_at_once
