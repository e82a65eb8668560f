"""What two harnesses differ in, and the step from one to the other."""

from harness_studio.model.entities import Ground, Splice
from harness_studio.model.harness import Harness
from harness_studio.session.differences import difference, edit_to, in_words
from harness_studio.session.history import History


def one() -> Harness:
    harness = Harness()
    harness.tables["splices"].update({f"SP{n}": Splice(f"SP{n}") for n in range(1, 5)})
    harness.tables["grounds"]["GP1"] = Ground("GP1")
    return harness


def other() -> Harness:
    harness = Harness()
    harness.tables["grounds"].update(
        {"GP1": Ground("GP1", title="Tunnel"), "GP2": Ground("GP2"), "GP3": Ground("GP3")}
    )
    harness.tables["splices"]["SP9"] = Splice("SP9")
    return harness


def test_the_words_name_a_few_and_count_many() -> None:
    words = in_words(difference(one(), other()))
    assert words == "splice SP9 added, grounds GP2 and GP3 added, ground GP1 changed, 4 splices removed"
    assert in_words(difference(one(), one())) == ""


def test_the_step_makes_one_hold_what_the_other_holds_and_can_be_undone() -> None:
    harness = one()
    history = History(harness)
    history.apply(edit_to(harness, other(), "take over"))
    assert harness == other()
    history.undo()
    assert harness == one()
