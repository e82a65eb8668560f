"""Symbols: extents, anchors, and a place of its own for every wire end."""

from itertools import pairwise

import pytest

from harness_studio.base.geometry import Box
from harness_studio.model.entities import Page
from harness_studio.model.harness import Harness
from harness_studio.model.kinds import KINDS
from harness_studio.model.parts import make_part
from harness_studio.model.values import At
from harness_studio.placing.drafts import text_box
from harness_studio.placing.links import links
from harness_studio.placing.outlines import symbols
from harness_studio.placing.part_shapes import SHAPES, sides_of
from harness_studio.placing.symbols import Symbol
from tests.support.layouts import small, vehicle_of
from tests.support.sketch import Sketch
from tests.support.vehicle import vehicle


@pytest.fixture(scope="module", params=["small", "made up", "vehicle"])
def harness(request: pytest.FixtureRequest) -> Harness:
    return {"small": small, "made up": lambda: vehicle_of(60), "vehicle": lambda: vehicle(3, 20)}[
        request.param
    ]()


@pytest.fixture(scope="module")
def drawn(harness: Harness) -> dict[str, Symbol]:
    return symbols(harness)


def holds(outer: Box, inner: Box) -> bool:
    edge = outer.grown(1e-6)
    return (
        edge.left_mm <= inner.left_mm
        and inner.right_mm <= edge.right_mm
        and edge.top_mm <= inner.top_mm
        and inner.bottom_mm <= edge.bottom_mm
    )


def test_every_line_end_has_one_place_of_its_own(harness: Harness, drawn: dict[str, Symbol]) -> None:
    ends = [(line.id, p) for line in links(harness) for p in line.ends if p]
    handed = [key for s in drawn.values() for key in s.wire_anchors]
    assert sorted(handed) == sorted(ends)
    for symbol in drawn.values():
        spots = [(round(a.at.x_mm, 3), round(a.at.y_mm, 3)) for a in symbol.wire_anchors.values()]
        assert len(set(spots)) == len(spots), symbol.id


def test_every_point_with_a_wire_has_an_anchor(harness: Harness, drawn: dict[str, Symbol]) -> None:
    for symbol in drawn.values():
        for _, point in symbol.wire_anchors:
            if "@" not in point:
                assert point in symbol.anchors


def test_boxes_hold_what_is_drawn_and_clear_holds_text_too(drawn: dict[str, Symbol]) -> None:
    for symbol in drawn.values():
        assert all(holds(symbol.box, box) for box in symbol.outlines.values()), symbol.id
        assert holds(symbol.clear, symbol.box)
        assert all(holds(symbol.clear, text_box(text)) for text in symbol.texts)
        for anchor in symbol.wire_anchors.values():
            assert symbol.box.grown(1e-6).contains(anchor.at)


def test_a_wire_leaves_at_the_edge_of_its_side(drawn: dict[str, Symbol]) -> None:
    # Nothing of the symbol lies between the place and the outside, so that a stub does not run through it.
    for symbol in drawn.values():
        for anchor in symbol.wire_anchors.values():
            x, y = anchor.at.x_mm, anchor.at.y_mm
            way_out = {
                "left": Box(-1e6, y - 0.1, x + 1e6 - 0.1, 0.2),
                "right": Box(x + 0.1, y - 0.1, 1e6, 0.2),
                "top": Box(x - 0.1, -1e6, 0.2, y + 1e6 - 0.1),
                "bottom": Box(x - 0.1, y + 0.1, 0.2, 1e6),
            }[anchor.side]
            in_the_way = [k for k, box in symbol.outlines.items() if box.meets(way_out)]
            assert in_the_way == [], (symbol.id, anchor)


def test_wires_that_leave_side_by_side_are_a_slot_apart(drawn: dict[str, Symbol]) -> None:
    for symbol in drawn.values():
        for side in ("left", "right"):
            ys = sorted(a.at.y_mm for a in symbol.wire_anchors.values() if a.side == side)
            assert all(b - a > 3.99 for a, b in pairwise(ys)), symbol.id


def test_the_same_harness_gives_the_same_symbols(harness: Harness, drawn: dict[str, Symbol]) -> None:
    assert symbols(harness) == drawn


def test_every_kind_of_part_has_a_shape_and_shares_out_all_its_terminals() -> None:
    assert set(SHAPES) == set(KINDS)
    for kind in KINDS:
        part = make_part("P", kind)
        names = part.terminals() or ("1", "2", "3")
        assert sorted(t for side in sides_of(part, names) for t in side) == sorted(names)


def test_a_feed_comes_in_at_the_left_and_a_case_is_at_the_bottom() -> None:
    s = Sketch()
    s.body("shell", rear=0.2)
    s.part("E1", "lamp")
    s.part("B1", "sender", mount=("31", "shell.rear"))
    s.battery()
    s.wire("GB1.30", "E1.1")
    s.wire("B1.1", "E1.31")
    found = symbols(s.done())
    assert {found["E1"].anchors[f"E1.{t}"].side for t in ("1",)} == {"left"}
    assert found["E1"].anchors["E1.31"].side == "right"
    assert found["B1"].anchors["B1.31"].side == "bottom"
    assert found["GB1"].anchors["GB1.30"].side == "right"


def test_a_positive_ground_battery_feeds_from_31() -> None:
    s = Sketch(grounded="positive")
    s.battery()
    found = symbols(s.done())["GB1"]
    assert (found.anchors["GB1.31"].side, found.anchors["GB1.30"].side) == ("right", "bottom")


def test_mated_halves_are_one_symbol_with_a_comb_on_either_side() -> None:
    s = Sketch()
    s.half("X7", "1234", mates={"X8": {"1": "4", "2": "3", "3": "2", "4": "1"}})
    s.half("X8", "1234")
    s.splice("SP1")
    s.splice("SP2")
    s.wire("SP1", "X7.1")
    s.wire("X8.4", "SP2")
    found = symbols(s.done())["X7"]
    assert found.kind == "connector"
    assert found.members == ("X7", "X8")
    assert found.anchors["X7.1"].side == "left"
    assert found.anchors["X8.4"].side == "right"
    # Both ends of the contact stand at the same height: X7.1 meets X8.4.
    assert found.wire_anchors["W1", "X7.1"].at.y_mm == found.wire_anchors["W2", "X8.4"].at.y_mm
    # An unused cavity is pointed at in the face itself: X8.1 lies where X7.4 does.
    assert found.anchors["X8.1"].at == found.anchors["X7.4"].at


def test_two_wires_in_one_cavity_have_a_tooth_each_beside_each_other() -> None:
    s = Sketch()
    s.half("X1", "123")
    for name in ("A", "B", "C"):
        s.splice(name)
    s.wire("A", "X1.1")
    s.wire("B", "X1.2")
    s.wire("C", "X1.1")
    found = symbols(s.done())["X1"]
    ys = {key[0]: a.at.y_mm for key, a in found.wire_anchors.items()}
    assert abs(ys["W1"] - ys["W3"]) == pytest.approx(4.0)


def test_a_plugged_half_is_drawn_at_its_part_and_turns_the_terminals_to_it() -> None:
    found = symbols(small())["M2"]
    assert found.members == ("M2", "X9")
    assert found.outlines["X9"].right_mm < found.outlines["M2"].left_mm
    assert {a.side for a in found.wire_anchors.values()} == {"left"}
    assert found.anchors["M2.15"].side == "left"


def test_a_box_has_a_row_for_each_fuse_in_at_the_left_and_out_at_the_right() -> None:
    found = symbols(small())["A9"]
    assert found.kind == "box"
    rows = [found.anchors[f"{f}.out"].at.y_mm for f in ("F2", "F4", "F7", "F9")]
    assert rows == sorted(rows)
    assert [found.anchors[f"{f}.in"].at.y_mm for f in ("F2", "F4", "F7", "F9")] == rows
    assert {found.anchors["F2.in"].side, found.anchors["F2.out"].side} == {"left", "right"}


def test_rings_lie_on_the_stud_in_their_order_metal_lowest() -> None:
    found = symbols(small())["GP2"]
    rings = [found.outlines[f"GP2/{w}"] for w in ("W31", "W40", "W41")]
    assert rings[0].top_mm >= rings[1].bottom_mm >= rings[1].top_mm >= rings[2].bottom_mm
    assert found.anchors["GP2"].at.y_mm == found.box.bottom_mm == 0.0
    for wire, ring in zip(("W31", "W40", "W41"), rings, strict=True):
        assert ring.grown(1e-6).contains(found.wire_anchors[wire, "GP2"].at)


def test_a_ring_with_several_wires_has_them_at_both_ends() -> None:
    s = Sketch()
    s.ground("GP1", None)
    for n in range(4):
        s.splice(f"SP{n}")
        s.wire(f"SP{n}", "GP1")
    s.stack("GP1", ("W1", "W2", "W3"), ("W4",))
    found = symbols(s.done())["GP1"]
    ring = found.outlines["GP1/W1"]
    inside = [w for w in ("W1", "W2", "W3", "W4") if ring.contains(found.wire_anchors[w, "GP1"].at)]
    assert inside == ["W1", "W2", "W3"]
    assert {found.wire_anchors[w, "GP1"].side for w in inside} == {"left", "right"}


def test_a_large_connector_gets_a_face_and_a_comb() -> None:
    s = Sketch()
    s.half("X1", [str(n) for n in range(1, 129)], face=False)
    for n in range(1, 129):
        s.splice(f"SP{n}")
        s.wire(f"SP{n}", f"X1.{n}")
    found = symbols(s.done())["X1"]
    assert len(found.wire_anchors) == 128
    assert found.outlines["comb:X1"].height_mm == pytest.approx(512.0)


def test_on_a_page_only_what_stands_there_is_drawn() -> None:
    page = Page("p", items={"E5": At(0, 0), "F4": At(50, 0)})
    assert set(symbols(small(), page)) == {"E5", "F4"}
