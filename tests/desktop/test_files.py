"""Opening, saving, importing, leaving: nothing is lost, and what goes wrong is one quiet line."""

from pathlib import Path

import pytest
from PySide6.QtCore import QPoint, Qt
from pytestqt.qtbot import QtBot

from harness_studio.desktop import files
from harness_studio.desktop.window import Window, settings
from harness_studio.diagram import staging
from harness_studio.session.scheduler import Synchronous
from harness_studio.session.session import Session
from tests.desktop.conftest import Answers
from tests.support.pointing import drag, middle_of, press

CONTROL = Qt.KeyboardModifier.ControlModifier


def moved(window: Window) -> None:
    drag(window, middle_of(window.diagram, "M2"), QPoint(60, 0))


def test_an_empty_window_offers_ways_to_begin(qtbot: QtBot, window: Window) -> None:
    assert window.start_page.isVisible()
    assert not window.diagram.isVisible()
    qtbot.mouseClick(window.start_page.samples[0], Qt.MouseButton.LeftButton)
    assert window.diagram.isVisible()
    assert window.session.title == "Slipway pickup"
    assert window.session.path is None
    assert window.foot.saved.text().endswith("not saved")


def test_open_and_what_the_foot_says(qtbot: QtBot, window: Window, answers: Answers, project: Path) -> None:
    answers.open = project
    press(window, Qt.Key.Key_O, CONTROL)
    assert answers.asked == ["Open a harness project"]
    assert window.session.path == project
    assert "19 wires" in window.foot.holds.text()
    assert "3 grounds" in window.foot.holds.text()
    assert window.foot.saved.text().endswith("· saved")
    qtbot.waitUntil(lambda: window.foot.solved.text().startswith("solved in "), timeout=10_000)


def test_save(pickup: Window, project: Path) -> None:
    before = project.read_text(encoding="utf-8")
    moved(pickup)
    assert pickup.isWindowModified()
    assert pickup.foot.saved.text().endswith("not saved")
    press(pickup, Qt.Key.Key_S, CONTROL)
    assert not pickup.isWindowModified()
    assert pickup.foot.saved.text().endswith("· saved")
    after = project.read_text(encoding="utf-8")
    assert after != before
    again = Session.open(project, Synchronous())
    assert again.harness.pages["rear"].items["M2"] == pickup.session.harness.pages["rear"].items["M2"]
    assert [line for line in after.splitlines() if line.startswith("#")] == [
        line for line in before.splitlines() if line.startswith("#")
    ]


def test_undoing_back_to_what_was_saved_counts_as_saved(pickup: Window) -> None:
    moved(pickup)
    press(pickup, Qt.Key.Key_Z, CONTROL)
    assert not pickup.isWindowModified()


def test_save_as(pickup: Window, answers: Answers, tmp_path: Path) -> None:
    answers.save = tmp_path / "other.yaml"
    press(pickup, Qt.Key.Key_S, CONTROL | Qt.KeyboardModifier.ShiftModifier)
    assert answers.save.exists()
    assert pickup.session.path == answers.save


def test_a_harness_without_a_file_asks_where_to_save(
    window: Window, answers: Answers, tmp_path: Path
) -> None:
    window.files.open_sample()
    answers.save = tmp_path / "mine.yaml"
    window.save()
    assert answers.asked == ["slipway_pickup.yaml"]
    assert answers.save.exists()
    answers.save = None
    window.save()
    assert window.session.path == tmp_path / "mine.yaml"


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("harness_studio: 1\nwires: {W1: {ends: [GP9, cut]}}\n", "GP9"),
        ("harness_studio: 99\n", "99"),
        ("[1, 2", "broken.yaml:"),
        ("harness_studio: 1\nwirse: {}\n", "wires"),
    ],
)
def test_a_broken_file_is_told_in_the_bar_and_leaves_what_is_open(
    pickup: Window, tmp_path: Path, text: str, said: str
) -> None:
    broken = tmp_path / "broken.yaml"
    broken.write_text(text, encoding="utf-8")
    before = pickup.session
    assert not pickup.files.open(broken)
    assert said in pickup.bar.text
    assert "Traceback" not in pickup.bar.text
    assert pickup.session is before
    assert broken.read_text(encoding="utf-8") == text


def test_a_missing_file_is_told(window: Window, tmp_path: Path) -> None:
    assert not window.files.open(tmp_path / "nowhere.yaml")
    assert "nowhere.yaml" in window.bar.text


def test_the_bar_can_be_put_away(qtbot: QtBot, window: Window) -> None:
    window.tell("\n".join(f"line {i}" for i in range(20)))
    assert window.bar.text.splitlines()[-1] == "and 14 more"
    qtbot.mouseClick(window.bar.close_button, Qt.MouseButton.LeftButton)
    assert window.bar.text == ""


@pytest.mark.parametrize(
    ("answer", "closes", "saved"), [("save", True, True), ("discard", True, False), ("stay", False, False)]
)
def test_leaving_unsaved_work_asks_once(
    pickup: Window, answers: Answers, project: Path, answer: str, closes: bool, saved: bool
) -> None:
    before = project.read_text(encoding="utf-8")
    moved(pickup)
    answers.on_leaving = answer  # type: ignore[assignment]
    assert pickup.close() is closes
    assert answers.asked == ["Slipway pickup"]
    assert (project.read_text(encoding="utf-8") != before) is saved
    answers.on_leaving = "discard"


def test_leaving_saved_work_asks_nothing(pickup: Window, answers: Answers) -> None:
    assert pickup.close()
    assert answers.asked == []


def test_opening_another_asks_first(pickup: Window, answers: Answers, project: Path) -> None:
    moved(pickup)
    answers.on_leaving = "stay"
    before = pickup.session
    pickup.commands.actions["open"].trigger()
    assert pickup.session is before
    assert answers.asked == ["Slipway pickup"]
    answers.on_leaving = "discard"


def test_a_save_that_fails_keeps_the_window_open(
    pickup: Window, answers: Answers, project: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    moved(pickup)

    def full(*_: object) -> None:
        raise OSError(28, "No space left on device", str(project))

    monkeypatch.setattr(type(pickup.session), "save", full)
    answers.on_leaving = "save"
    assert not pickup.close()
    assert "No space left on device" in pickup.bar.text
    answers.on_leaving = "discard"


def test_geometry_is_remembered(qtbot: QtBot, window: Window, answers: Answers) -> None:
    window.resize(760, 640)  # no larger than the screen that tests have
    window.close()
    assert settings().value("geometry") is not None
    again = Window(answers)
    qtbot.addWidget(again)
    assert (again.width(), again.height()) == (760, 640)


def test_an_import_is_arranged_as_a_step_that_can_be_undone(
    qtbot: QtBot, window: Window, answers: Answers, samples_dir: Path
) -> None:
    answers.open = samples_dir / "kbl" / "engine_harness.kbl"
    press(window, Qt.Key.Key_I, CONTROL)
    harness = window.session.harness
    assert window.session.path is None
    assert window.session.history == ("arrange",)
    (page,) = harness.pages.values()
    assert set(window.diagram.scene.symbols) == set(page.items)
    drawn = {m for s in window.diagram.scene.symbols.values() for m in s.members}
    assert set(harness.halves) | set(harness.grounds) | set(harness.splices) <= drawn
    assert set(harness.wires) == set(window.diagram.scene.wires.ids)
    assert window.bar.text.startswith("Imported, with ")
    window.undo()
    assert not window.session.harness.pages
    window.redo()
    assert set(window.diagram.scene.symbols) == set(page.items)


def test_a_file_that_is_no_kbl_is_told(window: Window, tmp_path: Path) -> None:
    wrong = tmp_path / "wrong.kbl"
    wrong.write_text("<!DOCTYPE a [<!ENTITY b 'c'>]><a>&b;</a>", encoding="utf-8")
    assert not window.files.open(wrong)
    assert "wrong.kbl" in window.bar.text
    assert window.start_page.isVisible()


def test_new(pickup: Window) -> None:
    press(pickup, Qt.Key.Key_N, CONTROL)
    assert pickup.diagram.isVisible()
    assert pickup.session.path is None
    assert pickup.session.harness.wires == {}


def test_a_large_harness_is_arranged_and_laid_out_beside_the_window(
    qtbot: QtBot, window: Window, monkeypatch: pytest.MonkeyPatch, project: Path
) -> None:
    for module in (files, staging):
        monkeypatch.setattr(module, "AT_ONCE", 3)
    text = project.read_text(encoding="utf-8")
    bare = project.with_name("bare.yaml")
    bare.write_text(text[: text.index("\ndiagram:")] + "\n", encoding="utf-8")
    assert window.files.open(bare)
    assert window.diagram.scene.empty
    assert window.foot.solved.text() == "arranging 19 wires …"
    qtbot.waitUntil(lambda: window.session.history == ("arrange",), timeout=10_000)
    qtbot.waitUntil(
        lambda: set(window.diagram.scene.wires.ids) == set(window.session.harness.wires), timeout=10_000
    )
    qtbot.waitUntil(lambda: window.diagram.busy is None, timeout=10_000)
    qtbot.waitUntil(lambda: window.foot.solved.text().startswith("solved in "), timeout=10_000)
    routes = window.diagram.scene.layout.routes
    moved(window)
    assert window.diagram.busy == "laying wires"
    qtbot.waitUntil(lambda: window.diagram.busy is None, timeout=10_000)
    assert window.diagram.scene.layout.routes != routes
