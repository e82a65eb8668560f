"""A window that was closed does nothing any more: no timer, no thread, no widget, no file, no lock."""

import threading
from pathlib import Path

import pytest
from PySide6.QtCore import QThreadPool, QTimer
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from harness_studio.desktop.window import Window
from harness_studio.model.edits import put
from harness_studio.model.entities import Splice
from harness_studio.storage import recovery
from tests.desktop.conftest import living_timers, timer_words
from tests.support.pointing import click


def test_a_closed_window_has_no_timers_threads_and_locks(qtbot: QtBot, pickup: Window, project: Path) -> None:
    threads = set(threading.enumerate())
    click(pickup, "GP2")
    for page in range(pickup.drawer.tabs.count()):
        pickup.drawer.open(page)
        qtbot.wait(20)
    pickup.drawer.tear_off("history")
    pickup.session.apply(put("splices", Splice("SP71")))
    assert living_timers(pickup)
    qtbot.waitUntil(lambda: any(recovery.folder().glob("*.yaml")), timeout=15_000)
    pickup.session.apply(put("splices", Splice("SP72")))
    pickup.close()
    assert QThreadPool.globalInstance().waitForDone(15_000)
    QApplication.processEvents()
    assert [timer_words(timer) for timer in living_timers(pickup)] == []
    assert set(threading.enumerate()) <= threads
    assert [w for w in QApplication.topLevelWidgets() if w.isVisible()] == []
    assert list(recovery.folder().iterdir()) == []
    assert [p.name for p in project.parent.glob(".*")] == []


def test_the_guard_sees_a_timer_that_is_left(qapp: QApplication) -> None:
    timer = QTimer()
    timer.start(60_000)
    assert "60000 ms of nobody" in [timer_words(one) for one in living_timers()]
    timer.stop()
    assert "60000 ms of nobody" not in [timer_words(one) for one in living_timers()]


def test_the_guard_fails_a_test_that_leaves_something(pytester: pytest.Pytester) -> None:
    conftest = Path(__file__).with_name("conftest.py").read_text(encoding="utf-8")
    pytester.makeconftest(conftest)
    pytester.makepyfile(
        """
        import threading
        from PySide6.QtCore import QTimer

        kept = []

        def test_leaves_a_timer(qapp):
            kept.append(QTimer())
            kept[-1].start(60_000)

        def test_is_clean(qapp):
            kept[-1].stop()

        def test_leaves_a_thread(qapp):
            kept.append(threading.Event())
            threading.Thread(target=kept[-1].wait, args=(2,), daemon=True, name="forgotten").start()
        """
    )
    result = pytester.runpytest_inprocess("-p", "no:cacheprovider")
    for thread in threading.enumerate():
        if thread.name == "forgotten":
            thread.join()
    result.assert_outcomes(passed=3, errors=2)
    result.stdout.fnmatch_lines(["*60000 ms of nobody*", "*threads that a test left behind*forgotten*"])
