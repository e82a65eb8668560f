"""Timers and threads by Qt keep the promises that a session relies on."""

import threading

from pytestqt.qtbot import QtBot

from harness_studio.desktop.scheduler import QtScheduler


def test_later_and_taking_back(qtbot: QtBot) -> None:
    scheduler = QtScheduler()
    called: list[str] = []
    scheduler.later(1, lambda: called.append("a"))
    take_back = scheduler.later(1, lambda: called.append("b"))
    take_back()
    take_back()
    scheduler.later(5, lambda: called.append("c"))
    qtbot.waitUntil(lambda: "c" in called)
    assert called == ["a", "c"]


def test_taking_back_what_has_happened_does_nothing(qtbot: QtBot) -> None:
    scheduler = QtScheduler()
    called: list[int] = []
    take_back = scheduler.later(0, lambda: called.append(1))
    qtbot.waitUntil(lambda: called == [1])
    take_back()


def test_work_is_done_beside_and_told_here(qtbot: QtBot) -> None:
    scheduler = QtScheduler()
    here = threading.get_ident()
    got: list[tuple[int, int]] = []
    scheduler.run(threading.get_ident, lambda there: got.append((there, threading.get_ident())))
    qtbot.waitUntil(lambda: bool(got))
    assert got[0][0] != here
    assert got[0][1] == here


def test_many_at_once_all_arrive(qtbot: QtBot) -> None:
    scheduler = QtScheduler()
    got: list[int] = []
    for number in range(50):
        scheduler.run(lambda n=number: n, got.append)  # type: ignore[misc]
    qtbot.waitUntil(lambda: len(got) == 50)
    assert sorted(got) == list(range(50))


def test_after_closing_nothing_is_called(qtbot: QtBot) -> None:
    scheduler = QtScheduler()
    called: list[int] = []
    gate = threading.Event()
    scheduler.later(1, lambda: called.append(1))
    scheduler.run(lambda: gate.wait(5), lambda _: called.append(2))
    scheduler.close()
    gate.set()
    qtbot.wait(30)
    assert called == []
