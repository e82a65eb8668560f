"""What is selected is brought into line by keys, each time in one step; a drag shows what it comes into line with."""

import itertools

import pytest
from PySide6.QtCore import QPoint, Qt

from harness_studio.base.geometry import Box
from harness_studio.desktop.window import Window
from harness_studio.diagram.gestures.move import Move
from harness_studio.drawing.symbols import outline_box
from harness_studio.model.values import At
from tests.support.drawing_hands import key
from tests.support.pointing import drag, middle_of

CONTROL, SHIFT, ALT = (
    Qt.KeyboardModifier.ControlModifier, Qt.KeyboardModifier.ShiftModifier, Qt.KeyboardModifier.AltModifier,
)  # fmt: skip
SOME = ("G1", "GB1", "S1", "P1")


def boxes(window: Window) -> list[Box]:
    return [outline_box(window.diagram.scene.symbols[k]) for k in SOME]


def items(window: Window) -> dict[str, At]:
    return dict(window.session.harness.pages["rear"].items)


@pytest.mark.parametrize(
    ("what", "modifiers", "edge"),
    [
        (Qt.Key.Key_Left, CONTROL, lambda b: b.left_mm),
        (Qt.Key.Key_Right, CONTROL, lambda b: b.right_mm),
        (Qt.Key.Key_Up, CONTROL, lambda b: b.top_mm),
        (Qt.Key.Key_Down, CONTROL, lambda b: b.bottom_mm),
        (Qt.Key.Key_Left, CONTROL | SHIFT, lambda b: b.centre.x_mm),
        (Qt.Key.Key_Up, CONTROL | SHIFT, lambda b: b.centre.y_mm),
    ],
)
def test_align(pickup: Window, what: Qt.Key, modifiers: Qt.KeyboardModifier, edge: object) -> None:
    before = items(pickup)
    pickup.session.select(SOME)
    key(pickup, what, modifiers)
    found = [edge(b) for b in boxes(pickup)]  # type: ignore[operator]
    assert max(found) - min(found) < 1e-6
    assert pickup.session.history == ("align 4 symbols",)
    assert {k: v for k, v in items(pickup).items() if k not in SOME} == {
        k: v for k, v in before.items() if k not in SOME
    }
    key(pickup, Qt.Key.Key_Z, CONTROL)
    assert items(pickup) == before


def test_distribute(pickup: Window) -> None:
    pickup.session.select(SOME)
    key(pickup, Qt.Key.Key_Right, CONTROL | ALT)
    found = sorted(boxes(pickup), key=lambda b: b.centre.x_mm)
    gaps = [b.left_mm - a.right_mm for a, b in itertools.pairwise(found)]
    assert max(gaps) - min(gaps) < 1e-6


def test_turn_and_mirror(pickup: Window) -> None:
    before = items(pickup)
    pickup.session.select({"S1"})
    key(pickup, Qt.Key.Key_T)
    assert items(pickup)["S1"].turn == 90
    key(pickup, Qt.Key.Key_T, SHIFT)
    assert (items(pickup)["S1"].turn, items(pickup)["S1"].mirror) == (270, True)
    key(pickup, Qt.Key.Key_T, SHIFT)
    for _ in range(3):
        key(pickup, Qt.Key.Key_T)
    assert items(pickup)["S1"] == before["S1"]


def test_put_on_the_grid(pickup: Window) -> None:
    pickup.session.select({"M2", "B1"})
    key(pickup, Qt.Key.Key_S)
    for name in ("M2", "B1"):
        assert (items(pickup)[name].x_mm % 2, items(pickup)[name].y_mm % 2) == (0, 0)


def test_arrange_the_selected_only(pickup: Window) -> None:
    before = items(pickup)
    chosen = {"E5", "E6", "SP3"}
    pickup.session.select(chosen)
    key(pickup, Qt.Key.Key_A)
    after = items(pickup)
    assert {k for k in after if after[k] != before[k]} <= chosen
    assert {k for k in after if after[k] != before[k]}
    symbols = pickup.diagram.scene.symbols
    for name in chosen:
        for other, symbol in symbols.items():
            if other not in chosen and symbol.kind != "body":
                assert not outline_box(symbols[name]).meets(outline_box(symbol)), (name, other)


def test_group_by_zone(pickup: Window) -> None:
    key(pickup, Qt.Key.Key_Z)
    harness, symbols = pickup.session.harness, pickup.diagram.scene.symbols
    spans: dict[str, tuple[float, float]] = {}
    for name, symbol in symbols.items():
        section = harness.section_of(name)
        assert section is not None
        zone = getattr(harness.tables[section][name], "zone", None)
        if zone is not None:
            box = outline_box(symbol)
            low, high = spans.get(zone, (box.left_mm, box.right_mm))
            spans[zone] = min(low, box.left_mm), max(high, box.right_mm)
    in_order = sorted(spans.values())
    assert len(in_order) == 3
    assert all(a[1] < b[0] for a, b in itertools.pairwise(in_order))
    assert len(pickup.session.history) == 1


def test_too_few_is_told(pickup: Window) -> None:
    pickup.session.select({"S1"})
    key(pickup, Qt.Key.Key_Left, CONTROL)
    assert pickup.bar.text == "Select at least two of what stands on the paper to align."


def test_a_guide_shows_and_draws(pickup: Window) -> None:
    scale = pickup.diagram.camera.px_per_mm
    own, other = (outline_box(pickup.diagram.scene.symbols[k]).centre for k in ("S1", "P1"))
    by = round((other.x_mm - own.x_mm) * scale) + 1
    drag(pickup, middle_of(pickup.diagram, "S1"), QPoint(by, 40), release=False)
    gesture = pickup.diagram.gesture
    assert isinstance(gesture, Move)
    assert gesture.moved_mm[0] == pytest.approx(other.x_mm - own.x_mm)
    assert any(g.upright and g.at_mm == pytest.approx(other.x_mm) for g in gesture.guides)
    pickup.diagram.grab()
