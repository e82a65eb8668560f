"""The posterior: against summation by full solutions, without screening, and what readings may and may not move."""

import numpy as np
import pytest
from scipy.interpolate import PchipInterpolator
from scipy.stats import multivariate_normal

from harness_studio.casebook.changes import GRID_OHM
from harness_studio.casebook.known import Known
from harness_studio.casebook.observed import observed
from harness_studio.casebook.posterior import fine_grid, finely, weigh
from harness_studio.casebook.suspects import Cancelled, suspects
from harness_studio.electrics.lawset import FULL
from harness_studio.electrics.solve import settle_from, solve
from harness_studio.model.cases import Case, Provocation, Reading, Sighting
from harness_studio.model.harness import Harness
from harness_studio.network.expand import expand
from harness_studio.network.network import Overrides
from tests.support.builders import shared_stud
from tests.support.vehicle import vehicle
from tests.support.worked_cases import read_off

PAIRS = (("GP1", "GB1.31"), ("GP1", "shell.rear"), ("M1.31", "GB1.31"))


def taken(
    harness: Harness, joint: str, ohm: float, pairs: tuple[tuple[str, str], ...]
) -> tuple[Reading, ...]:
    return read_off(solve(expand(harness, None, Overrides().with_joint(joint, ohm))), *pairs)


@pytest.fixture(scope="module")
def harness() -> Harness:
    return shared_stud(3, others=2)


def test_predictions_and_logs_are_those_of_full_solutions_one_by_one(harness: Harness) -> None:
    """Every group at every step of the grid solved anew, the covariance by differences of full solutions."""
    case = Case("c", readings=taken(harness, "GP1", 0.1, PAIRS))
    known = Known(harness)
    weighed, found = weigh(known, case, observed(harness, case), lambda: False, lambda part: None, screen=0.0)
    state = known.state(None)
    network, base = state.network, state.base
    tips = [(network.index[m.plus], network.index[m.minus]) for m in found.measured]
    worst = 0.0
    for number, group in enumerate(weighed.groups):
        if group.fault != "series":
            continue
        for step in range(0, len(GRID_OHM), 3):
            ohm = base.done.ohm.copy()
            ohm[network.joints[group.joint]] += GRID_OHM[step]
            done = settle_from(network, FULL, ohm, base.done)
            from harness_studio.electrics.results import finish

            volts = finish(network, done, None).volts
            wanted = [volts[p] - volts[m] for p, m in tips]
            got = weighed.predicted[weighed.variant[number], step]
            worst = max(worst, float(np.abs(np.array(wanted) - got).max()))
    assert worst < 2e-4
    clean = multivariate_normal(weighed.clean, weighed.model.covariance).logpdf(weighed.seen)
    constant = 0.5 * len(weighed.seen) * np.log(2.0 * np.pi)
    assert weighed.none_logs[0] == pytest.approx(clean + constant + np.log(0.025), abs=1e-6)


def test_screening_moves_no_probability_by_more_than_a_thousandth() -> None:
    harness = vehicle(3, 12)
    real = solve(expand(harness, "braking", Overrides().with_joint("GP1", 0.08)))
    tips = ("GP1", "GP2", "F1.out", "GB1.30")
    readings = tuple(
        Reading(
            "volts", mode="braking", plus=tip, minus="GB1.31", value=real.volt(tip), symptom_present="yes"
        )
        for tip in tips
        if tip in real.network.index
    )
    case = Case("c", readings=readings)
    screened = suspects(harness, case)
    known = Known(harness)
    whole, _ = weigh(known, case, observed(harness, case), lambda: False, lambda part: None, screen=0.0)
    from harness_studio.casebook.suspects import together

    full = together(known, case, whole, screened.observed)
    off = np.abs(full.probability - screened.probability)
    chafed = np.array([g.fault == "chafed" for g in full.groups])
    assert float(off[~chafed].max()) < 1e-3
    assert abs(full.none_fits - screened.none_fits) < 1e-3


def test_the_same_reading_ten_times_moves_no_group_by_more_than_a_better_meter_would(
    harness: Harness,
) -> None:
    one = taken(harness, "GP1", 0.02, PAIRS[:1])
    once, often = (suspects(harness, Case("c", readings=one * n)) for n in (1, 10))
    value = one[0].value or 0.0
    meter = (0.005 * abs(value) + 0.002) / np.sqrt(10.0)
    better = suspects(harness, Case("c", readings=(Reading("volts", plus="GP1", minus="GB1.31", value=value,
                                                           accuracy=meter, symptom_present="yes"),)))  # fmt: skip
    assert np.abs(often.probability - better.probability).max() < 1e-6
    assert np.abs(often.probability - once.probability).max() < 0.02


def test_a_group_that_is_predicted_exactly_is_not_lowered_against_one_that_is_predicted_worse(
    harness: Harness,
) -> None:
    first = suspects(harness, Case("c", readings=taken(harness, "GP1", 0.2, PAIRS[:1])))
    second = suspects(harness, Case("c", readings=taken(harness, "GP1", 0.2, PAIRS)))
    mine = next(n for n, g in enumerate(first.groups) if "GP1" in g.members)
    for other in range(len(first.groups)):
        if other != mine and first.probability[other] > 1e-6:
            before = first.probability[mine] / first.probability[other]
            after = second.probability[mine] / max(second.probability[other], 1e-300)
            assert after >= 0.5 * before


def test_amperes_and_ohms_are_read_as_well(harness: Harness) -> None:
    wire = next(w.id for w in harness.wires.values() if {e.text for e in w.ends} == {"M1.31", "GP1"})
    real = solve(expand(harness, None, Overrides().with_joint(f"{wire}@GP1", 5.0)))
    amperes = abs(real.wire(wire).amperes)
    readings = (
        Reading("amperes", at=wire, value=amperes, symptom_present="yes"),
        Reading("ohms", plus=f"{wire}@M1.31", minus="GP1", value=5.0, symptom_present="yes"),
    )
    found = suspects(harness, Case("c", readings=readings))
    assert not found.observed.notes
    assert wire in found.groups[found.ranked()[0]].members


def test_a_fault_that_comes_and_goes_is_not_cleared_by_readings_nobody_watched() -> None:
    harness = shared_stud(3, others=2)
    clean = solve(expand(harness))
    value = clean.volt("GP1")
    seen = (Sighting("M1", "flickers"), Sighting("M2", "flickers"))
    watched, unwatched = (
        suspects(
            harness,
            Case(
                "c",
                sightings=seen,
                readings=(Reading("volts", plus="GP1", minus="GB1.31", value=value, symptom_present=how),),
            ),
        )
        for how in ("yes", "not watched")
    )
    mine = next(n for n, g in enumerate(watched.groups) if g.members == ("GP1",))
    assert unwatched.probability[mine] > 2.0 * watched.probability[mine]
    assert unwatched.away[mine] > 0.0


def test_what_was_provoked_raises_the_joint_it_was_done_to(harness: Harness) -> None:
    seen = (Sighting("M1", "down"), Sighting("M2", "down"))
    plain, wiggled, nothing = (
        suspects(harness, Case("c", sightings=seen, provocations=p))
        for p in (
            (),
            (Provocation("wiggle", "GP1", did="lamps flicker"),),
            (Provocation("wiggle", "GP1", did="nothing"),),
        )
    )
    mine = next(n for n, g in enumerate(plain.groups) if g.members == ("GP1",))
    assert nothing.probability[mine] < plain.probability[mine] < wiggled.probability[mine]


def test_a_calculation_can_be_stopped(harness: Harness) -> None:
    with pytest.raises(Cancelled):
        suspects(harness, Case("c", sightings=(Sighting("M1", "down"),)), cancelled=lambda: True)


def test_progress_is_told_to_the_end(harness: Harness) -> None:
    told: list[float] = []
    suspects(harness, Case("c", sightings=(Sighting("M1", "down"),)), progress=told.append)
    assert told == sorted(told)
    assert told[-1] == 1.0


@pytest.mark.parametrize(
    ("state", "reading", "note"),
    [
        (
            "battery disconnected",
            Reading("volts", plus="GP1", minus="GB1.31", value=0.2),
            "volts with the power off",
        ),
        (None, Reading("ohms", plus="GP1", minus="GB1.31", value=-1.0), "ohms below zero"),
        (None, Reading("amperes", value=3.0), "needs the wire that the clamp was on"),
        (None, Reading("volts", plus="GP1", minus="GP1", value=3.0), "same point"),
    ],
)
def test_what_cannot_be_is_said_and_left_out(
    harness: Harness, state: str | None, reading: Reading, note: str
) -> None:
    found = observed(harness, Case("c", state=state, readings=(reading,)))
    assert not found.measured
    assert note in found.notes[0]


def test_values_between_points_are_those_of_a_monotone_cubic() -> None:
    """SciPy's PchipInterpolator, over values that rise, turn, stand and jump."""
    _, _, steps = fine_grid()
    rng = np.random.default_rng(7)
    coarse = np.cumsum(rng.normal(size=(40, len(GRID_OHM), 3)), axis=1)
    coarse[0], coarse[1, 4:8], coarse[2, 6:] = 1.0, 2.0, 9.0
    expected = PchipInterpolator(np.arange(len(GRID_OHM) - 1), coarse[:, :-1], axis=1)(steps[:-1])
    found = finely(coarse, steps)
    assert found[:, :-1] == pytest.approx(expected, abs=1e-12)
    assert (found[:, -1] == coarse[:, -1]).all()


def test_a_tip_in_the_chain_of_an_open_joint_is_as_sure_as_the_end_it_hangs_on() -> None:
    """Open joints behind one tip predict the same there and spread alike; a dead load's 0 V is known to the meter."""
    harness = shared_stud(3)

    def spreads(minus: str, value: float, *joints: str) -> list[float]:
        reading = Reading(
            "volts", plus="W3@M1.1", minus=minus, value=value, accuracy=0.003, symptom_present="yes"
        )
        known, case = Known(harness), Case("c", readings=(reading,))
        weighed, _ = weigh(known, case, observed(harness, case), lambda: False, lambda part: None, screen=0.0)
        numbers = {g.joint: n for n, g in enumerate(weighed.groups) if g.fault == "series"}
        return [1.0 / float(weighed.inverse[weighed.variant[numbers[j]], -1, 0, 0]) for j in joints]

    same_chain, other_chain, stud = spreads("GB1.30", -0.008, "M1.1/W3", "W4@M1.31", "GP1/W4")
    assert same_chain == pytest.approx(stud, rel=0.05)
    assert other_chain == pytest.approx(stud, rel=0.05)
    (dead,) = spreads("GB1.31", 0.004, "SP1/W3")
    assert dead < 0.005
