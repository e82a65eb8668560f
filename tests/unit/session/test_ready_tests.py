"""Ready-made tests: what is expected is what solve says of the same points; limits are those of the set in force."""

import pytest

from harness_studio.checks.limits import in_force
from harness_studio.electrics.solve import solve
from harness_studio.model.cases import Case, Reading
from harness_studio.model.harness import Harness
from harness_studio.network.expand import expand
from harness_studio.session.ready_tests import Step, judged, ready_tests, taken
from harness_studio.storage.project_file import read_project
from tests.support.builders import shared_stud


@pytest.fixture(scope="module")
def pickup(sample_projects_dir):
    return read_project(sample_projects_dir / "estuary_pickup.yaml").harness


@pytest.fixture(scope="module")
def tests(pickup):
    return {t.id: t for t in ready_tests(pickup)}


def test_each_expected_value_is_what_solve_says(pickup, tests) -> None:
    solved = {}
    for test in tests.values():
        assert test.steps
        for step in test.steps:
            mode = step.reading.mode
            if mode not in solved:
                solved[mode] = solve(expand(pickup, mode))
            found = solved[mode]
            if step.reading.kind == "volts":
                wanted = found.volt(step.reading.plus) - found.volt(step.reading.minus)
            elif step.reading.kind == "fuse_mv":
                at = step.reading.at
                wanted = abs(found.volt(f"{at}.in") - found.volt(f"{at}.out")) * 1e3
            else:
                wanted = abs(dict(found.wires())[step.reading.at].amperes)
            assert step.expected == pytest.approx(wanted)


def test_modes_are_cranking_running_and_with_the_key_off(pickup, tests) -> None:
    assert {s.reading.mode for s in tests["cranking"].steps} == {"cranking"}
    assert {s.reading.mode for s in tests["key-off drain"].steps} == {"parked"}
    (running,) = {s.reading.mode for s in tests["charging"].steps}
    assert expand(pickup, running).mode.engine in ("running", "idling")


def test_limits_are_those_of_the_set_in_force(pickup, tests) -> None:
    limits = in_force(pickup.settings.limits, pickup.settings.system_v)
    by_pair = {(s.reading.plus, s.reading.minus): s for t in tests.values() for s in t.steps}
    assert by_pair["GB1.30", "M1.30"].limit == limits.value("starter_feed_drop_v")
    assert by_pair["M1.31", "GB1.31"].limit == limits.value("starter_return_drop_v")
    assert by_pair["G1.B+", "GB1.30"].limit == limits.value("charging_feed_drop_v")
    assert limits.title in by_pair["G1.B+", "GB1.30"].limit_words


def test_the_post_is_measured_apart_from_its_clamp_and_its_cable(tests) -> None:
    pairs = {(s.reading.plus, s.reading.minus) for s in tests["cranking"].steps}
    assert {("GB1.30", "W1@GB1.30"), ("W1@GB1.30", "W1@M1.30"), ("W6@GB1.31", "GB1.31")} <= pairs


def test_every_lead_of_the_grounded_post_is_clamped_and_the_sum_told(tests) -> None:
    drain = tests["key-off drain"]
    assert [s.reading.at for s in drain.steps if s.reading.kind == "amperes"] == ["W6", "W7", "W339"]
    assert drain.notes == (
        "W6, W7, W339 are all leads of the grounded post: add them up; together no more than 0.05 A",
    )
    assert {s.reading.at for s in drain.steps if s.reading.kind == "fuse_mv"} >= {"F19", "F15", "F1"}


def test_what_a_harness_lacks_is_told(sample_projects_dir) -> None:
    first = {t.id: t for t in ready_tests(read_project(sample_projects_dir / "first_harness.yaml").harness)}
    assert first["cranking"].notes == (
        "the cranking test needs a mode with the engine cranking; there is none",
    )
    assert first["key-off drain"].notes == (
        "the key-off drain test needs a mode with the key off; there is none",
    )
    assert first["charging"].steps
    for test in (*ready_tests(Harness()), *ready_tests(shared_stud(2))):
        assert test.notes
        assert not test.steps


def test_a_mode_counts_as_key_off_by_its_cut_off_switch_or_its_name(sample_projects_dir) -> None:
    buggy = {t.id: t for t in ready_tests(read_project(sample_projects_dir / "track_buggy.yaml").harness)}
    assert {s.reading.mode for s in buggy["key-off drain"].steps} == {"stored"}


def test_the_latest_reading_of_a_step_counts_and_is_judged() -> None:
    step = Step("whole feed", Reading("volts", "cranking", "GB1.30", "M1.30"), 0.178, 0.5)
    case = Case("c", readings=(Reading("volts", "cranking", "GB1.30", "M1.30", value=0.7),) * 2)
    assert taken(case, step) is case.readings[1]
    assert judged(step, 0.7) == "over the limit"
    assert judged(step, -0.4) == "within the limit"
    plain = Step("battery", Reading("volts"), 12.6)
    assert [judged(plain, v) for v in (12.5, 9.0, 15.0)] == ["as expected", "lower", "higher"]
