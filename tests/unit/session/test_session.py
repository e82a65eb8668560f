"""One open project as a window, a command or a test sees it."""

from typing import Any

import pytest

from harness_studio.base.errors import EditError, HarnessError
from harness_studio.model.edits import Remove, change, put, remove_with_wires
from harness_studio.model.entities import Annotation, Page
from harness_studio.model.harness import Harness
from harness_studio.model.values import At
from harness_studio.session.project import Project
from harness_studio.session.recompute import DELAY_MS
from harness_studio.session.scheduler import Synchronous
from harness_studio.session.session import Session
from tests.unit.session.fakes import Clock, CountingEngine, no_solution, two_wires


def session(harness: Harness | None = None) -> tuple[Session, CountingEngine]:
    engine = CountingEngine()
    return Session(Project(harness or two_wires()), Synchronous(), engine), engine


def listen(session: Session) -> list[tuple[str, Any]]:
    heard: list[tuple[str, Any]] = []
    for kind in ("changes", "results", "selection", "chosen", "mode"):
        session.subscribe(kind, lambda value, kind=kind: heard.append((kind, value)))  # type: ignore[misc,arg-type]
    return heard


def test_an_edit_is_told_and_then_its_results() -> None:
    opened, _ = session()
    heard = listen(opened)
    changes = opened.apply(change(opened.harness, "wires", "W1", "colour W1", colour="BN"))
    assert heard == [("changes", changes), ("results", "2 wires, on")]
    assert changes.updated == {("wires", "W1")}
    assert opened.history == ("colour W1",)
    assert (opened.can_undo, opened.can_redo) == (True, False)


def test_a_refused_edit_is_told_to_nobody() -> None:
    opened, engine = session()
    heard = listen(opened)
    with pytest.raises(EditError):
        opened.apply(Remove("splices", "SP1"))
    assert heard == []
    assert len(engine.solved) == 1


def test_undo_and_redo_show_results_that_are_known_without_solving() -> None:
    opened, engine = session()
    opened.apply(remove_with_wires(opened.harness, [("wires", "W2")]))
    assert opened.solution == "1 wires, on"
    solved = len(engine.solved)
    heard = listen(opened)
    opened.undo()
    assert opened.solution == "2 wires, on"
    opened.redo()
    assert opened.solution == "1 wires, on"
    assert len(engine.solved) == solved == 2
    assert [kind for kind, _ in heard] == ["changes", "results"] * 2


def test_moving_a_symbol_keeps_the_results() -> None:
    opened, engine = session()
    opened.apply(put("pages", Page("p", items={"SP1": At(10, 10)})))
    opened.apply(put("annotations", Annotation("n1", "SP1", "here")))
    assert len(engine.solved) == 1
    assert not opened.computed.stale
    opened.apply(change(opened.harness, "wires", "W1", area_mm2=2.5))
    opened.undo()
    opened.undo()
    assert len(engine.solved) == 2
    assert not opened.computed.stale
    assert opened.can_undo


def test_results_are_stale_from_the_edit_until_they_arrive() -> None:
    clock, engine = Clock(), CountingEngine()
    opened = Session(Project(two_wires()), clock, engine)
    assert opened.solution is None
    assert opened.solve_ms is None
    clock.pass_ms(DELAY_MS)
    clock.finish_one()
    assert (opened.solution, opened.computed.stale) == ("2 wires, on", False)
    opened.apply(remove_with_wires(opened.harness, [("wires", "W2")]))
    assert (opened.solution, opened.computed.stale) == ("2 wires, on", True)
    clock.pass_ms(DELAY_MS)
    opened.apply(change(opened.harness, "wires", "W1", colour="BK"))  # the first computation is overtaken
    clock.finish_one()
    assert (opened.solution, opened.computed.stale) == ("2 wires, on", True)
    clock.pass_ms(DELAY_MS)
    clock.finish_one()
    assert (opened.solution, opened.computed.stale) == ("1 wires, on", False)


def test_another_mode_is_computed_and_remembered() -> None:
    opened, engine = session()
    heard = listen(opened)
    opened.set_mode("off")
    opened.set_mode("off")
    assert (opened.mode, opened.solution) == ("off", "2 wires, off")
    opened.set_mode(None)
    assert opened.mode == "on"
    assert len(engine.solved) == 2
    assert [kind for kind, _ in heard] == ["mode", "results"] * 2
    with pytest.raises(EditError, match="no mode 'running'"):
        opened.set_mode("running")


def test_a_removed_mode_is_left() -> None:
    opened, _ = session()
    heard = listen(opened)
    opened.apply(Remove("modes", "on"))
    assert ("mode", "off") in heard
    assert opened.solution == "2 wires, off"


def test_what_is_set_beside_the_file_is_computed_and_not_saved() -> None:
    opened, engine = session()
    opened.set_overrides("dial at 200")  # type: ignore[arg-type]
    assert engine.solved[-1].overrides == "dial at 200"
    assert opened.overrides == "dial at 200"
    assert (opened.unsaved, opened.can_undo) == (False, False)
    opened.set_overrides(None)
    assert len(engine.solved) == 2


def test_the_ground_map_belongs_to_the_chosen_joint() -> None:
    opened, engine = session()
    heard = listen(opened)
    assert opened.ground_map() is None
    opened.choose("GP1")
    assert opened.ground_map() == "shares of GP1 with 2 wires, on"
    opened.set_mode("off")
    assert opened.ground_map() == "shares of GP1 with 2 wires, off"
    assert engine.shared == ["GP1", "GP1"]
    opened.choose("SP1")
    assert opened.ground_map() is None
    assert [value for kind, value in heard if kind == "chosen"] == ["GP1", "SP1"]


def test_what_is_removed_is_neither_selected_nor_chosen_any_more() -> None:
    opened, _ = session()
    opened.select(["W1", "W2"])
    opened.choose("W2@SP1")
    heard = listen(opened)
    opened.apply(remove_with_wires(opened.harness, [("wires", "W2")]))
    assert opened.selection == {"W1"}
    assert opened.chosen is None
    assert [kind for kind, _ in heard] == ["changes", "selection", "chosen", "results"]


def test_no_solution_is_a_result_too() -> None:
    engine = CountingEngine()
    engine.fails = no_solution()
    opened = Session(Project(two_wires()), Synchronous(), engine)
    opened.choose("GP1")
    assert opened.solution is None
    assert opened.ground_map() is None
    assert opened.computed.problem == "F4: no convergence after 40 iterations"


def test_unsaved_follows_undo_and_redo() -> None:
    opened, _ = session()
    assert not opened.unsaved
    opened.apply(change(opened.harness, "settings", "", title="Barge tender"))
    assert (opened.title, opened.unsaved) == ("Barge tender", True)
    opened.undo()
    assert not opened.unsaved
    opened.redo()
    assert opened.unsaved


def test_a_harness_without_a_file_has_to_be_told_where_to_go() -> None:
    opened = Session(Project(Harness()), Synchronous(), CountingEngine())
    assert (opened.path, opened.read_only, opened.mode) == (None, False, None)
    with pytest.raises(HarnessError, match="no file yet"):
        opened.save()
