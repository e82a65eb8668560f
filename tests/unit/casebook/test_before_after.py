"""Before and after a mend. Readings come from full solutions with the joint dialled."""

from dataclasses import replace

import pytest

from harness_studio.casebook.after import after_mend, paired
from harness_studio.casebook.before_after import before_after
from harness_studio.electrics.solve import solve
from harness_studio.model.cases import Case, Mend, Reading
from harness_studio.model.harness import Harness
from harness_studio.network.expand import expand
from harness_studio.network.network import Overrides
from harness_studio.storage.project_file import read_project
from tests.support.builders import shared_stud

TIPS = ("GP1", "GB1.31")
MEND = Mend("stud cleaned", ("GP1",), "2026-03-02", "us")


def volts(harness: Harness, ohm: float | None, plus: str = TIPS[0], minus: str = TIPS[1]) -> float:
    overrides = Overrides().with_joint("GP1", ohm) if ohm is not None else None
    found = solve(expand(harness, None, overrides))
    first, second = found.volt(plus), found.volt(minus)
    assert first is not None
    assert second is not None
    return first - second


def reading(value: float | None, *, after: bool = False, plus: str = TIPS[0]) -> Reading:
    return Reading("volts", plus=plus, minus=TIPS[1], value=value, after_mend=after)


@pytest.fixture
def harness() -> Harness:
    return shared_stud(3, others=2)


def clean_ohm(harness: Harness) -> float:
    network = expand(harness)
    return float(network.branches.resistance_ohm[network.joints["GP1"]])


@pytest.mark.parametrize("added_ohm", [0.003, 0.03, 0.15, 0.4])
def test_both_readings_imply_the_resistance_that_made_them(harness: Harness, added_ohm: float) -> None:
    bad = volts(harness, clean_ohm(harness) + added_ohm)
    case = Case("c", readings=(reading(bad), reading(volts(harness, None), after=True)), mends=(MEND,))
    (pair,) = before_after(harness, case).pairs
    assert pair.before_ohm == pytest.approx(added_ohm, rel=0.01)
    assert pair.after_ohm == pytest.approx(0.0, abs=1e-4)
    assert pair.clean == pytest.approx(volts(harness, None))


@pytest.mark.parametrize(
    ("left_ohm", "standing", "said"),
    [
        (0.0, "as a clean one", "Clean after the mend"),
        (0.06, "better", "Better, but not clean"),
        (0.19, "no better", "did not help"),
    ],
)
def test_what_is_left_says_whether_it_is_closed(
    harness: Harness, left_ohm: float, standing: str, said: str
) -> None:
    clean = clean_ohm(harness)
    before, after = volts(harness, clean + 0.2), volts(harness, clean + left_ohm)
    case = Case("c", readings=(reading(before), reading(after, after=True)), mends=(MEND,))
    found = before_after(harness, case)
    assert found.pairs[0].standing == standing
    assert said in found.said


def test_a_pair_that_does_not_see_the_joint_implies_nothing(harness: Harness) -> None:
    own = reading(volts(harness, None, "GP2"), plus="GP2")
    again = reading(own.value, after=True, plus="GP2")
    (pair,) = before_after(harness, Case("c", readings=(own, again), mends=(MEND,))).pairs
    assert pair.before_ohm is None
    assert pair.standing == "was clean before"


def test_it_is_proven_only_once_the_fault_came_back(harness: Harness) -> None:
    before, after = volts(harness, clean_ohm(harness) + 0.2), volts(harness, None)
    case = Case(
        "c",
        readings=(reading(before), reading(after, after=True)),
        mends=(MEND,),
        fault_made_to_come_back=True,
    )
    assert before_after(harness, case).said.startswith("Proven")


def test_the_latest_reading_of_a_pair_counts_and_each_pair_stands_once() -> None:
    first, second = reading(0.3), reading(0.4)
    case = Case("c", readings=(first, second, reading(None, after=True), reading(0.01, after=True)))
    ((before, after),) = paired(case)
    assert before == second
    assert after is not None
    assert after.value == 0.01


COME_BACK = "the fault was not made to come back"


def leads(harness: Harness, *mends: Mend, after: Reading | None = None) -> list[str]:
    readings = (reading(0.2), after) if after is not None else ()
    found = after_mend(harness, Case("c", readings=readings, mends=mends)).leads
    return [lead for lead in found if not lead.startswith(COME_BACK)]


@pytest.mark.parametrize(
    ("mends", "told"),
    [
        ((Mend("second ground wire added to the tank"),), "masks the joint"),
        ((Mend("jumper lead from case to post"),), "masks the joint"),
        ((Mend("GP1 cleaned", ("GP1",)), Mend("GP2 cleaned", ("GP2",))), "which one mended it"),
        ((Mend("cleaned", ("GP1", "GP2")),), "which one mended it"),
    ],
)
def test_false_leads_are_named(harness: Harness, mends: tuple[Mend, ...], told: str) -> None:
    assert any(told in lead for lead in leads(harness, *mends))


def test_nothing_read_after_the_mend_may_be_no_current(harness: Harness) -> None:
    (told,) = leads(harness, MEND, after=reading(0.001, after=True))
    assert "0 V may be no current" in told
    sure = replace(reading(0.001, after=True), current_confirmed=True)
    assert leads(harness, MEND, after=sure) == []


def test_a_fault_that_was_not_made_to_come_back_may_have_gone_by_itself(harness: Harness) -> None:
    case = Case("c", readings=(reading(0.2), reading(0.02, after=True)), mends=(MEND,))
    assert any(lead.startswith(COME_BACK) for lead in after_mend(harness, case).leads)
    tried = replace(case, fault_made_to_come_back=True)
    assert not any(lead.startswith(COME_BACK) for lead in after_mend(harness, tried).leads)


def test_one_mend_of_a_wire_and_its_stud_is_no_false_lead(harness: Harness) -> None:
    assert leads(harness, Mend("lug crimped anew", ("W5", "F3"))) == []


def test_points_and_modes_that_are_gone_cannot_be_told(harness: Harness) -> None:
    case = Case(
        "c",
        readings=(
            reading(0.2, plus="GP77"), reading(0.1, plus="GP77", after=True),
            Reading("volts", "gone", *TIPS, value=0.2), Reading("volts", "gone", *TIPS, value=0.1, after_mend=True),
        ),
        mends=(MEND,),
    )  # fmt: skip
    assert [p.standing for p in before_after(harness, case).pairs] == ["cannot be told"] * 2


def test_a_pair_that_moves_only_because_the_currents_do_implies_nothing(sample_projects_dir) -> None:
    """Across the charge cable's lug the fault shows; on the ground side only the charge current's change does."""
    harness = read_project(sample_projects_dir / "estuary_pickup.yaml").harness
    case = harness.tables["cases"]["night_charge"]
    by_tips = {(p.before.plus, p.before.minus): p for p in before_after(harness, case).pairs}
    lug = by_tips["W5@F3.out", "A4.30"]
    assert lug.before_ohm == pytest.approx(0.017, abs=0.002)  # the case's note: 17 mΩ
    assert by_tips["GB1.31", "G1.B-"].before_ohm is None
    assert by_tips["G1.B+", "W5@F3.out"].before_ohm is None  # the cable itself
