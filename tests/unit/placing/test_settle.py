"""What follows positions: teeth, legs, ring ends, places on bars."""

from dataclasses import replace

from harness_studio.model.entities import Page
from harness_studio.model.harness import Harness
from harness_studio.model.values import At
from harness_studio.placing.outlines import symbols
from harness_studio.placing.placed import on_page
from harness_studio.placing.symbols import Symbol
from tests.support.sketch import Sketch


def comb() -> Harness:
    s = Sketch()
    s.half("X1", "1234")
    for n in range(1, 5):
        s.splice(f"SP{n}")
        s.wire(f"X1.{n}", f"SP{n}")
    return s.done()


def teeth(symbol: Symbol) -> list[str]:
    return [k[1] for k, a in sorted(symbol.wire_anchors.items(), key=lambda item: item[1].at.y_mm)]


def scattered(order: tuple[int, ...]) -> Page:
    items = {"X1": At(0, 0)} | {f"SP{n}": At(100, 40 * i) for i, n in enumerate(order)}
    return Page("p", items=items)


def test_teeth_stand_in_the_order_of_their_far_ends() -> None:
    harness = comb()
    for order in ((1, 2, 3, 4), (4, 2, 1, 3), (3, 4, 2, 1)):
        assert teeth(symbols(harness, scattered(order))["X1"]) == [f"X1.{n}" for n in order]


def test_without_positions_teeth_stand_in_the_order_of_the_cavities() -> None:
    assert teeth(symbols(comb())["X1"]) == ["X1.1", "X1.2", "X1.3", "X1.4"]


def test_the_order_is_that_on_the_page_when_the_connector_is_turned_or_mirrored() -> None:
    harness, page = comb(), scattered((4, 2, 1, 3))
    for turn, mirror in ((0, True), (180, False), (180, True)):
        items = {**page.items, "X1": At(0, 60, turn, mirror)}
        turned = replace(page, items=items)
        placed = on_page(symbols(harness, turned)["X1"], items["X1"])
        assert teeth(placed) == ["X1.4", "X1.2", "X1.1", "X1.3"]


def test_two_combs_that_face_each_other_agree() -> None:
    s = Sketch()
    s.half("X1", "12345")
    s.half("X2", "12345")
    for n, m in zip((1, 2, 3, 4, 5), (3, 1, 5, 2, 4), strict=True):
        s.wire(f"X1.{n}", f"X2.{m}")
    harness = s.done()
    page = Page("p", items={"X1": At(0, 0), "X2": At(120, 6, 0, True)})
    found = symbols(harness, page)
    wires = [
        [k[0] for k, _ in sorted(found[x].wire_anchors.items(), key=lambda i: i[1].at.y_mm)]
        for x in ("X1", "X2")
    ]
    assert wires[0] == wires[1]


def splice_of(*places: tuple[float, float]) -> dict[str, str]:
    s = Sketch()
    s.splice("SP0")
    items = {"SP0": At(0, 0)}
    for n, (x, y) in enumerate(places):
        s.splice(f"T{n}")
        s.wire("SP0", f"T{n}", name=f"W{n}")
        items[f"T{n}"] = At(x, y)
    found = symbols(s.done(), Page("p", items=items))["SP0"]
    return {key[0]: anchor.side for key, anchor in found.wire_anchors.items()}


def test_legs_leave_towards_where_they_go() -> None:
    assert splice_of((-80, 0), (80, 5), (0, 90), (2, -90)) == {
        "W0": "left", "W1": "right", "W2": "bottom", "W3": "top",
    }  # fmt: skip


def test_only_one_leg_leaves_downwards() -> None:
    assert sorted(splice_of((0, 90), (-5, 120), (-80, 0)).values()) == ["bottom", "left", "left"]


def test_many_legs_leave_left_and_right() -> None:
    sides = splice_of((0, 90), (0, -90), (-50, 0), (50, 0), (60, 0), (70, 10))
    assert set(sides.values()) == {"left", "right"}


def test_rings_take_the_end_that_is_nearer_to_their_wires() -> None:
    s = Sketch()
    s.ground("GP1", None)
    for name in ("A", "B"):
        s.splice(name)
        s.wire(name, "GP1")
    s.stack("GP1", ("W1",), ("W2",))
    page = Page("p", items={"GP1": At(0, 0), "A": At(-90, -60), "B": At(90, -60)})
    found = symbols(s.done(), page)["GP1"].wire_anchors
    assert (found["W1", "GP1"].side, found["W2", "GP1"].side) == ("left", "right")


def test_a_stack_that_was_written_down_keeps_its_order_and_another_follows_positions() -> None:
    for stacked in (True, False):
        s = Sketch()
        s.ground("GP1", None)
        for name in ("A", "B"):
            s.splice(name)
            s.wire(name, "GP1")
        if stacked:
            s.stack("GP1", ("W1",), ("W2",))
        page = Page("p", items={"GP1": At(0, 0), "A": At(-30, -60), "B": At(-90, -60)})
        rings = symbols(s.done(), page)["GP1"].outlines
        # What comes from farther away enters lower, unless the stack says otherwise.
        assert (rings["GP1/W1"].top_mm > rings["GP1/W2"].top_mm) == stacked


def bodies() -> Sketch:
    s = Sketch()
    s.body("shell", front=0.2, rear=0.2)
    s.body("engine", block=0.1)
    s.ground("GP1", "shell.front")
    s.ground("GP2", "shell.rear")
    s.battery()
    s.wire("GB1.31", "engine.block")
    s.wire("engine.block", "shell.front")
    return s


def test_a_bar_reaches_below_what_stands_on_it_and_not_into_the_next_bar() -> None:
    items = {
        "shell": At(150, 204), "engine": At(0, 204), "GP1": At(110, 200), "GP2": At(300, 200), "GB1": At(-60, 20),
    }  # fmt: skip
    found = symbols(bodies().done(), Page("p", items=items))
    shell, engine = (on_page(found[b], items[b]).outlines[b] for b in ("shell", "engine"))
    assert shell.left_mm < 110 - 9
    assert shell.right_mm > 300 + 9
    assert engine.right_mm < shell.left_mm
    assert engine.left_mm < -60 < engine.right_mm


def test_what_is_fixed_to_a_bar_is_fixed_straight_below_itself_and_straps_leave_at_the_ends() -> None:
    items = {
        "shell": At(150, 204), "engine": At(0, 204), "GP1": At(110, 200), "GP2": At(300, 200), "GB1": At(-60, 20),
    }  # fmt: skip
    found = symbols(bodies().done(), Page("p", items=items))
    shell, engine = (on_page(found[b], items[b]).wire_anchors for b in ("shell", "engine"))
    battery = on_page(found["GB1"], items["GB1"]).wire_anchors["W1", "GB1.31"]
    assert engine["W1", "engine.block"].at.x_mm == battery.at.x_mm
    assert engine["W1", "engine.block"].side == "top"
    assert shell["GP1", "shell.front"].at == replace(battery.at, x_mm=110, y_mm=200)
    assert (engine["W2", "engine.block"].side, shell["W2", "shell.front"].side) == ("right", "left")
