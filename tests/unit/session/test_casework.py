"""Suspects beside the window: what is overtaken is dropped, cancelled at once, and never shown."""

from collections.abc import Callable

from harness_studio.model import case_edits
from harness_studio.model.cases import Case, Sighting
from harness_studio.model.harness import Harness
from harness_studio.session.casework import DELAY_MS, Casework
from harness_studio.session.study import Answer, Memory
from tests.unit.session.fakes import Clock


class Studies:
    """Answers with how many sightings there were, and keeps what it was asked."""

    def __init__(self) -> None:
        self.asked: list[int] = []
        self.stopped: list[bool] = []
        self.answer: Answer | None = None

    def study(
        self,
        harness: Harness,
        case: Case,
        revision: int,
        memory: Memory,
        tell: Callable[[str, float], None],
        cancelled: Callable[[], bool],
    ) -> Answer | None:
        self.asked.append(len(case.sightings))
        tell("half", 0.5)
        self.stopped.append(cancelled())
        if self.answer is not None:
            return self.answer
        return None if cancelled() else Answer(case.id, none_fits=float(len(case.sightings)))

    def argue(self, harness: Harness, case: Case) -> Answer:
        return Answer(case.id)


def keep(harness: Harness) -> None:
    case_edits.add_entry(harness, "case_1", "sightings", Sighting("P1", "down")).apply(harness)


def made() -> tuple[Clock, Studies, Casework, Harness, list[str]]:
    clock, studies, told = Clock(), Studies(), []
    work = Casework(clock, lambda: told.append("told"), studies.study, studies.argue)
    harness = Harness()
    case_edits.new_case(harness, "c")[1].apply(harness)
    work.open("case_1")
    return clock, studies, work, harness, told


def test_a_case_without_entries_computes_nothing() -> None:
    clock, studies, work, harness, _ = made()
    work.want(harness, 1)
    clock.pass_ms(5000)
    assert clock.working == 0
    assert not work.busy
    assert studies.asked == []


def test_entries_that_follow_each_other_cost_one_computation() -> None:
    clock, studies, work, harness, _ = made()
    for _ in range(3):
        keep(harness)
        work.want(harness, 1)
        clock.pass_ms(DELAY_MS // 2)
    clock.pass_ms(DELAY_MS)
    assert clock.working == 1
    clock.finish_one()  # the argument
    clock.finish_one()
    assert studies.asked == [3]
    assert work.answer is not None
    assert work.answer.none_fits == 3.0
    assert not work.stale
    assert not work.busy


def owing(case_id: str, whole: Answer | None) -> Answer:
    return Answer(case_id, none_fits=0.25, more=lambda: whole)


def test_suspects_are_shown_while_the_next_reading_is_worked_out() -> None:
    clock, studies, work, harness, told = made()
    studies.answer = owing("case_1", Answer("case_1", none_fits=0.25, stop="clear"))
    keep(harness)
    work.want(harness, 1)
    clock.pass_ms(DELAY_MS)
    clock.finish_one()  # the argument
    clock.finish_one()
    assert work.answer is not None
    assert work.answer.pending
    assert work.answer.none_fits == 0.25
    assert work.busy
    assert not work.stale
    shown = len(told)
    clock.finish_one()
    assert work.answer.stop == "clear"
    assert not work.answer.pending
    assert not work.busy
    assert len(told) == shown + 1


def test_a_newer_entry_while_the_next_reading_is_worked_out_is_answered_after_it() -> None:
    clock, studies, work, harness, _ = made()
    studies.answer = owing("case_1", None)
    keep(harness)
    work.want(harness, 1)
    clock.pass_ms(DELAY_MS)
    clock.finish_one()
    clock.finish_one()
    keep(harness)
    studies.answer = None
    work.want(harness, 1)
    clock.pass_ms(DELAY_MS)
    assert work.stale
    assert clock.working == 1  # one at a time
    for _ in range(3):
        clock.finish_one()
    assert work.answer is not None
    assert work.answer.none_fits == 2.0
    assert not work.busy


def test_stopped_while_the_next_reading_is_worked_out_the_suspects_stay() -> None:
    clock, studies, work, harness, _ = made()
    studies.answer = owing("case_1", Answer("case_1"))
    keep(harness)
    work.want(harness, 1)
    clock.pass_ms(DELAY_MS)
    clock.finish_one()
    clock.finish_one()
    work.cancel()
    clock.finish_one()
    assert work.answer is not None
    assert work.answer.pending
    assert work.answer.none_fits == 0.25
    assert work.stopped
    assert not work.busy


def test_a_late_answer_is_dropped_and_the_newer_entry_computed() -> None:
    clock, studies, work, harness, _ = made()
    keep(harness)
    work.want(harness, 1)
    clock.pass_ms(DELAY_MS)
    clock.finish_one()
    keep(harness)
    work.want(harness, 1)
    clock.pass_ms(DELAY_MS)
    assert clock.working == 1  # one at a time
    clock.finish_one()
    assert studies.stopped == [True]
    assert work.answer is None or work.answer.none_fits == 0.0
    assert clock.working == 1
    clock.finish_one()
    clock.finish_one()
    assert work.answer is not None
    assert work.answer.none_fits == 2.0


def test_cancel_keeps_what_was_known_and_again_computes() -> None:
    clock, studies, work, harness, _ = made()
    keep(harness)
    work.want(harness, 1)
    clock.pass_ms(DELAY_MS)
    clock.finish_one()
    work.cancel()
    assert work.stopped
    assert not work.busy
    clock.finish_one()
    assert work.answer is not None  # the argument was known before
    assert work.answer.suspects == ()
    work.want(harness, 1)  # nothing new: it stays stopped
    clock.pass_ms(DELAY_MS)
    assert clock.working == 0
    work.again(harness)
    clock.pass_ms(DELAY_MS)
    clock.finish_one()
    clock.finish_one()
    assert not work.stopped
    assert work.answer.none_fits == 1.0
    assert studies.asked == [1, 1]


def test_words_and_mends_of_a_case_change_no_suspects() -> None:
    clock, _, work, harness, _ = made()
    keep(harness)
    work.want(harness, 1)
    clock.pass_ms(DELAY_MS)
    clock.finish_one()
    clock.finish_one()
    case_edits.set_case(harness, "case_1", complaint="another").apply(harness)
    work.want(harness, 1)
    clock.pass_ms(DELAY_MS)
    assert clock.working == 0
    work.want(harness, 2)  # the circuit changed
    assert work.stale
    clock.pass_ms(DELAY_MS)
    assert clock.working == 1


def test_another_case_lets_go_of_the_former_answer() -> None:
    clock, _, work, harness, _ = made()
    keep(harness)
    work.want(harness, 1)
    clock.pass_ms(DELAY_MS)
    clock.finish_one()
    clock.finish_one()
    work.open("case_2")
    assert work.answer is None
    work.open("case_1")
    work.want(harness, 1)
    assert work.busy
