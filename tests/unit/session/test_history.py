"""Undo and redo: all of a step or nothing, and back to the very same harness."""

from dataclasses import dataclass

import pytest

from harness_studio.base.changes import Changes
from harness_studio.base.errors import EditError
from harness_studio.model.edits import Edit, Put, Remove, change, put, remove_with_wires, together
from harness_studio.model.entities import Splice, Wire
from harness_studio.model.harness import Harness
from harness_studio.model.values import End
from harness_studio.session.history import History
from tests.unit.session.fakes import two_wires


def as_text(harness: Harness) -> str:
    """Return everything in the harness, order included (equal dicts of another order differ here)."""
    return repr(harness.tables)


@dataclass(frozen=True)
class Crooked:
    """An edit that changes something and then breaks: `error` at once, or only when it is undone."""

    error: Exception
    words: str = "crooked"
    works_once: bool = False

    def apply(self, harness: Harness) -> tuple[Edit, Changes]:
        harness.splices["half_done"] = Splice("half_done")
        if self.works_once:
            return Crooked(self.error), Changes(added=frozenset([("splices", "half_done")]))
        harness.splices.pop("SP1")
        raise self.error


def test_undo_and_redo_come_back_to_the_same_harness_and_number() -> None:
    harness = two_wires()
    history = History(harness)
    start = as_text(harness)
    history.apply(change(harness, "wires", "W1", "colour W1", colour="BN"))
    history.apply(remove_with_wires(harness, [("splices", "SP1")], "take SP1 out"))
    end, number = as_text(harness), history.revision
    assert history.done == ("colour W1", "take SP1 out")

    back = history.undo()
    assert back.added == {("splices", "SP1")}
    history.undo()
    assert as_text(harness) == start
    assert history.revision == 0
    assert not history.can_undo
    assert history.undone == ("take SP1 out", "colour W1")

    history.redo()
    history.redo()
    assert as_text(harness) == end
    assert history.revision == number
    assert not history.can_redo


def test_a_new_step_ends_the_way_forward_and_gets_a_number_of_its_own() -> None:
    harness = two_wires()
    history = History(harness)
    history.apply(put("splices", Splice("SP2"), words="one way"))
    one_way = history.revision
    history.undo()
    history.apply(put("splices", Splice("SP3"), words="another way"))
    assert not history.can_redo
    assert history.revision not in (0, one_way)


def test_undo_and_redo_with_nothing_to_do_change_nothing() -> None:
    history = History(two_wires())
    assert not history.undo()
    assert not history.redo()
    assert history.revision == 0


def test_an_edit_that_changes_nothing_leaves_no_trace_and_keeps_the_way_forward() -> None:
    harness = two_wires()
    history = History(harness)
    history.apply(put("splices", Splice("SP2")))
    history.undo()
    assert not history.apply(put("splices", harness.splices["SP1"]))
    assert history.done == ()
    assert history.can_redo


def test_a_bare_edit_is_checked_for_what_it_refers_to() -> None:
    harness = two_wires()
    history = History(harness)
    before = as_text(harness)
    with pytest.raises(EditError, match="W3: 'SP9' is not in this harness; nearest is 'SP1'"):
        history.apply(Put("wires", Wire("W3", (End("point", "SP9"), End("cut")))))
    with pytest.raises(EditError, match="W1 in wires still refers to it"):
        history.apply(Remove("splices", "SP1"))
    assert as_text(harness) == before
    assert not history.can_undo


@pytest.mark.parametrize("error", [EditError("not allowed"), ValueError("a defect"), KeyboardInterrupt()])
def test_nothing_half_done_is_left_by_an_edit_that_breaks(error: BaseException) -> None:
    harness = two_wires()
    history = History(harness)
    before, splices = as_text(harness), harness.splices
    with pytest.raises(type(error)):
        history.apply(together([put("splices", Splice("SP5")), Crooked(error)], "both"))  # type: ignore[arg-type]
    assert as_text(harness) == before
    assert harness.splices is splices  # whoever holds the dict still sees the truth
    assert not history.can_undo
    assert history.revision == 0


def test_a_way_back_that_is_barred_is_reported_and_nothing_happens() -> None:
    harness = two_wires()
    history = History(harness)
    history.apply(Crooked(EditError("the way is barred"), words="lay W9", works_once=True))
    before, number = as_text(harness), history.revision
    with pytest.raises(EditError) as caught:
        history.undo()
    assert str(caught.value) == "'lay W9' cannot be undone, nothing was changed: the way is barred"
    assert as_text(harness) == before
    assert history.done == ("lay W9",)
    assert not history.can_redo
    assert history.revision == number
