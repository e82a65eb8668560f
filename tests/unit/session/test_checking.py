"""Findings beside the window: after a rest, one check at a time, what is overtaken dropped, no mode solved twice."""

from dataclasses import replace

import pytest

from harness_studio.base.changes import Changes
from harness_studio.checks import accepting
from harness_studio.checks import scope as scopes
from harness_studio.model.harness import Harness
from harness_studio.session.checking import DELAY_MS, LOOK_MS, Checking
from tests.unit.checks import harnesses as h
from tests.unit.session.fakes import Clock

WIRE = Changes(updated=frozenset([("wires", "W5")]))


class Modes:
    """Keeps which modes were solved."""

    def __init__(self, monkeypatch: pytest.MonkeyPatch) -> None:
        self.solved: list[str | None] = []
        whole = scopes.solved_in

        def counted(harness: Harness, mode: str | None, **more: bool) -> object:
            self.solved.append(mode)
            return whole(harness, mode, **more)

        monkeypatch.setattr(scopes, "solved_in", counted)


@pytest.fixture
def modes(monkeypatch: pytest.MonkeyPatch) -> Modes:
    return Modes(monkeypatch)


def opened(harness: Harness) -> tuple[Clock, Checking, list[str]]:
    clock, told = Clock(), []
    checking = Checking(clock, lambda: told.append("told"))
    checking.open(harness, 1)
    return clock, checking, told


def done(clock: Clock) -> None:
    clock.pass_ms(DELAY_MS)
    clock.finish_one()


def test_findings_come_when_the_harness_has_rested(modes: Modes) -> None:
    clock, checking, told = opened(h.sound())
    assert (checking.busy, checking.findings, clock.working) == (True, (), 0)
    done(clock)
    assert [f.key for f in checking.findings] == ["fuse_missing/W1"]
    assert checking.latest is not None
    assert checking.latest.counts() == {"stop": 0, "mend": 0, "note": 1, "accepted": 0}
    assert (checking.busy, checking.stale, modes.solved) == (False, False, ["parked", "driving"])
    assert told


def test_edits_that_follow_each_other_cost_one_check() -> None:
    harness = h.sound()
    clock, checking, _ = opened(harness)
    for revision in (2, 3, 4):
        clock.pass_ms(DELAY_MS // 2)
        checking.want(harness, revision, WIRE)
    assert clock.working == 0
    done(clock)
    assert not checking.busy


def test_what_is_overtaken_is_never_shown() -> None:
    harness = h.sound()
    clock, checking, _ = opened(harness)
    clock.pass_ms(DELAY_MS)
    h.wire(harness, "W5", area_mm2=0.22)
    checking.want(harness, 2, WIRE)
    clock.finish_one()  # of the harness as it was
    assert checking.findings == ()
    done(clock)
    assert "fuse_wire/W5" in {f.key for f in checking.findings}


def test_it_works_on_the_harness_as_it_was_when_it_began() -> None:
    harness = h.sound()
    clock, checking, _ = opened(harness)
    clock.pass_ms(DELAY_MS)
    h.wire(harness, "W5", area_mm2=0.22)
    clock.finish_one()
    assert [f.key for f in checking.findings] == ["fuse_missing/W1"]


def test_what_changes_no_current_solves_no_mode_again(modes: Modes) -> None:
    harness = h.sound()
    clock, checking, _ = opened(harness)
    done(clock)
    _, changes = accepting.accept(checking.findings[0], "short, sleeved").apply(harness)
    checking.want(harness, 1, changes)
    done(clock)
    assert modes.solved == ["parked", "driving"]
    assert checking.findings[0].accepted == "short, sleeved"
    assert checking.latest is not None
    assert checking.latest.counts()["accepted"] == 1


def test_a_changed_circuit_is_solved_again(modes: Modes) -> None:
    harness = h.sound()
    clock, checking, _ = opened(harness)
    done(clock)
    h.joint(harness, "GP1", 45.0)
    checking.want(harness, 2, Changes(added=frozenset([("joints", "GP1")])))
    done(clock)
    assert modes.solved == ["parked", "driving"] * 2
    assert "ground_rise/GP1" in {f.key for f in checking.findings}


def test_another_way_to_find_ampacity_judges_again_without_solving(modes: Modes) -> None:
    harness = h.sound()
    clock, checking, _ = opened(harness)
    done(clock)
    edit = accepting.choose_way(harness, "iso_6722")
    assert edit is not None
    _, changes = edit.apply(harness)
    checking.want(harness, 1, changes)
    done(clock)
    assert checking.latest is not None
    assert str(checking.latest.scope.how) == "handbook table iso_6722"
    assert modes.solved == ["parked", "driving"]


def test_progress_is_told_and_a_check_can_be_stopped_and_taken_up_again() -> None:
    clock, checking, told = opened(h.sound())
    clock.pass_ms(DELAY_MS)
    assert checking.progress is not None
    told.clear()
    clock.pass_ms(LOOK_MS)
    assert told
    checking.cancel()
    assert (checking.stopped, checking.stale, checking.progress) == (True, True, None)
    clock.finish_one()
    assert checking.findings == ()
    checking.again()
    done(clock)
    assert [f.key for f in checking.findings] == ["fuse_missing/W1"]


def test_a_stopped_check_leaves_what_was_known() -> None:
    harness = h.sound()
    clock, checking, _ = opened(harness)
    done(clock)
    checking.want(harness, 2, WIRE)
    checking.cancel()
    assert [f.key for f in checking.findings] == ["fuse_missing/W1"]


def test_a_mode_without_a_solution_is_a_finding_and_an_empty_harness_has_none() -> None:
    harness = h.sound()
    harness.wires["W5"] = replace(harness.wires["W5"], material="cheese")
    clock, checking, _ = opened(harness)
    done(clock)
    assert "mode_not_judged/parked" in {key for f in checking.findings for key in f.keys}
    clock, checking, _ = opened(Harness())
    clock.pass_ms(DELAY_MS)
    assert (clock.working, checking.latest, checking.busy) == (0, None, False)


def test_another_harness_starts_anew() -> None:
    clock, checking, _ = opened(h.sound())
    done(clock)
    other = h.sound()
    h.joint(other, "GP1", 45.0)
    checking.open(other, 1)
    assert checking.findings == ()
    done(clock)
    assert "ground_rise/GP1" in {f.key for f in checking.findings}
