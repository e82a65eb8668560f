"""What an open harness is made of is put away from the collector of garbage once, and given back for another."""

import gc

import pytest

from harness_studio.desktop.moving_on import LongLived


@pytest.fixture
def calls(monkeypatch):
    told = []
    monkeypatch.setattr(gc, "freeze", lambda: told.append("freeze"))
    monkeypatch.setattr(gc, "unfreeze", lambda: told.append("unfreeze"))
    return told


def test_once_for_each_harness(qtbot, window, copied, calls):
    keeping = LongLived(window)
    keeping.settle()
    assert calls == []  # nothing is open yet
    for count, name in enumerate(("first_harness", "track_buggy")):
        assert window.files.open(copied(name))
        qtbot.waitUntil(
            lambda: window.session.solution is not None and not window.diagram.busy, timeout=20_000
        )
        qtbot.waitUntil(lambda count=count: calls.count("freeze") == count + 1, timeout=3000)
        keeping.settle()
        assert calls == ["freeze", "unfreeze", "freeze"][: 2 * count + 1]
