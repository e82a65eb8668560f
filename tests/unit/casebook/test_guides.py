"""Ready-made tests and what the same readings say after a mend."""

import pytest

from harness_studio.base.errors import HarnessError
from harness_studio.casebook.after import after_mend
from harness_studio.casebook.ready_made import TESTS, ready_made
from harness_studio.electrics.solve import solve
from harness_studio.model.cases import Case, Mend, Reading
from harness_studio.model.harness import Harness
from harness_studio.network.expand import expand
from harness_studio.network.network import Overrides
from tests.support.builders import shared_stud
from tests.support.vehicle import vehicle

LIMITS = {"starter_feed_drop_v": 0.5, "charging_feed_drop_v": 0.2, "key_off_total_a": 0.05}


@pytest.fixture(scope="module")
def harness() -> Harness:
    return vehicle(3, 12)


def test_cranking_asks_for_both_sides_of_the_starter(harness: Harness) -> None:
    found = ready_made(harness, "cranking", LIMITS.get)
    solution = solve(expand(harness, found.mode))
    feed = next(s for s in found.steps if s.rule == "starter_feed_drop_v")
    assert (feed.plus, feed.minus, feed.limit) == ("GB1.30", "M1.30", 0.5)
    assert feed.expected == pytest.approx((solution.volt("GB1.30") or 0.0) - (solution.volt("M1.30") or 0.0))
    assert any(s.rule == "starter_return_drop_v" and "M1.31" in (s.plus, s.minus) for s in found.steps)
    assert "crank 10 s at most" in feed.caution


def test_charging_asks_from_the_alternator_to_the_posts(harness: Harness) -> None:
    found = ready_made(harness, "charging", LIMITS.get)
    assert expand(harness, found.mode).mode.engine == "running"
    pairs = {frozenset((s.plus, s.minus)) for s in found.steps}
    assert frozenset(("G1.B+", "GB1.30")) in pairs
    assert frozenset(("G1.B-", "GB1.31")) in pairs


def test_key_off_drain_gives_amperes_and_millivolts_by_fuse(harness: Harness) -> None:
    found = ready_made(harness, "key-off drain", LIMITS.get)
    assert found.mode == "off"
    over = [s.expected or 0.0 for s in found.steps if s.kind == "fuse_mv"]
    assert over == sorted(over, reverse=True)
    clamped = [s.limit for s in found.steps if s.kind == "amperes"]
    assert clamped == [0.05] or any("no more than 0.05 A" in words for words in found.missing)


@pytest.mark.parametrize("test", TESTS)
def test_a_harness_without_such_a_mode_says_so(test: str) -> None:
    with pytest.raises(HarnessError, match="needs a"):
        ready_made(shared_stud(2), test, LIMITS.get)  # type: ignore[arg-type]


def read(ohm: float | None, after: bool, confirmed: bool = True) -> Reading:
    overrides = Overrides().with_joint("GP1", ohm) if ohm is not None else Overrides()
    found = solve(expand(shared_stud(3), None, overrides))
    volts = (found.volt("GP1") or 0.0) - (found.volt("shell.rear") or 0.0)
    return Reading(
        "volts", plus="GP1", minus="shell.rear", value=volts, after_mend=after, current_confirmed=confirmed
    )


def test_after_a_mend_both_milliohms_are_implied_and_the_case_is_closed() -> None:
    case = Case(
        "c",
        readings=(read(0.02, False), read(None, True)),
        mends=(Mend("cleaned", ("GP1",)),),
        fault_made_to_come_back=True,
    )
    found = after_mend(shared_stud(3), case)
    (pair,) = found.pairs
    assert found.closed
    assert not found.leads
    assert pair.was is not None
    assert pair.now is not None
    assert pair.was_mohm is not None
    assert pair.now_mohm is not None
    clean = float(expand(shared_stud(3)).branches.resistance_ohm[expand(shared_stud(3)).joints["GP1"]]) * 1e3
    assert pair.now_mohm == pytest.approx(clean, rel=0.05)
    assert pair.was_mohm == pytest.approx(
        20.0, rel=0.25
    )  # by the clean current, which the fault lowers a little


def test_a_pair_that_still_reads_high_is_not_closed() -> None:
    case = Case("c", readings=(read(0.5, False), read(0.2, True)), mends=(Mend("cleaned", ("GP1",)),))
    assert after_mend(shared_stud(3), case).closed is False


def test_a_pair_not_taken_again_leaves_it_open() -> None:
    case = Case("c", readings=(read(0.5, False),), mends=(Mend("cleaned", ("GP1",)),))
    assert after_mend(shared_stud(3), case).closed is None


def test_false_leads_are_named() -> None:
    mends = (Mend("second ground added", ("GP1",)), Mend("new crimp", ("W4@GP1",)))
    last = read(None, True, confirmed=False)
    case = Case("c", readings=(read(0.5, False), last), mends=mends)
    leads = " ".join(after_mend(shared_stud(3), case).leads)
    assert "masks the joint" in leads
    assert "more than one thing was changed" in leads
    assert "made to come back" in leads
