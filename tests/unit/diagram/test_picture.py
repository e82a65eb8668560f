"""A frame shows what is in front in full colour and the rest faded in place."""

from collections.abc import Callable
from itertools import pairwise

import pytest
from PySide6.QtGui import QColor, QImage, QPainter

from harness_studio.base.geometry import Point
from harness_studio.diagram.camera import fitted
from harness_studio.diagram.focus import focus_on
from harness_studio.diagram.picture import View, draw
from harness_studio.diagram.scene import Scene
from harness_studio.drawing.theme import Theme, dark, light
from harness_studio.electrics.shares import shares
from harness_studio.electrics.solve import solve
from harness_studio.network.expand import expand

WIDTH, HEIGHT = 1200, 800


def frame(scene: Scene, view: View, theme: Theme | None = None) -> Callable[[Point], str]:
    used = theme or light()
    at = fitted(scene.extent, WIDTH, HEIGHT).pixels(WIDTH, HEIGHT)
    image = QImage(WIDTH, HEIGHT, QImage.Format.Format_RGB32)
    image.fill(used.colour("paper"))
    painter = QPainter(image)
    draw(painter, scene, at, used, view)
    painter.end()
    return lambda p: image.pixelColor(round(at.x(p.x_mm)), round(at.y(p.y_mm))).name()


def on_wire(scene: Scene, wire: str) -> Point:
    """Return the middle of the longest stretch of a wire."""
    points = scene.layout.routes[wire].points
    a, b = max(
        pairwise(points),
        key=lambda ab: abs(ab[0].x_mm - ab[1].x_mm) + abs(ab[0].y_mm - ab[1].y_mm),
    )
    return Point((a.x_mm + b.x_mm) / 2, (a.y_mm + b.y_mm) / 2)


def near(a: str, b: str, by: int = 3) -> bool:
    x, y = QColor(a), QColor(b)
    return max(abs(x.red() - y.red()), abs(x.green() - y.green()), abs(x.blue() - y.blue())) <= by


@pytest.fixture
def focused(scene: Scene) -> View:
    network = expand(scene.harness, None)
    return View(focus=focus_on(scene, shares(network, solve(network), "GP2")), progress=1.0, labels=False)


@pytest.mark.parametrize("theme", [light(), dark()], ids=["light", "dark"])
def test_without_a_focus_every_wire_has_its_colour(scene: Scene, theme: Theme) -> None:
    at = frame(scene, View(labels=False), theme)
    assert at(on_wire(scene, "W41")) == theme.colour("BK").name()
    assert at(on_wire(scene, "W31")) == theme.colour("BN").name()


def test_in_front_in_colour_and_the_rest_faded_in_place(scene: Scene, focused: View) -> None:
    at = frame(scene, focused)
    back = next(
        w for w in scene.harness.wires.values() if w.id not in focused.focus.wires and w.colour == "BN"
    )  # type: ignore[union-attr]
    assert at(on_wire(scene, "W31")) == light().colour("BN").name()
    assert near(at(on_wire(scene, back.id)), light().faded(0.16).colour("BN").name())


def test_halfway_it_has_faded_halfway(scene: Scene, focused: View) -> None:
    focused.progress = 0.5
    at = frame(scene, focused)
    back = next(
        w for w in scene.harness.wires.values() if w.id not in focused.focus.wires and w.colour == "BN"
    )  # type: ignore[union-attr]
    assert near(at(on_wire(scene, back.id)), light().faded(1 - 0.84 * 0.5).colour("BN").name())


def test_what_a_gesture_carries_is_left_out(scene: Scene) -> None:
    at = frame(scene, View(labels=False, lifted=frozenset({"W41", "E1"})))
    assert at(on_wire(scene, "W41")) == light().colour("paper").name()
    assert at(on_wire(scene, "W31")) == light().colour("BN").name()


def test_a_selected_wire_has_an_accent_beside_it(scene: Scene) -> None:
    spot = on_wire(scene, "W31")
    scale = fitted(scene.extent, WIDTH, HEIGHT).px_per_mm

    def beside(view: View) -> set[str]:
        at = frame(scene, view)
        return {at(spot.moved(dx / scale, dy / scale)) for d in range(-7, 8) for dx, dy in ((d, 0), (0, d))}

    accent = light().colour("accent").name()
    assert accent in beside(View(labels=False, selected=frozenset({"W31"})))
    assert accent not in beside(View(labels=False))


def test_small_or_crowded_pages_are_drawn_as_outlines(scene: Scene, monkeypatch: pytest.MonkeyPatch) -> None:
    from harness_studio.diagram import picture

    monkeypatch.setattr(picture, "MOST_DETAILED", 2)
    at = frame(scene, View(labels=False))
    assert at(scene.symbols["M2"].outlines["M2"].centre) == light().colour("card").name()
    assert scene.place_of("shell") is not None
    assert at(scene.place_of("shell").centre) == light().colour("metal").name()  # type: ignore[union-attr]


def test_labels_can_be_left_out(scene: Scene) -> None:
    inks = []
    for labels in (False, True):
        image = QImage(WIDTH, HEIGHT, QImage.Format.Format_RGB32)
        image.fill(light().colour("paper"))
        painter = QPainter(image)
        draw(
            painter,
            scene,
            fitted(scene.extent, WIDTH, HEIGHT).pixels(WIDTH, HEIGHT),
            light(),
            View(labels=labels),
        )
        painter.end()
        paper = light().colour("paper").rgb()
        inks.append(sum(image.pixel(x, y) != paper for x in range(0, WIDTH, 2) for y in range(0, HEIGHT, 2)))
    assert inks[1] > inks[0]
