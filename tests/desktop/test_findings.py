"""Findings in the window: listed, filtered, shown on the diagram, accepted; advice applied; limits chosen."""

import time
from collections.abc import Callable
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QWidget
from pytestqt.qtbot import QtBot

from harness_studio.desktop.findings.advice import _grouped
from harness_studio.desktop.findings.advice_view import APPLIED
from harness_studio.desktop.findings.body import Body
from harness_studio.desktop.findings.page import FindingsPage
from harness_studio.desktop.window import Window
from harness_studio.model.edits import Put, change, together
from harness_studio.model.entities import Accepted
from harness_studio.session import checking
from harness_studio.storage.project_file import read_project
from tests.support.pointing import click, press

SHIFT_CONTROL = Qt.KeyboardModifier.ControlModifier | Qt.KeyboardModifier.ShiftModifier
ADVICE_MS = 60_000


def settled(qtbot: QtBot, window: Window) -> None:
    """Wait until the findings are those of the harness as it is."""
    qtbot.waitUntil(lambda: not page_of(window).body.said.text().endswith("…"), timeout=20_000)
    qtbot.waitUntil(lambda: "checking" not in window.foot.findings.text(), timeout=20_000)


def page_of(window: Window) -> FindingsPage:
    found = window.drawer.findChild(FindingsPage)
    assert isinstance(found, FindingsPage)
    return found


@pytest.fixture
def body(qtbot: QtBot, pickup: Window) -> Body:
    """Return the page of findings, opened by its keys, with the findings of the first sample."""
    press(pickup, Qt.Key.Key_F, SHIFT_CONTROL)
    found = page_of(pickup).body
    qtbot.waitUntil(lambda: bool(found.list.rows), timeout=20_000)
    settled(qtbot, pickup)
    return found


def listed(body: Body) -> list[str]:
    return [row.finding.key for row in body.list.rows if row.finding is not None]


def choose(qtbot: QtBot, body: Body, key: str) -> None:
    """Click a finding in the list."""
    index = body.list.index_of(key)
    assert index.isValid(), key
    body.list.scrollTo(index)
    middle = body.list.visualRect(index).center()
    qtbot.mouseClick(body.list.viewport(), Qt.MouseButton.LeftButton, pos=middle)


def push(qtbot: QtBot, button: QWidget) -> None:
    """Click a button once the layout has brought it where it is seen."""
    window = button.window()
    qtbot.waitUntil(lambda: window.childAt(button.mapTo(window, button.rect().center())) is button)
    qtbot.mouseClick(button, Qt.MouseButton.LeftButton)


def test_the_list_is_grouped_by_grade_and_rule_and_the_foot_counts(pickup: Window, body: Body) -> None:
    rows = body.list.rows
    assert rows[0].title == "Stop · fuel pump runs on"
    assert rows[1].finding is not None
    assert rows[1].finding.key == "fuel_pump_runs_on/M2"
    kinds = [row.kind for row in rows]
    assert kinds == sorted(kinds, key=["stop", "mend", "note", "accepted"].index)
    assert pickup.foot.findings.text() == "1 stop · 7 mend · 5 notes"
    assert [row.number for row in rows if row.finding] == list(range(1, 14))
    assert "ampacity by heat balance" in body.said.text()


def test_the_foot_leads_to_the_page(qtbot: QtBot, pickup: Window) -> None:
    qtbot.waitUntil(lambda: pickup.foot.findings.text() == "1 stop · 7 mend · 5 notes", timeout=20_000)
    qtbot.mouseClick(pickup.foot.findings, Qt.MouseButton.LeftButton)
    assert page_of(pickup).isVisible()
    assert page_of(pickup).body.list.hasFocus()


def test_words_ids_and_grades_narrow_the_list(qtbot: QtBot, pickup: Window, body: Body) -> None:
    qtbot.keyClicks(body.words, "gp2 sensor")
    assert listed(body) == ["mixed_returns/GP2"]
    body.words.clear()
    qtbot.keyClicks(body.words, "W1")
    assert listed(body) == ["fuse_missing/W1"]
    body.words.clear()
    for kind in ("mend", "note"):
        qtbot.mouseClick(body.kinds[kind], Qt.MouseButton.LeftButton)
    assert listed(body) == ["fuel_pump_runs_on/M2"]
    assert body.kinds["mend"].text() == "mend 7"


def test_a_click_brings_the_thing_into_view_with_its_numbers(
    qtbot: QtBot, pickup: Window, body: Body
) -> None:
    choose(qtbot, body, "ground_rise/GP2")
    assert pickup.session.selection == {"GP2"}
    assert page_of(pickup).isVisible()
    (chosen,) = [m for m in pickup.diagram.state.marks if m.chosen]
    assert (chosen.grade, chosen.words) == ("mend", "0.189 V, limit 0.1 V")
    assert len(pickup.diagram.state.marks) == 13
    text = body.card.text.toPlainText()
    for words in ("0.189 V", "limit 0.1 V", "read on two pages or more", "clean the stud", "From it come"):
        assert words in text


def test_keys_do_what_the_mouse_does(qtbot: QtBot, pickup: Window, body: Body) -> None:
    assert body.list.hasFocus()
    qtbot.keyClick(body.list, Qt.Key.Key_Down)
    assert body.current is not None
    assert body.current.key == "fuel_pump_runs_on/M2"
    qtbot.keyClick(body.list, Qt.Key.Key_Return)
    assert body.card.reason.hasFocus()


def test_what_is_selected_on_the_diagram_is_pointed_out_in_the_list(
    qtbot: QtBot, pickup: Window, body: Body
) -> None:
    camera = pickup.diagram.camera
    click(pickup, "E5")
    assert page_of(pickup).isVisible()
    assert body.current is not None
    assert body.current.key == "feed_drop/E5"
    assert [m.words for m in pickup.diagram.state.marks if m.chosen] == ["0.539 V, limit 0.5 V"]
    assert pickup.diagram.camera == camera


def test_marks_go_with_the_page_unless_they_are_wanted(qtbot: QtBot, pickup: Window, body: Body) -> None:
    assert pickup.diagram.state.marks
    pickup.drawer.open("details")
    assert pickup.diagram.state.marks == ()
    pickup.diagram.setFocus()
    press(pickup, Qt.Key.Key_9, Qt.KeyboardModifier.AltModifier)
    assert len(pickup.diagram.state.marks) == 13
    assert pickup.commands.actions["overlay_findings"].isChecked()
    press(pickup, Qt.Key.Key_9, Qt.KeyboardModifier.AltModifier)
    assert pickup.diagram.state.marks == ()


def test_a_finding_is_accepted_with_a_reason_and_stands_again(
    qtbot: QtBot, pickup: Window, body: Body, project: Path
) -> None:
    choose(qtbot, body, "fuse_missing/W1")
    assert not body.card.accept.isEnabled()
    qtbot.keyClicks(body.card.reason, "in a conduit, to be shortened")
    qtbot.keyClick(body.card.reason, Qt.Key.Key_Return)
    assert (
        pickup.session.harness.tables["accepted"]["fuse_missing/W1"].reason == "in a conduit, to be shortened"
    )
    assert body.list.hasFocus()
    settled(qtbot, pickup)
    qtbot.waitUntil(
        lambda: pickup.foot.findings.text() == "1 stop · 6 mend · 5 notes · 1 accepted", timeout=20_000
    )
    assert listed(body)[-1] == "fuse_missing/W1"
    assert "accepted because in a conduit" in body.card.text.toPlainText()
    press(pickup, Qt.Key.Key_S, Qt.KeyboardModifier.ControlModifier)
    assert "fuse_missing/W1" in read_project(project).harness.tables["accepted"]
    assert body.card.back.isVisible()
    qtbot.mouseClick(body.card.back, Qt.MouseButton.LeftButton)
    assert not pickup.session.harness.tables["accepted"]
    press(pickup, Qt.Key.Key_Z, Qt.KeyboardModifier.ControlModifier)
    assert "fuse_missing/W1" in pickup.session.harness.tables["accepted"]


def test_reasons_whose_finding_is_gone_are_told_and_removed_in_one_step(
    qtbot: QtBot, pickup: Window, body: Body
) -> None:
    old = [Accepted(f"ground_rise/{name}", "a long bed") for name in ("GP1", "GP5", "GP9")]
    pickup.session.apply(together([Put("accepted", one) for one in old], "old reasons"))
    settled(qtbot, pickup)
    qtbot.waitUntil(lambda: pickup.foot.findings.text() == "1 stop · 7 mend · 8 notes", timeout=20_000)
    choose(qtbot, body, "accepted_gone/ground_rise/GP5")
    assert pickup.session.selection == {"GP5"}
    assert "'ground stud rises' is not found there any more" in body.card.text.toPlainText()
    assert not body.card.accept.isVisible()
    assert body.card.forget.isVisible()
    assert body.card.forget_all.text() == "Remove all 3 of its kind"
    qtbot.waitUntil(
        lambda: body.list.viewport().rect().contains(body.list.visualRect(body.list.currentIndex()))
    )
    push(qtbot, body.card.forget)
    assert list(pickup.session.harness.tables["accepted"]) == ["ground_rise/GP1", "ground_rise/GP9"]
    settled(qtbot, pickup)
    qtbot.waitUntil(lambda: "accepted_gone/ground_rise/GP5" not in listed(body), timeout=20_000)
    choose(qtbot, body, "accepted_gone/ground_rise/GP1")
    qtbot.keyClick(body.list, Qt.Key.Key_Return)
    assert body.card.forget.hasFocus()
    push(qtbot, body.card.forget_all)
    assert not pickup.session.harness.tables["accepted"]
    assert pickup.session.history[-1] == "remove 2 acceptances"
    press(pickup, Qt.Key.Key_Z, Qt.KeyboardModifier.ControlModifier)
    assert len(pickup.session.harness.tables["accepted"]) == 2


def test_another_limit_set_and_a_limit_of_its_own(qtbot: QtBot, pickup: Window, body: Body) -> None:
    qtbot.mouseClick(body.views["limits"], Qt.MouseButton.LeftButton)
    view = body.limits
    names = [limit.name for limit in view._limits]
    view.table.setCurrentCell(names.index("rise_ground_v"), 0)
    view.value.clear()
    qtbot.keyClicks(view.value, "0,25")
    assert not view.set_it.isEnabled()
    qtbot.keyClicks(view.reason, "a long bed")
    qtbot.mouseClick(view.set_it, Qt.MouseButton.LeftButton)
    own = pickup.session.harness.settings.limits.override["rise_ground_v"]
    assert (own.value, own.reason) == (0.25, "a long bed")
    settled(qtbot, pickup)
    qtbot.waitUntil(lambda: "ground_rise/GP2" not in listed(body), timeout=20_000)
    qtbot.waitUntil(view.drop.isEnabled, timeout=20_000)
    qtbot.mouseClick(view.drop, Qt.MouseButton.LeftButton)
    assert not pickup.session.harness.settings.limits.override
    view.sets.setFocus()
    qtbot.keyClick(view.sets, Qt.Key.Key_Down)
    view.sets.activated.emit(view.sets.currentIndex())
    assert pickup.session.harness.settings.limits.set == "aviation_circular"


def test_the_way_to_find_ampacity_is_the_users_choice_and_is_kept(
    qtbot: QtBot, pickup: Window, body: Body, project: Path
) -> None:
    body.turn("limits")
    at = body.limits.how.findData("iso_6722")
    assert body.limits.how.itemText(at).startswith("handbook: Guide currents of DIN VDE 0298-4")
    body.limits.how.setCurrentIndex(at)
    body.limits.how.activated.emit(at)
    qtbot.waitUntil(lambda: "handbook table iso_6722" in body.said.text(), timeout=20_000)
    assert pickup.session.history[-1] == "ampacity by handbook table iso_6722"
    assert pickup.isWindowModified()
    press(pickup, Qt.Key.Key_S, Qt.KeyboardModifier.ControlModifier)
    assert read_project(project).harness.settings.limits.ampacity == "iso_6722"
    press(pickup, Qt.Key.Key_Z, Qt.KeyboardModifier.ControlModifier)
    qtbot.waitUntil(lambda: body.limits.how.currentIndex() == 0, timeout=20_000)
    qtbot.waitUntil(lambda: "ampacity by heat balance" in body.said.text(), timeout=20_000)


def test_advice_on_a_ground_shows_before_and_after_and_is_one_step(
    qtbot: QtBot, pickup: Window, body: Body
) -> None:
    choose(qtbot, body, "mixed_returns/GP2")
    qtbot.mouseClick(body.views["ground"], Qt.MouseButton.LeftButton)
    view = body.advice["ground"]
    assert view.what.itemText(0) == "GP2 bed left rear corner"
    before = dict(pickup.session.harness.wires)
    qtbot.mouseClick(view.ask, Qt.MouseButton.LeftButton)
    assert view.bar.isVisible()
    qtbot.waitUntil(lambda: view.apply.isEnabled(), timeout=ADVICE_MS)
    assert pickup.session.harness.wires == before
    text = view.text.toPlainText()
    for words in ("clean it: joint GP2 was found 45 mΩ", "Move", "W41 from GP2", "Takes away"):
        assert words in text
    qtbot.mouseClick(view.apply, Qt.MouseButton.LeftButton)
    assert pickup.session.history[-1] == "move 1 return to other studs"
    assert "GP2" not in [e.point for e in pickup.session.harness.wires["W41"].ends]
    assert not view.apply.isEnabled()
    pickup.session.undo()
    assert pickup.session.harness.wires == before


def test_advice_on_sizes_shows_what_changes_and_is_one_step(qtbot: QtBot, pickup: Window, body: Body) -> None:
    choose(qtbot, body, "feed_drop/E5")
    qtbot.mouseClick(body.views["size"], Qt.MouseButton.LeftButton)
    view = body.advice["size"]
    assert [view.what.itemText(n) for n in range(2)] == ["circuit Stop lamps", "all wires"]
    assert "nothing is changed until you apply it" in view.said.text()
    qtbot.mouseClick(view.ask, Qt.MouseButton.LeftButton)
    qtbot.waitUntil(lambda: view.apply.isEnabled(), timeout=ADVICE_MS)
    assert "make it" in view.text.toPlainText()
    qtbot.mouseClick(view.apply, Qt.MouseButton.LeftButton)
    assert pickup.session.history[-1].startswith("size ")
    assert view.said.text() == APPLIED
    settled(qtbot, pickup)
    qtbot.waitUntil(lambda: "feed_drop/E5" not in listed(body), timeout=20_000)


def test_what_no_wire_can_be_sized_for_is_one_line() -> None:
    lacking = [(w, "its insulation is not said") for w in ("W10", "W9", "W1")]
    assert _grouped([*lacking, ("W2", "no mode has a solution")]) == [
        "W1, W9, W10: their insulation is not said; write it in the list of wires",
        "W2: no mode has a solution",
    ]


def test_advice_can_be_stopped(qtbot: QtBot, pickup: Window, body: Body) -> None:
    body.turn("ground")
    view = body.advice["ground"]
    qtbot.mouseClick(view.ask, Qt.MouseButton.LeftButton)
    qtbot.mouseClick(view.stop, Qt.MouseButton.LeftButton)
    assert not view.bar.isVisible()
    assert view.ask.isEnabled()
    assert not view.apply.isEnabled()


def test_an_edit_makes_advice_out_of_date(qtbot: QtBot, pickup: Window, body: Body) -> None:
    choose(qtbot, body, "mixed_returns/GP2")
    body.turn("ground")
    view = body.advice["ground"]
    qtbot.mouseClick(view.ask, Qt.MouseButton.LeftButton)
    qtbot.waitUntil(lambda: view.apply.isEnabled(), timeout=ADVICE_MS)
    choose_edit: Callable[[], object] = pickup.arrange
    choose_edit()
    assert not view.apply.isEnabled()
    assert "changed since" in view.said.text()


def test_the_cautions_stand_on_the_page_and_everything_has_a_name(body: Body) -> None:
    labels = [
        w for w in body.findChildren(QWidget) if "licensed practice come first" in str(w.property("text"))
    ]
    assert labels
    for view in body.views:
        body.turn(view)
        for widget in body.findChildren(QWidget):
            if widget.focusPolicy() & Qt.FocusPolicy.TabFocus and widget.isVisible():
                named = widget.accessibleName() or str(widget.property("text") or "")
                assert named or widget.parentWidget().accessibleName(), widget


def test_a_check_on_its_way_blocks_nothing_and_can_be_stopped_and_taken_up_again(
    qtbot: QtBot, pickup: Window, body: Body, monkeypatch: pytest.MonkeyPatch
) -> None:
    def for_ever(*given: object) -> None:
        said, stopped = given[-2], given[-1]
        assert callable(said)
        assert callable(stopped)
        said("solving mode 2 of 3", 0.4)
        while not stopped():
            time.sleep(0.01)

    with monkeypatch.context() as patched:
        patched.setattr(checking, "checked", for_ever)
        pickup.session.apply(change(pickup.session.harness, "wires", "W40", length_mm=810.0))
        qtbot.waitUntil(lambda: body.said.text() == "solving mode 2 of 3 …", timeout=20_000)
        assert body.bar.isVisible()
        qtbot.waitUntil(lambda: body.bar.value() == 40, timeout=20_000)
        assert listed(body)  # what was known stays
        assert pickup.foot.findings.text().startswith("checking …")
        choose(qtbot, body, "fuse_missing/W4")
        assert pickup.session.selection == {"W4"}
        qtbot.mouseClick(body.stop, Qt.MouseButton.LeftButton)
        assert not body.bar.isVisible()
        assert body.said.text().startswith("stopped; of an earlier state")
    assert body.stop.text() == "Check again"
    qtbot.mouseClick(body.stop, Qt.MouseButton.LeftButton)
    qtbot.waitUntil(lambda: body.said.text().startswith("1 stop"), timeout=20_000)
    assert not body.stop.isVisible()
