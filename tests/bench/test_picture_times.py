"""From the hand to the picture in the whole window on bench500: a click on a ground, the dial, a position of the strip.

The picture is there when the diagram has been repainted with the new state. Offscreen, 1440 x 900, the whole page in
view. A click is the work of the window's thread alone, so its processor time is taken. The dial and a position are
solved on another thread while the window waits, so the processor time of both counts, one after the other. Nothing else
on the machine adds to either. Each click is on a ground, each turn to a resistance and each press of a position that no
round has seen; the median is judged, the longest printed beside it.
"""

import gc
import random
import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from pathlib import Path
from statistics import median

import pytest
from PySide6.QtCore import QCoreApplication, QEventLoop, QSettings, QStandardPaths, Qt, QThreadPool, QTimer
from PySide6.QtGui import QPaintEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from harness_studio.desktop.moving_on import LongLived
from harness_studio.desktop.sweep.page import SweepPage
from harness_studio.desktop.window import Window
from harness_studio.diagram.dial_scale import ohm_at
from harness_studio.diagram.view import Diagram
from harness_studio.model.entities import Page
from harness_studio.placing.arrange import arrange
from harness_studio.session.session import Session
from tests.bench.conftest import Table
from tests.bench.watchdog import Watchdog
from tests.support.pointing import middle_of
from tests.support.vehicle import bench500

pytestmark = pytest.mark.bench

CLICK_MS, TURN_MS, STALL_MS = 50.0, 60.0, 50.0
SWEEPS, FRAME_EACH_MS = 4, 40
ROUNDS = 15
MOST_S = 60.0


@dataclass
class Bench:
    """The window and what it has painted: for each picture what it showed and the processor times when it was done."""

    window: Window
    pictures: list[tuple[str | None, object, float, float]] = field(default_factory=list)

    def painted(self, diagram: Diagram) -> None:
        focus = diagram.state.focus if diagram.state.progress > 0 else None
        shown = focus.joint if focus is not None else None
        self.pictures.append((shown, diagram.session.solution, time.thread_time(), time.process_time()))

    def wait(self, until: Callable[[], bool]) -> None:
        """Run the event loop until something is so."""
        end = time.perf_counter() + MOST_S
        while not until() and time.perf_counter() < end:
            QCoreApplication.processEvents(QEventLoop.ProcessEventsFlag.WaitForMoreEvents)
        assert until()

    def rest(self) -> None:
        """Let what goes on beside the window end."""
        computed, pool = self.window.session.computed, QThreadPool.globalInstance()
        self.wait(lambda: not computed.stale and pool.activeThreadCount() == 0)
        end = time.perf_counter() + 0.2
        self.wait(lambda: time.perf_counter() > end and pool.activeThreadCount() == 0)


@pytest.fixture(scope="module")
def bench(qapp: QApplication, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Bench]:
    place: Path = tmp_path_factory.mktemp("settings")
    QStandardPaths.setTestModeEnabled(True)
    for kind in (QSettings.Format.NativeFormat, QSettings.Format.IniFormat):
        QSettings.setPath(kind, QSettings.Scope.UserScope, str(place))
    patch = pytest.MonkeyPatch()
    plain = Diagram.paintEvent
    made: list[Bench] = []

    def paint(diagram: Diagram, event: QPaintEvent) -> None:
        plain(diagram, event)
        if made:
            made[0].painted(diagram)

    patch.setattr(Diagram, "paintEvent", paint)
    window = Window()
    window.resize(1440, 900)
    harness = bench500()
    harness.pages["all"] = Page("all", items=arrange(harness))
    window.show_session(Session.of(harness, window.scheduler))
    window.show()
    made.append(Bench(window))
    waking = QTimer(window)  # so that waiting ends when nothing happens any more
    waking.start(100)
    made[0].wait(lambda: window.session.solution is not None and not window.diagram.busy)
    made[0].rest()
    yield made[0]
    window.close()
    window.deleteLater()
    patch.undo()


def tell(table: Table, case: str, times: list[float], most: float) -> None:
    table.add(case, median(times), "ms", most, f"longest {max(times):.0f} of {len(times)}, processor time")


def test_a_click_on_a_ground(bench: Bench, table: Table) -> None:
    session, diagram = bench.window.session, bench.window.diagram
    grounds = [g for g in session.harness.grounds if diagram.scene.symbol_of(g)]
    random.Random(1).shuffle(grounds)
    times = []
    for ground in grounds[:ROUNDS]:
        session.choose(None)
        session.select(())
        bench.rest()
        bench.pictures.clear()
        start = time.thread_time()
        QTest.mouseClick(diagram, Qt.MouseButton.LeftButton, pos=middle_of(diagram, ground))
        bench.wait(lambda: any(p[0] is not None for p in bench.pictures))
        times.append((next(p[2] for p in bench.pictures if p[0] is not None) - start) * 1e3)
        bench.rest()
    tell(table, "bench500: click on a ground to the picture", times, CLICK_MS)


def test_a_turn_of_the_dial(bench: Bench, table: Table) -> None:
    session, diagram = bench.window.session, bench.window.diagram
    ground = next(g for g in session.harness.grounds if diagram.scene.symbol_of(g))
    session.choose(ground)
    bench.rest()
    clean = diagram.dial.clean_ohm
    assert clean is not None
    times = []
    for step in range(ROUNDS):
        ohm, before = ohm_at((step + 0.5) / ROUNDS, clean), session.solution
        bench.pictures.clear()
        start = time.process_time()
        diagram.dial.turn(ohm)
        bench.wait(lambda before=before: any(p[1] is not before for p in bench.pictures))
        times.append((next(p[3] for p in bench.pictures if p[1] is not before) - start) * 1e3)
        assert session.solution is not None
        assert session.solution.joint(ground).ohm == pytest.approx(ohm)
        bench.rest()
    diagram.dial.put_back()
    session.choose(None)
    bench.rest()
    tell(table, "bench500: dial to the picture", times, TURN_MS)


@pytest.mark.parametrize("chosen", [False, True], ids=["nothing chosen", "a ground chosen"])
def test_a_position_of_the_strip(bench: Bench, table: Table, chosen: bool) -> None:
    session, diagram, strip = bench.window.session, bench.window.diagram, bench.window.strip
    ground = next(g for g in session.harness.grounds if diagram.scene.symbol_of(g))
    session.choose(ground if chosen else None)
    bench.rest()
    switches = [
        p for p in session.harness.parts.values() if p.kind == "switch" and len(p.ratings.positions) > 1
    ]
    for fold in strip.folds.values():
        if fold.isVisible() and not fold.isChecked():
            fold.click()
    bench.rest()
    times = []
    for part in switches[:ROUNDS]:
        button = next(
            b
            for value in part.ratings.positions
            if not (b := strip.button("switch", part.id, value)).isChecked()
        )
        before = session.solution
        bench.pictures.clear()
        start = time.process_time()
        QTest.mouseClick(button, Qt.MouseButton.LeftButton)
        bench.wait(lambda before=before: any(p[1] is not before for p in bench.pictures))
        times.append((next(p[3] for p in bench.pictures if p[1] is not before) - start) * 1e3)
        bench.rest()
    session.set_overrides(None)
    bench.rest()
    what = "a ground chosen" if chosen else "nothing chosen"
    tell(table, f"bench500: position to the picture, {what}", times, TURN_MS)


@pytest.mark.parametrize("drawing", [False, True], ids=["at rest", "drawing"])
def test_no_stall_beside_a_whole_sweep(bench: Bench, table: Table, drawing: bool) -> None:
    """A sweep from its page to its last row; the diagram at rest, or drawn again all the time as under the hand.

    Times on the clock, with what lives long put away as in the program. Other
    work on the machine adds to them: the best of the sweeps is judged.
    """
    window = bench.window
    keeping = LongLived(window)
    keeping.settle()
    window.drawer.open("sweep")
    page = window.drawer.current
    assert isinstance(page, SweepPage)
    page.field.setText("5, 50, 200")
    bench.rest()
    frames = QTimer(window)
    frames.timeout.connect(window.diagram.update)
    longest = []
    try:
        for _ in range(SWEEPS):
            if drawing:
                frames.start(FRAME_EACH_MS)
            QTest.mouseClick(page.start_button, Qt.MouseButton.LeftButton)
            start, dog = time.perf_counter(), Watchdog()
            dog.watch(lambda: page.sweeping.progress is not None, MOST_S)
            dog.watch(lambda: True, 0.3)  # the rows are shown
            frames.stop()
            assert page.rows.rowCount() > 100
            longest.append(dog.longest_ms)
            took = time.perf_counter() - start
            bench.rest()
        page.start_button.click()
        page.stop_button.click()
        start = time.perf_counter()
        bench.wait(lambda: QThreadPool.globalInstance().activeThreadCount() == 0)
        ended = time.perf_counter() - start
    finally:
        gc.unfreeze()
        keeping.deleteLater()
    what = "the diagram drawn again each 40 ms" if drawing else "the diagram at rest"
    note = f"longest of {SWEEPS} sweeps {max(longest):.0f}"
    table.add(
        f"longest stall of the window beside a sweep of bench500, {what}", min(longest), "ms", STALL_MS, note
    )
    table.add("the last of these sweeps, 3 resistances", took, "s")
    table.add("it ends after Stop", ended * 1e3, "ms")
