"""A move is one step on one page."""

import pytest

from harness_studio.base.errors import EditError
from harness_studio.diagram.moving import move_edit
from harness_studio.model.edits import change
from harness_studio.model.entities import Page
from harness_studio.model.harness import Harness


def test_a_move_and_its_inverse(harness: Harness) -> None:
    before = harness.pages["p1"]
    inverse, changes = move_edit(harness, before, ["M2", "E5"], 10.0, -4.0).apply(harness)
    after = harness.pages["p1"]
    assert changes.refs == {("pages", "p1")}
    for key in ("M2", "E5"):
        assert (after.items[key].x_mm, after.items[key].y_mm) == (
            before.items[key].x_mm + 10,
            before.items[key].y_mm - 4,
        )
    assert after.items["E6"] == before.items["E6"]
    inverse.apply(harness)
    assert harness.pages["p1"] == before


def test_words() -> None:
    page = Page("p1", items={})
    with pytest.raises(KeyError):
        move_edit(Harness(), page, ["M2"], 1, 1)


def test_what_is_said_of_it(harness: Harness) -> None:
    page = harness.pages["p1"]
    assert move_edit(harness, page, ["M2"], 1, 1).words == "move M2"
    assert move_edit(harness, page, ["M2", "E5"], 1, 1).words == "move 2 symbols"


def test_a_page_that_is_gone(harness: Harness) -> None:
    page = harness.pages.pop("p1")
    with pytest.raises(EditError):
        move_edit(harness, page, ["M2"], 1, 1)


def test_bends_between_two_moved_symbols_move_along(harness: Harness) -> None:
    page = harness.pages["p1"]
    change(harness, "pages", "p1", wires={"W40": ((10.0, 20.0),), "W31": ((30.0, 40.0),)}).apply(harness)
    page = harness.pages["p1"]
    move_edit(harness, page, ["SP3", "GP2"], 5.0, 7.0).apply(harness)
    assert harness.pages["p1"].wires["W31"] == ((35.0, 47.0),)
    assert harness.pages["p1"].wires["W40"] == ((10.0, 20.0),)
