"""Taking an entity to another place of its section: undone to the same order, refused where there is no place."""

import pytest

from harness_studio.base.errors import EditError
from harness_studio.model.edits import Reorder, put
from harness_studio.model.entities import Page
from harness_studio.model.harness import Harness


@pytest.mark.parametrize(("key", "place", "after"), [("a", 2, "bca"), ("c", 0, "cab"), ("b", 1, "abc")])
def test_there_and_back(key: str, place: int, after: str) -> None:
    harness = Harness()
    put("pages", *(Page(name) for name in "abc")).apply(harness)
    inverse, changes = Reorder("pages", key, place).apply(harness)
    assert "".join(harness.pages) == after
    assert bool(changes) == (after != "abc")
    inverse.apply(harness)
    assert "".join(harness.pages) == "abc"


@pytest.mark.parametrize(("key", "place"), [("x", 0), ("a", 3), ("a", -1)])
def test_no_such_thing_or_place(key: str, place: int) -> None:
    harness = Harness()
    put("pages", *(Page(name) for name in "abc")).apply(harness)
    with pytest.raises(EditError):
        Reorder("pages", key, place).apply(harness)
    assert list(harness.pages) == ["a", "b", "c"]
