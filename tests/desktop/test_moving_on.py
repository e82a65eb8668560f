"""What an open harness is made of is put away from the collector of garbage, and full passes wait for quiet."""

import gc

import pytest
from PySide6.QtCore import QThreadPool

from harness_studio.desktop.moving_on import LEAST_PASSES, NEVER, QUIET_LOOKS, LongLived
from harness_studio.diagram.moving import move_edit


@pytest.fixture
def calls(monkeypatch):
    told = []
    monkeypatch.setattr(gc, "freeze", lambda: told.append("freeze"))
    monkeypatch.setattr(gc, "unfreeze", lambda: told.append("unfreeze"))
    monkeypatch.setattr(gc, "collect", lambda: told.append("collect"))
    monkeypatch.setattr(gc, "get_count", lambda: (0, 0, 0))
    return told


@pytest.fixture
def keeping(window):
    before = gc.get_threshold()
    made = LongLived(window)
    made._timer.stop()
    yield made
    made.end()
    assert gc.get_threshold() == before


def rest(qtbot, window):
    qtbot.waitUntil(
        lambda: (
            window.session.solution is not None
            and not window.diagram.busy
            and not window.session.computed.stale
            and QThreadPool.globalInstance().activeThreadCount() == 0
        ),
        timeout=20_000,
    )


def test_once_for_each_harness(qtbot, window, copied, calls, keeping):
    keeping.settle()
    assert calls == []  # nothing is open yet
    for count, name in enumerate(("first_harness", "track_buggy")):
        assert window.files.open(copied(name))
        rest(qtbot, window)
        keeping.settle()
        keeping.settle()
        assert calls == ["freeze", "unfreeze", "collect", "freeze"][: 3 * count + 1]


def test_what_an_edit_made_is_put_away_too(qtbot, window, copied, calls, keeping):
    assert window.files.open(copied("track_buggy"))
    rest(qtbot, window)
    keeping.settle()
    scene = window.diagram.scene
    window.session.apply(move_edit(window.session.harness, scene.page, [scene.ids[0]], 5, 0))
    rest(qtbot, window)
    keeping.settle()
    keeping.settle()
    assert calls == ["freeze", "freeze"]


def test_a_full_pass_waits_until_nothing_goes_on(qtbot, window, copied, calls, keeping, monkeypatch):
    assert gc.get_threshold()[2] == NEVER
    assert window.files.open(copied("track_buggy"))
    rest(qtbot, window)
    keeping.settle()
    monkeypatch.setattr(gc, "get_count", lambda: (0, 0, LEAST_PASSES))
    for _ in range(QUIET_LOOKS - 1):
        keeping.settle()
    assert calls == ["freeze"]
    window.session.choose(next(iter(window.session.harness.grounds)))
    scene = window.diagram.scene
    window.session.apply(move_edit(window.session.harness, scene.page, [scene.ids[0]], 5, 0))
    rest(qtbot, window)
    for _ in range(QUIET_LOOKS):
        keeping.settle()
    assert calls == ["freeze", "freeze"]
    keeping.settle()
    assert calls == ["freeze", "freeze", "collect", "freeze"]
