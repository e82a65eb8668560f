"""Who is told, in which order, and that one who fails stops nobody."""

import logging

from harness_studio.session.notices import Notices


def test_everybody_is_told_in_order_until_they_unsubscribe() -> None:
    heard: list[str] = []
    notices = Notices()
    end_first = notices.subscribe("mode", lambda value: heard.append(f"first {value}"))
    notices.subscribe("mode", lambda value: heard.append(f"second {value}"))
    notices.subscribe("chosen", lambda value: heard.append(f"chosen {value}"))
    notices.tell("mode", "on")
    end_first()
    end_first()
    notices.tell("mode", "off")
    assert heard == ["first on", "second on", "second off"]


def test_the_same_callback_may_subscribe_twice() -> None:
    heard: list[object] = []
    notices = Notices()
    end = notices.subscribe("mode", heard.append)
    notices.subscribe("mode", heard.append)
    end()
    notices.tell("mode", 1)
    assert heard == [1]


def test_one_may_unsubscribe_another_while_told() -> None:
    heard: list[object] = []
    notices = Notices()
    notices.subscribe("mode", lambda _: end_second())
    end_second = notices.subscribe("mode", heard.append)
    notices.tell("mode", 1)
    assert heard == []


def test_a_listener_that_fails_is_logged_and_the_others_hear(expected_logs: list[logging.LogRecord]) -> None:
    heard: list[object] = []
    notices = Notices()
    notices.subscribe("results", lambda value: 1 / value)
    notices.subscribe("results", heard.append)
    notices.tell("results", 0)
    assert heard == [0]
    assert [r.getMessage() for r in expected_logs] == ["a listener to 'results' failed"]
    assert expected_logs[0].exc_info is not None


def test_who_asks_to_be_first_is() -> None:
    told: list[str] = []
    notices = Notices()
    notices.subscribe("chosen", lambda _: told.append("page"))
    end = notices.subscribe("chosen", lambda _: told.append("picture"), first=True)
    notices.subscribe("chosen", lambda _: told.append("later page"))
    notices.tell("chosen", None)
    assert told == ["picture", "page", "later page"]
    end()
    told.clear()
    notices.tell("chosen", None)
    assert told == ["page", "later page"]
