"""Suspects of small cases. Truth is a full solution with the joint dialled; nothing of the casebook makes it."""

import math

import pytest

from harness_studio.casebook.argument import argument
from harness_studio.casebook.next_reading import next_readings
from harness_studio.casebook.observed import observed
from harness_studio.casebook.summary import summary
from harness_studio.casebook.suspects import Suspects, suspects
from harness_studio.electrics.solve import solve
from harness_studio.model.cases import Case, Reading, Sighting
from harness_studio.model.harness import Harness
from harness_studio.network.expand import expand
from harness_studio.network.network import Overrides
from tests.support.builders import shared_stud

PAIRS = (("GP1", "GB1.31"), ("GP1", "shell.rear"), ("M1.1", "GB1.31"))


def measured(
    harness: Harness, joint: str, ohm: float, pairs: tuple[tuple[str, str], ...]
) -> tuple[Reading, ...]:
    found = solve(expand(harness, None, Overrides().with_joint(joint, ohm)))
    volts = [(found.volt(plus) or 0.0) - (found.volt(minus) or 0.0) for plus, minus in pairs]
    return tuple(Reading("volts", plus=p, minus=m, value=v) for (p, m), v in zip(pairs, volts, strict=True))


def first(found: Suspects) -> tuple[str, ...]:
    return found.groups[found.ranked()[0]].members


@pytest.fixture
def harness() -> Harness:
    return shared_stud(3, others=2)


def test_a_bad_stud_is_named_with_its_resistance(harness: Harness) -> None:
    found = suspects(harness, Case("c", readings=measured(harness, "GP1", 0.2, PAIRS)))
    best = summary(harness, found)[0]
    assert (best.joint, best.word) == ("GP1", "likely")
    assert best.range_ohm[0] <= 0.2 <= best.range_ohm[1] * 1.05
    assert len(best.explains) == 3
    assert not best.misses


def test_a_clean_harness_fits_nothing(harness: Harness) -> None:
    pairs = (*PAIRS, ("M2.1", "GB1.31"), ("GP0", "GB1.31"), ("GB1.30", "GB1.31"))
    readings = measured(
        harness, "GP1", expand(harness).branches.resistance_ohm[expand(harness).joints["GP1"]], pairs
    )
    lamps = ("M1", "M2", "M3", "E1", "E2")
    stayed = tuple(Sighting(lamp, "stays") for lamp in lamps)
    found = suspects(harness, Case("c", sightings=stayed, readings=readings))
    assert found.none_fits > max(found.probability)


def test_probabilities_sum_to_one(harness: Harness) -> None:
    found = suspects(harness, Case("c", readings=measured(harness, "GP1", 0.05, PAIRS[:1])))
    assert float(found.weight.sum()) + found.none_fits == pytest.approx(1.0 + found.two_at_once)


def test_a_clean_reading_with_the_symptom_absent_leaves_the_posterior_where_it_was(harness: Harness) -> None:
    sightings = (Sighting("M1", "down"), Sighting("M2", "down"))
    before = suspects(harness, Case("c", sightings=sightings))
    clean = Reading("volts", plus="GP1", minus="GB1.31", value=0.01, symptom_present="no")
    after = suspects(harness, Case("c", sightings=sightings, readings=(clean,)))
    assert after.none_fits == before.none_fits
    assert (after.weight == before.weight).all()
    assert "absent" in after.observed.notes[0]


def test_the_same_reading_ten_times_is_little_more_than_once(harness: Harness) -> None:
    one = measured(harness, "GP1", 0.02, PAIRS[:1])
    once, often = (suspects(harness, Case("c", readings=one * n)) for n in (1, 10))
    assert abs(once.probability - often.probability).max() < 0.02


@pytest.mark.parametrize(
    ("reading", "note"),
    [
        (Reading("volts", plus="GP1", minus="GB1.31", value=0.2, accuracy=0.0), "accuracy of zero"),
        (
            Reading("volts", plus="GP11", minus="GB1.31", value=0.2),
            "no point 'GP11' any more; nearest is 'GP1'",
        ),
        (Reading("volts", mode="gone", plus="GP1", minus="GB1.31", value=0.2), "no mode 'gone' any more"),
        (Reading("volts", plus="GP1", value=0.2), "both tips"),
        (Reading("volts", plus="GP1", minus="GB1.31", value=math.nan), "no value"),
    ],
)
def test_a_bad_reading_is_left_out_with_a_note(harness: Harness, reading: Reading, note: str) -> None:
    found = observed(harness, Case("c", readings=(reading,)))
    assert not found.measured
    assert note in found.notes[0]


def test_readings_that_contradict_each_other_are_both_left_out(harness: Harness) -> None:
    low, high = (Reading("volts", plus="GP1", minus="GB1.31", value=v) for v in (0.1, 0.9))
    found = observed(harness, Case("c", readings=(low, high)))
    assert not found.measured
    assert "contradict" in found.notes[0]


def test_proposed_tips_go_only_where_a_tip_can_go(harness: Harness) -> None:
    found = suspects(harness, Case("c", sightings=(Sighting("M1", "down"), Sighting("M2", "down"))))
    proposals = next_readings(harness, found)
    assert 1 <= len(proposals) <= 3
    for proposal in proposals:
        assert not {proposal.plus, proposal.minus} & {"SP1"}
        assert not proposal.plus.startswith("~")
        assert proposal.bits > 0.0


def test_lamps_on_one_stud_share_it_and_the_lamp_that_stayed_does_not(harness: Harness) -> None:
    case = Case("c", sightings=(Sighting("M1", "down"), Sighting("M2", "down"), Sighting("E1", "stays")))
    found = argument(harness, case)
    assert "GP1" in found.returns
    assert "GP1" not in found.cleared
    assert "GP0" in found.cleared
    assert first(suspects(harness, case)) == ("GP1",)
