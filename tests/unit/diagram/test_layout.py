"""A page is laid out anew only where something has changed."""

from dataclasses import replace

from harness_studio.diagram.layout import at_first, lay_out, meanwhile
from harness_studio.diagram.moving import move_edit
from harness_studio.model.edits import change
from harness_studio.model.harness import Harness


def test_everything_of_the_page_is_there(harness: Harness) -> None:
    layout = lay_out(harness, harness.pages["p1"])
    assert set(layout.symbols) == set(harness.pages["p1"].items)
    assert set(harness.wires) <= set(layout.routes)
    assert layout.extent is not None
    for symbol in layout.symbols.values():
        assert layout.extent.grown(0.1).contains(symbol.box.centre)


def test_only_what_a_move_touches_gets_another_way(harness: Harness) -> None:
    before = lay_out(harness, harness.pages["p1"])
    move_edit(harness, harness.pages["p1"], ["E1"], 4.0, 2.0).apply(harness)
    after = lay_out(harness, harness.pages["p1"], before)
    assert after.at["E1"].x_mm == before.at["E1"].x_mm + 4
    far = [w for w in ("W31", "W41") if after.routes[w] == before.routes[w]]
    assert far == ["W31", "W41"]


def test_meanwhile_moved_symbols_are_where_they_should_be(harness: Harness) -> None:
    before = lay_out(harness, harness.pages["p1"])
    move_edit(harness, harness.pages["p1"], ["M2"], 20.0, -10.0).apply(harness)
    now = meanwhile(harness, harness.pages["p1"], before)
    assert now.symbols["M2"].box == before.symbols["M2"].box.moved(20, -10)
    assert now.symbols["E5"] == before.symbols["E5"]
    tip = now.symbols["M2"].wire_anchors["W40", "X9.2"].at
    assert now.routes["W40"].points[0] == tip
    assert now.routes["W40"].points[-1] == before.routes["W40"].points[-1]
    assert now.routes["W31"] == before.routes["W31"]


def test_meanwhile_what_was_removed_is_gone(harness: Harness) -> None:
    before = lay_out(harness, harness.pages["p1"])
    del harness.wires["W41"]
    page = harness.pages["p1"]
    page = replace(page, items={k: v for k, v in page.items.items() if k != "E1"})
    now = meanwhile(harness, page, before)
    assert "W41" not in now.routes
    assert "E1" not in now.symbols


def test_at_first_everything_is_shown_in_simple_corners(harness: Harness) -> None:
    first = at_first(harness, harness.pages["p1"])
    assert set(first.symbols) == set(harness.pages["p1"].items)
    assert set(harness.wires) <= set(first.routes)


def test_a_changed_wire_counts_as_touched(harness: Harness) -> None:
    before = lay_out(harness, harness.pages["p1"])
    change(harness, "wires", "W40", colour="BN").apply(harness)
    after = lay_out(harness, harness.pages["p1"], before)
    assert after.wires["W40"].colour == "BN"
    assert set(after.routes) == set(before.routes)
