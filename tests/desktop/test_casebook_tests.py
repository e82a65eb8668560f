"""The ready-made tests in the window: guided from reading to reading, judged by limit, with tips on the diagram."""

import shutil
from pathlib import Path

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtTest import QTest

from tests.desktop.casebook_hand import begin, push, settle


@pytest.fixture
def project(tmp_path: Path, sample_projects_dir: Path) -> Path:
    return Path(shutil.copy(sample_projects_dir / "track_buggy.yaml", tmp_path / "buggy.yaml"))


@pytest.fixture
def page(qtbot, pickup):
    made = begin(qtbot, pickup, "cranks slowly when hot")
    push(qtbot, made.case.names.buttons["tests"])
    qtbot.waitUntil(lambda: bool(made.case.tests.cards), timeout=20_000)
    return made


def test_the_next_reading_is_entered_and_judged_and_the_one_after_it_offered(qtbot, pickup, page):
    tests = page.case.tests
    assert tests.next.text() == "Next: battery, post to post, while cranking"
    assert "crank 10 s at most" in tests.caution.text().lower()
    push(qtbot, tests.next)
    form = page.case.readings.form
    assert (form.plus.value, form.minus.value, form.mode.value) == ("GB1.30", "GB1.31", "cranking")
    qtbot.keyClicks(form.value, "9.1")
    qtbot.keyClick(form.value, Qt.Key.Key_Return)
    assert page.case.page == "tests"
    assert tests.cards[0].said.text() == "9.1 V: lower"
    assert tests.next.text() == "Next: post GB1.30 to the clamp of W1"
    push(qtbot, tests.next)
    qtbot.keyClicks(form.value, "0.8")
    qtbot.keyClick(form.value, Qt.Key.Key_Return)
    assert tests.cards[1].said.text() == "0.8 V: over the limit"
    (case,) = pickup.session.harness.tables["cases"].values()
    assert [r.note for r in case.readings] == [
        "battery, post to post, while cranking",
        "post GB1.30 to the clamp of W1",
    ]


def test_tips_of_a_step_are_drawn_under_the_pointer(qtbot, pickup, page):
    card = page.case.tests.cards[1]
    page.case._areas["tests"].ensureWidgetVisible(card)
    settle()
    QTest.mouseMove(card, QPoint(card.width() // 2, 6))
    wanted = {"+": card.step.reading.plus, "−": card.step.reading.minus}
    qtbot.waitUntil(lambda: dict(pickup.diagram.state.tips) == wanted)


def test_another_test_is_chosen_by_its_word(qtbot, pickup, page):
    tests = page.case.tests
    push(qtbot, tests.which.buttons["charging"])
    assert tests.cards[1].title.text() == "2  Alternator's stud to the live post"
    push(qtbot, tests.which.buttons["key-off drain"])
    assert any("Clamp round" in card.title.text() for card in tests.cards)
