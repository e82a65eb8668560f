"""Large pages are shown simply first, and properly when they are laid out."""

from collections.abc import Callable
from itertools import pairwise
from typing import Any

import pytest

from harness_studio.base.geometry import Point
from harness_studio.diagram import staging
from harness_studio.diagram.layout import Layout, lay_out
from harness_studio.diagram.moving import move_edit
from harness_studio.diagram.scene import NO_PAGE
from harness_studio.diagram.staging import Staging
from harness_studio.model.drawing.laying import Pen, lay_edit
from harness_studio.model.edits import change, put
from harness_studio.model.harness import Harness
from harness_studio.model.parts import make_part
from harness_studio.model.values import At, End


class Later:
    """Keeps work until the test has it done."""

    def __init__(self) -> None:
        self.waiting: list[tuple[Callable[[], Any], Callable[[Any], None]]] = []
        self.looks: list[Callable[[], None]] = []

    def later(self, ms: int, do: Callable[[], None]) -> Callable[[], None]:
        self.looks.append(do)
        return lambda: self.looks.remove(do) if do in self.looks else None

    def look(self) -> None:
        """Let the time pass after which one looks again."""
        (do,) = self.looks
        self.looks.clear()
        do()

    def run(self, work: Callable[[], Any], done: Callable[[Any], None]) -> None:
        self.waiting.append((work, done))

    def finish(self) -> None:
        """Do what has waited longest."""
        work, done = self.waiting.pop(0)
        done(work())


@pytest.fixture
def large(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(staging, "AT_ONCE", 3)


@pytest.fixture
def empty(harness: Harness) -> Layout:
    return lay_out(harness, NO_PAGE)


def test_a_small_page_is_laid_out_at_once(harness: Harness, empty: Layout) -> None:
    shown: list[Layout] = []
    later = Later()
    Staging(shown.append, later).lay(harness, harness.pages["p1"], empty)
    assert len(shown) == 1
    assert later.waiting == []


@pytest.mark.usefixtures("large")
def test_a_large_one_comes_twice(harness: Harness, empty: Layout) -> None:
    shown: list[Layout] = []
    later = Later()
    stage = Staging(shown.append, later)
    stage.lay(harness, harness.pages["p1"], empty)
    assert shown == []
    later.finish()
    assert set(shown[0].symbols) == set(harness.pages["p1"].items)
    assert stage.busy
    later.finish()
    assert shown[1].routes == lay_out(harness, harness.pages["p1"]).routes
    assert not stage.busy


@pytest.fixture
def laid(harness: Harness) -> Layout:
    return lay_out(harness, harness.pages["p1"])


@pytest.mark.usefixtures("large")
def test_what_is_out_of_date_is_not_shown(harness: Harness, laid: Layout) -> None:
    shown: list[Layout] = []
    later = Later()
    stage = Staging(shown.append, later)
    stage.lay(harness, harness.pages["p1"], laid)
    move_edit(harness, harness.pages["p1"], ["M2"], 10, 0).apply(harness)
    stage.lay(harness, harness.pages["p1"], laid)
    assert [layout.at["M2"].x_mm - laid.at["M2"].x_mm for layout in shown] == [0, 10]
    later.finish()
    assert len(shown) == 2
    later.finish()
    assert len(shown) == 3
    stage.lay(harness, harness.pages["p1"], shown[-1])
    stage.drop()
    later.finish()
    assert len(shown) == 4


@pytest.mark.usefixtures("large")
def test_nothing_changes_under_the_hand(harness: Harness, laid: Layout) -> None:
    shown: list[Layout] = []
    later = Later()
    stage = Staging(shown.append, later)
    stage.lay(harness, harness.pages["p1"], laid)
    stage.hold()
    later.finish()
    assert len(shown) == 1
    stage.let_go()
    assert len(shown) == 2
    stage.let_go()
    assert len(shown) == 2


@pytest.mark.usefixtures("large")
def test_work_is_done_on_a_harness_of_its_own(harness: Harness, laid: Layout) -> None:
    shown: list[Layout] = []
    later = Later()
    Staging(shown.append, later).lay(harness, harness.pages["p1"], laid)
    harness.wires.clear()
    later.finish()
    assert "W40" in shown[1].routes


@pytest.mark.usefixtures("large")
def test_how_far_a_whole_page_is_can_be_told(harness: Harness, laid: Layout) -> None:
    shown: list[Layout] = []
    said: list[str | None] = []
    later = Later()
    stage = Staging(shown.append, later, lambda: said.append(stage.words))
    stage.lay(harness, harness.pages["p1"], laid, whole=True)
    assert said == ["laying wires, 0%"]
    work, done = later.waiting.pop()
    found = work()
    later.look()
    assert said[1] is not None
    assert 50 < int(said[1].removeprefix("laying wires, ").rstrip("%")) < 100
    done(found)
    assert shown[-1].routes == laid.routes
    assert stage.words is None
    assert later.looks == []


@pytest.mark.usefixtures("large")
def test_laying_a_whole_page_is_stopped_and_what_was_shown_stays(harness: Harness, laid: Layout) -> None:
    shown: list[Layout] = []
    later = Later()
    stage = Staging(shown.append, later)
    assert not stage.stop()
    stage.lay(harness, harness.pages["p1"], laid, whole=True)
    assert [layout.routes for layout in shown] == [laid.routes]
    assert stage.stop()
    assert not stage.busy
    assert later.looks == []
    work, done = later.waiting.pop()
    assert work() is None
    done(None)
    assert len(shown) == 1


@pytest.mark.usefixtures("large")
def test_an_edit_meanwhile_does_not_make_it_lay_less(harness: Harness, laid: Layout) -> None:
    later = Later()
    stage = Staging(lambda _: None, later)
    stage.lay(harness, harness.pages["p1"], laid, whole=True)
    move_edit(harness, harness.pages["p1"], ["M2"], 10, 0).apply(harness)
    stage.lay(harness, harness.pages["p1"], laid)
    assert stage.can_stop
    stage.stop()
    stage.lay(harness, harness.pages["p1"], laid)
    assert stage.words == "laying wires"
    assert not stage.can_stop


@pytest.mark.usefixtures("large")
def test_a_new_wire_and_a_new_part_are_seen_at_once(harness: Harness, laid: Layout) -> None:
    shown: list[Layout] = []
    later = Later()
    stage = Staging(shown.append, later)
    pen = Pen(area_mm2=1.5, colour="GN")
    edit, wire = lay_edit(harness, End("point", "M2.15"), End("point", "SP3"), pen)
    edit.apply(harness)
    stage.lay(harness, harness.pages["p1"], laid)
    way = shown[-1].routes[wire].points
    assert (way[0], way[-1]) == (
        laid.symbols["M2"].anchors["M2.15"].at,
        laid.symbols["SP3"].anchors["SP3"].at,
    )
    assert all(a.x_mm == b.x_mm or a.y_mm == b.y_mm for a, b in pairwise(way))
    stage.lay(harness, harness.pages["p1"], shown[-1])
    later.waiting.clear()

    page = harness.pages["p1"]
    put("parts", make_part("E77", "lamp", rated_w=5.0)).apply(harness)
    change(harness, "pages", "p1", items={**page.items, "E77": At(200.0, 300.0)}).apply(harness)
    stage.lay(harness, harness.pages["p1"], shown[-1])
    assert shown[-1].symbols["E77"].box.centre == Point(200.0, 300.0)
    work, done = later.waiting.pop()
    done(work())
    last = shown[-1]
    assert last.routes.keys() == lay_out(harness, harness.pages["p1"]).routes.keys()
    assert last.symbols["E77"].box.centre == Point(200.0, 300.0)
