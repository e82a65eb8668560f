"""Frames with an overlay on the harness with about 5,000 wires, and stalls of the window beside a long sweep.

Frames are drawn offscreen into 1600 x 1000 pixels, labels skipped; each round draws an overlay that no round has drawn
before, as after a step of the dial. Limit: 16 ms (60 frames a second), whole page and nearer; the strokes of symbols
are there already. Measured is the processor time of the thread that draws, which nothing else on the machine adds to;
the fastest of the rounds is judged. Stalls are times on the clock.
"""

import gc
import time
from collections.abc import Iterator

import pytest
from PySide6.QtGui import QGuiApplication, QImage, QPainter

from harness_studio.desktop.moving_on import hold_full_passes
from harness_studio.desktop.plots.beside import Beside
from harness_studio.desktop.scheduler import QtScheduler
from harness_studio.diagram.camera import fitted
from harness_studio.diagram.layout import Layout, lay_out
from harness_studio.diagram.overlays import Kind, Overlay, overlay_of
from harness_studio.diagram.picture import View, draw
from harness_studio.diagram.scene import Scene
from harness_studio.drawing.theme import light
from harness_studio.electrics.solution import Solution
from harness_studio.electrics.solve import solve
from harness_studio.model.entities import Page
from harness_studio.model.harness import Harness
from harness_studio.network.expand import expand
from harness_studio.placing.arrange import arrange
from harness_studio.session.scheduler import Synchronous
from harness_studio.session.session import Session
from tests.bench.conftest import Table
from tests.bench.watchdog import Watchdog
from tests.support.vehicle import bench500, wires5000

pytestmark = pytest.mark.bench

WIDTH, HEIGHT = 1600, 1000
FRAME_MS, STALL_MS = 16.0, 50.0
ROUNDS = 7
GROUNDS = 5
IMAGE = QImage(WIDTH, HEIGHT, QImage.Format.Format_RGB32)


@pytest.fixture(scope="module")
def harness() -> Harness:
    made = wires5000()
    made.pages["all"] = Page("all", items=arrange(made))
    return made


@pytest.fixture(scope="module")
def layout(harness: Harness) -> Layout:
    return lay_out(harness, harness.pages["all"])


@pytest.fixture(scope="module")
def solution(harness: Harness) -> Solution:
    return solve(expand(harness, None))


def frame_ms(scene: Scene, overlay: Overlay, nearer: float) -> float:
    """Return how long one whole frame takes."""
    camera = fitted(scene.extent, WIDTH, HEIGHT).zoomed(nearer, WIDTH / 2, HEIGHT / 2)
    view = View(labels=False, overlay=overlay)
    start = time.thread_time()
    painter = QPainter(IMAGE)
    painter.fillRect(0, 0, WIDTH, HEIGHT, light().colour("paper"))
    draw(painter, scene, camera.pixels(WIDTH, HEIGHT), light(), view)
    painter.end()
    return (time.thread_time() - start) * 1e3


@pytest.mark.parametrize("nearer", [1, 2, 4, 8, 16, 32])
@pytest.mark.parametrize("kind", ["current", "lost", "warmth"])
def test_a_frame_with_an_overlay(
    qapp: QGuiApplication,
    harness: Harness,
    layout: Layout,
    solution: Solution,
    table: Table,
    kind: Kind,
    nearer: float,
) -> None:
    """A frame after the dial has moved: another overlay each time; symbols' strokes are there already."""
    scene = Scene(harness, harness.pages["all"], layout)
    frame_ms(scene, overlay_of(kind, scene, solution), nearer)
    best = min(frame_ms(scene, overlay_of(kind, scene, solution), nearer) for _ in range(ROUNDS))
    table.add(f"frame with the overlay '{kind}', {nearer:g} times nearer, 5,000 wires", best, "ms", FRAME_MS)


@pytest.mark.parametrize("kind", ["current", "lost", "warmth"])
def test_making_an_overlay(
    harness: Harness, layout: Layout, solution: Solution, table: Table, kind: Kind
) -> None:
    scene = Scene(harness, harness.pages["all"], layout)
    best = 1e9
    for _ in range(ROUNDS):
        start = time.thread_time()
        overlay_of(kind, scene, solution)
        best = min(best, (time.thread_time() - start) * 1e3)
    table.add(f"making the overlay '{kind}' of 5,000 wires", best, "ms")


@pytest.fixture
def scheduler(qapp: QGuiApplication) -> Iterator[QtScheduler]:
    made = QtScheduler()
    yield made
    made.close()


@pytest.mark.parametrize("asked", [1, 2], ids=["asked once", "asked twice"])
def test_no_stall_beside_readings_against_resistance(
    scheduler: QtScheduler, table: Table, asked: int
) -> None:
    """With progress told; asked twice, the first question is overtaken. As in the program no full pass of the collector
    of garbage begins by itself.

    Times on the clock, to which other work on the machine adds: the best of some grounds is judged, the worst told.
    """
    session = Session.of(bench500(), Synchronous())
    grounds = [g for g in session.harness.grounds if g in session.computed.network.joints]  # type: ignore[union-attr]
    before = hold_full_passes()
    stalls, took = [], []
    try:
        for ground in grounds[:GROUNDS]:
            found: list[object] = []
            beside = Beside(scheduler, found.append, lambda done, whole: None)
            for _ in range(asked):
                beside.want(session, ground)
            dog, start = Watchdog(), time.perf_counter()
            dog.watch(lambda found=found: not found, 60.0)  # type: ignore[misc]
            took.append(time.perf_counter() - start)
            stalls.append(dog.longest_ms)
            assert len(found) == 1
            assert not isinstance(found[0], str)
    finally:
        gc.set_threshold(*before)
    how = "asked once" if asked == 1 else "asked twice"
    table.add(f"readings of bench500 against 18 resistances of a ground, {how}", min(took), "s")
    note = f"longest of {GROUNDS} grounds {max(stalls):.0f}"
    table.add("longest stall of the window beside it", min(stalls), "ms", STALL_MS, note)
    print(f"stalls beside readings against a resistance, {how}: {[round(s) for s in stalls]} ms")
