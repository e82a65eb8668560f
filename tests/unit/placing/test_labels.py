"""Labels: on nothing else, at both ends, and what an open end says."""

import pytest

from harness_studio.base.geometry import Box
from harness_studio.model.entities import Page
from harness_studio.model.values import At, End
from harness_studio.placing.arrange import arrange
from harness_studio.placing.drafts import text_box
from harness_studio.placing.labels import Label, label_box, labels
from harness_studio.placing.outlines import symbols
from harness_studio.placing.placed import on_page
from harness_studio.placing.routes import routes
from tests.support.layouts import small, vehicle_of
from tests.support.sketch import Sketch
from tests.support.ways import stretches


@pytest.fixture(scope="module", params=[small, lambda: vehicle_of(60, 5)])
def laid(request: pytest.FixtureRequest) -> tuple[list[Label], list[Box], list[Box]]:
    """Return the labels, the boxes of symbols and texts, and those of wires."""
    harness = request.param()
    page = Page("p", items=arrange(harness))
    drawn = symbols(harness, page)
    ways = routes(harness, page, drawn)
    placed = [on_page(s, page.items[k]) for k, s in drawn.items()]
    things = [s.box for s in placed] + [text_box(t).grown(-0.8) for s in placed for t in s.texts]
    wires = [
        Box(min(a.x_mm, b.x_mm), min(a.y_mm, b.y_mm), abs(a.x_mm - b.x_mm), abs(a.y_mm - b.y_mm))
        for _, a, b in stretches(ways)
    ]
    return labels(harness, page, drawn, ways), things, wires


def test_a_label_stands_on_nothing(laid: tuple[list[Label], list[Box], list[Box]]) -> None:
    found, things, wires = laid
    rooms = [label_box(label) for label in found]
    assert not any(a.meets(b) for i, a in enumerate(rooms) for b in rooms[i + 1 :])
    assert not any(room.meets(thing) for room in rooms for thing in things)
    assert not any(room.meets(wire) for room in rooms for wire in wires)


def test_no_end_is_labelled_twice_and_a_label_is_the_id(
    laid: tuple[list[Label], list[Box], list[Box]],
) -> None:
    found, _, _ = laid
    ends = [(label.wire, label.end) for label in found]
    assert len(set(ends)) == len(ends)
    assert all(label.text == label.wire for label in found)


def test_almost_every_wire_of_the_small_page_has_a_label() -> None:
    harness = small()
    page = Page("p", items=arrange(harness))
    drawn = symbols(harness, page)
    found = labels(harness, page, drawn, routes(harness, page, drawn))
    assert len({label.wire for label in found}) >= len(harness.wires) - 1


def test_an_end_that_is_open_says_so_and_one_that_goes_on_says_where() -> None:
    s = Sketch()
    s.half("X1", "1234")
    s.part("E1", "lamp")
    s.wire("X1.1", "cut")
    s.wire("X1.2", End("words", "behind the seat"))
    s.wire("X1.3", "unknown")
    s.wire("X1.4", "E1.1")
    harness = s.done()
    page = Page("front", items={"X1": At(0, 0)})
    harness.pages["front"] = page
    harness.pages["rear"] = Page("rear", title="Rear lamps", items={"E1": At(0, 0)})
    drawn = symbols(harness, page)
    found = labels(harness, page, drawn, routes(harness, page, drawn))
    onward = {label.wire: label.text for label in found if label.onward}
    assert onward == {
        "W1": "W1: cut",
        "W2": "W2: behind the seat",
        "W3": "W3: end not known",
        "W4": "W4: E1.1, page Rear lamps",
    }
