"""Waiting for a pause, one computation at a time, and nothing shown that was overtaken."""

import logging

from harness_studio.session.recompute import DELAY_MS, Job, Recompute, compute, share_out
from harness_studio.session.results import Key, Result
from tests.unit.session.fakes import Clock, CountingEngine, no_solution, two_wires


def machine() -> tuple[Clock, CountingEngine, list[int], Recompute]:
    clock, engine, arrived = Clock(), CountingEngine(), list[int]()
    return (
        clock,
        engine,
        arrived,
        Recompute(clock, engine, lambda result: arrived.append(result.key.revision)),
    )


def job(revision: int) -> Job:
    return Job(two_wires(), Key(revision, "on"))


def test_requests_that_follow_closely_are_computed_once() -> None:
    clock, engine, arrived, recompute = machine()
    for revision in (1, 2, 3):
        recompute.ask(lambda revision=revision: job(revision))  # type: ignore[misc]
        clock.pass_ms(DELAY_MS - 1)
    assert clock.working == 0
    clock.pass_ms(1)
    clock.finish_one()
    assert arrived == [3]
    assert [key.revision for key in engine.solved] == [3]


def test_an_overtaken_computation_is_dropped_and_the_next_starts_when_it_ends() -> None:
    clock, _, arrived, recompute = machine()
    recompute.ask(lambda: job(1))
    clock.pass_ms(DELAY_MS)
    recompute.ask(lambda: job(2))
    clock.pass_ms(DELAY_MS)
    assert clock.working == 1  # the second waits for the first
    clock.finish_one()
    assert arrived == []
    clock.finish_one()
    assert arrived == [2]


def test_what_is_dropped_never_arrives() -> None:
    clock, _, arrived, recompute = machine()
    recompute.ask(lambda: job(1))
    recompute.drop()
    clock.pass_ms(DELAY_MS)
    assert clock.working == 0
    recompute.ask(lambda: job(2))
    clock.pass_ms(DELAY_MS)
    recompute.drop()
    clock.finish_one()
    assert arrived == []
    recompute.ask(lambda: job(3))
    clock.pass_ms(DELAY_MS)
    clock.finish_one()
    assert arrived == [3]


def test_the_snapshot_is_taken_when_the_computation_starts() -> None:
    clock, _, _, recompute = machine()
    taken: list[int] = []
    recompute.ask(lambda: (taken.append(clock.now_ms), job(1))[1])
    assert taken == []
    clock.pass_ms(DELAY_MS)
    assert taken == [DELAY_MS]


def test_a_network_without_a_solution_says_why_in_one_line() -> None:
    engine = CountingEngine()
    engine.fails = no_solution()
    result = compute(engine, job(1))
    assert result.problem == "F4: no convergence after 40 iterations"
    assert result.solution is None
    assert result.solve_ms is None


def test_a_defect_of_the_engine_is_logged_and_told(expected_logs: list[logging.LogRecord]) -> None:
    engine = CountingEngine()
    engine.fails = ZeroDivisionError("division by zero")
    result = compute(engine, job(1))
    assert result.problem == "a defect of the program, see the log: ZeroDivisionError: division by zero"
    assert [r.getMessage() for r in expected_logs] == ["the harness could not be solved"]


def test_the_joint_that_is_looked_at_is_shared_out_beside_the_solution() -> None:
    engine = CountingEngine()
    result = compute(engine, Job(two_wires(), Key(1, "on"), "GP1"))
    assert result.shares == {"GP1": "shares of GP1 with 2 wires, on"}
    assert result.solve_ms is not None
    assert result.solve_ms >= 0


def test_shares_are_computed_once_per_joint_and_none_for_what_is_no_joint() -> None:
    engine = CountingEngine()
    result = compute(engine, job(1))
    assert share_out(engine, result, "GP9") is None
    assert share_out(engine, result, "GP9") is None
    assert share_out(engine, result, "GP1") is share_out(engine, result, "GP1")
    assert engine.shared == ["GP9", "GP1"]
    assert share_out(engine, Result(Key(1)), "GP1") is None
