"""Selection and chosen joint, and what they let go of."""

import pytest

from harness_studio.base.changes import Changes
from harness_studio.session.selection import Selection


def test_only_a_real_change_is_reported() -> None:
    selection = Selection()
    assert selection.select(["W1", "W2"])
    assert not selection.select(["W2", "W1"])
    assert selection.ids == {"W1", "W2"}
    assert selection.choose("GP1")
    assert not selection.choose("GP1")
    assert selection.choose(None)


@pytest.mark.parametrize("joint", ["GP2", "GP2/W40", "W40@GP2", "GP2.x:y"])
def test_a_joint_of_a_removed_thing_is_let_go(joint: str) -> None:
    selection = Selection()
    selection.choose(joint)
    selection.select(["GP2", "W1"])
    assert selection.forget(Changes(removed=frozenset([("grounds", "GP2")]))) == (True, True)
    assert selection.chosen is None
    assert selection.ids == {"W1"}


def test_what_stays_is_kept() -> None:
    selection = Selection()
    selection.choose("GP2/W40")
    selection.select(["W40"])
    assert selection.forget(Changes(removed=frozenset([("wires", "W4")]))) == (False, False)
    assert (selection.chosen, selection.ids) == ("GP2/W40", {"W40"})
