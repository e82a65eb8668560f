"""Random walks of drawing on a live diagram: undo all gives the first harness, redo all the last, the scene follows."""

import random
from collections.abc import Callable, Iterator
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from PySide6.QtWidgets import QApplication

from harness_studio.base.errors import EditError
from harness_studio.base.geometry import Point
from harness_studio.desktop.drawing.points import points_of
from harness_studio.diagram.moving import move_edit
from harness_studio.diagram.placing_down import at_end, into_wire, on_paper
from harness_studio.diagram.view import Diagram
from harness_studio.model.drawing.cavities import extend_edit
from harness_studio.model.drawing.laying import NOT_KNOWN, Pen, lay_edit, rewire_edit
from harness_studio.model.drawing.pieces import fitted, put_down
from harness_studio.model.drawing.selecting import held_with
from harness_studio.model.drawing.stock import STOCK, item_of
from harness_studio.model.edits import Edit, change, remove_with_wires
from harness_studio.model.harness import Harness
from harness_studio.model.values import End
from harness_studio.network.expand import expand
from harness_studio.placing import arranging
from harness_studio.placing.own_bends import bends_of, moved_stretch
from harness_studio.session.clipping import as_text, clip, from_text, other_side
from harness_studio.session.session import Session
from harness_studio.storage.project_file import parse, render

FAST, SLOW, MOST = 60, 500, 24
PENS = (Pen(), Pen(1.5, None, "BN", "TXL"), Pen(None, "16", "GN/YE", None))
PLACES = [item for item in STOCK if not item.key.startswith(("box_10", "rows_3x8", "rows_2x8", "round_13"))]
SECTIONS = ("bodies", "parts", "halves", "splices", "grounds", "wires")


class Idle:
    """Computes nothing: what is walked through here is the drawing."""

    def later(self, ms: int, do: Callable[[], None]) -> Callable[[], None]:
        return lambda: None

    def run(self, work: Callable[[], Any], done: Callable[[Any], None]) -> None:
        return None


class Walk:
    """A session with its diagram, and random steps on it."""

    def __init__(self, seed: int) -> None:
        self.dice = random.Random(seed)
        self.session = Session.of(Harness(), Idle())
        self.diagram = Diagram(self.session)
        self.diagram.resize(600, 400)
        self.refused = 0

    @property
    def harness(self) -> Harness:
        return self.session.harness

    def spot(self) -> Point:
        return Point(self.dice.uniform(-150, 450), self.dice.uniform(-100, 300))

    def point(self) -> str:
        things = [
            k for s in ("parts", "halves", "splices", "grounds", "bodies") for k in self.harness.tables[s]
        ]
        found = points_of(self.harness, self.dice.choice(things)) if things else []
        return self.dice.choice(found) if found else "nothing"

    def wire(self) -> str | None:
        drawn = [w for w in self.harness.wires if w in self.diagram.scene.layout.routes]
        return self.dice.choice(drawn) if drawn else None

    def some(self, most: int) -> list[str]:
        placed = sorted(self.diagram.scene.symbols)
        return self.dice.sample(placed, min(len(placed), self.dice.randint(1, most)))

    # Steps -----------------------------------------------------------------------------------------------------------

    def place(self) -> Edit:
        item = self.dice.choice(PLACES)
        return on_paper(
            self.harness, self.diagram.page_id, item.make(self.harness), self.spot(), "place"
        ).edit

    def lay(self) -> Edit:
        first, second = End("point", self.point()), End("point", self.point())
        if self.dice.random() < 0.15:
            second = NOT_KNOWN
        return lay_edit(self.harness, first, second, self.dice.choice(PENS))[0]

    def loose(self) -> Edit:
        piece = self.dice.choice(PLACES).make(self.harness)
        start = End("point", self.point())
        return at_end(
            self.harness, self.diagram.page_id, piece, self.spot(), start, self.dice.choice(PENS), "to"
        ).edit

    def split(self) -> Edit | None:
        wire = self.wire()
        if wire is None:
            return None
        item = item_of(self.dice.choice(["splice", "pair_1x2", "fuse_10a", "diode"]))
        assert item is not None
        tail = (End("point", self.point()), PENS[1]) if self.dice.random() < 0.3 else None
        return into_wire(
            self.diagram.scene, self.harness, item.make(self.harness), wire, self.spot(), "split", tail
        ).edit

    def rewire(self) -> Edit | None:
        wire = self.wire()
        if wire is None:
            return None
        return rewire_edit(self.harness, wire, self.dice.randint(0, 1), End("point", self.point()))

    def bend(self) -> Edit | None:
        wire = self.wire()
        if wire is None:
            return None
        points = self.diagram.scene.layout.routes[wire].points
        number = self.dice.randrange(len(points) - 1)
        way = moved_stretch(points, number, self.dice.uniform(-30, 30), self.dice.uniform(-30, 30))
        page = self.diagram.scene.page
        return change(self.harness, "pages", page.id, "bend", wires={**page.wires, wire: bends_of(way)})

    def move(self) -> Edit | None:
        some = self.some(4)
        dx, dy = (2.0 * self.dice.randint(-20, 20) for _ in range(2))
        return move_edit(self.harness, self.diagram.scene.page, some, dx, dy) if some else None

    def turn(self) -> Edit | None:
        some, page = self.some(3), self.diagram.scene.page
        if not some:
            return None
        how = self.dice.choice([arranging.turned, arranging.mirrored])
        return change(self.harness, "pages", page.id, "turn", items=how(page.items, some))

    def delete(self) -> Edit | None:
        wire = self.wire()
        things = held_with(self.harness, [wire] if wire and self.dice.random() < 0.5 else self.some(1))
        return remove_with_wires(
            self.harness, [(s, k) for s in SECTIONS for k in self.harness.tables[s] if k in things]
        )

    def extend(self) -> Edit | None:
        halves = list(self.harness.halves)
        return extend_edit(self.harness, self.dice.choice(halves))[0] if halves else None

    def paste(self) -> Edit | None:
        some = self.some(3)
        if not some:
            return None
        things = {m for s in some for m in self.diagram.scene.symbols[s].members}
        joined = self.dice.random() < 0.4
        piece = clip(self.harness, self.diagram.scene.page, things, joined=joined)
        piece = other_side(self.harness, piece) if joined else from_text(as_text(piece))
        at = self.spot()
        return put_down(
            self.harness, self.diagram.page_id, fitted(self.harness, piece), (at.x_mm, at.y_mm), "paste"
        )

    def go(self, steps: int) -> Iterator[None]:
        names = ["place"] * 4 + ["lay"] * 6 + ["loose"] * 2 + ["split"] * 2 + ["move"] * 3
        names += ["rewire", "bend", "turn", "delete", "extend", "paste"]
        for _ in range(steps):
            full = (
                len(self.diagram.scene.symbols) > MOST
            )  # a page that only grows takes longer with every step
            try:
                edit = self.delete() if full else getattr(self, self.dice.choice(names))()
                if edit is not None:
                    self.session.apply(edit)
            except EditError:
                self.refused += 1
            yield


def check_scene(walk: Walk) -> None:
    """Check that the diagram shows exactly what stands on the page, and draws it."""
    scene, page = walk.diagram.scene, walk.diagram.scene.page
    assert page == walk.harness.pages.get(page.id, page)
    assert set(scene.symbols) <= set(page.items)
    for key, route in scene.layout.routes.items():
        if route.kind == "wire":
            assert key in walk.harness.wires
        for a, b in zip(route.points, route.points[1:], strict=False):
            assert abs(a.x_mm - b.x_mm) < 0.01 or abs(a.y_mm - b.y_mm) < 0.01


def walk_and_return(seed: int, steps: int) -> Walk:
    walk = Walk(seed)
    try:
        first = repr(walk.harness.tables)
        for number, _ in enumerate(walk.go(steps)):
            if number % 10 == 0:
                check_scene(walk)
        check_scene(walk)
        walk.diagram.grab()
        last, done = repr(walk.harness.tables), walk.session.history
        while walk.session.can_undo:
            walk.session.undo()
        check_scene(walk)
        assert repr(walk.harness.tables) == first
        assert walk.diagram.scene.symbols == {}
        while walk.session.can_redo:
            walk.session.redo()
        check_scene(walk)
        assert repr(walk.harness.tables) == last
        assert walk.session.history == done
        assert parse(render(walk.harness)).harness.tables == walk.harness.tables
        expand(walk.harness)
    finally:
        walk.diagram.close_session()
        walk.diagram.deleteLater()
    return walk


@settings(max_examples=4)
@given(seed=st.integers(0, 10**6))
def test_a_walk_of_drawing(qapp: QApplication, seed: int) -> None:
    walk_and_return(seed, FAST)


@pytest.mark.slow
@pytest.mark.parametrize("seed", [1, 2])
def test_a_long_walk_of_drawing(qapp: QApplication, seed: int) -> None:
    walk = walk_and_return(seed, SLOW)
    assert len(walk.session.history) > SLOW / 2
