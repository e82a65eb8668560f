"""Two harnesses in one window, by keyboard and mouse: brought in, planned, needed cavities, joins."""

from dataclasses import replace
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from pytestqt.qtbot import QtBot

from harness_studio.desktop.donor.page import DonorPage
from harness_studio.desktop.window import Window
from harness_studio.model.edits import Put, Together, change
from harness_studio.model.entities import Half
from harness_studio.model.values import Cavity, End
from harness_studio.session.scheduler import Synchronous
from harness_studio.session.session import Session
from tests.desktop.conftest import Answers
from tests.support.pointing import press

ALT, SHIFT = Qt.KeyboardModifier.AltModifier, Qt.KeyboardModifier.ShiftModifier
CONTROL = Qt.KeyboardModifier.ControlModifier


@pytest.fixture
def page(qtbot: QtBot, pickup: Window, answers: Answers, sample_projects_dir: Path) -> DonorPage:
    answers.open = sample_projects_dir / "track_buggy.yaml"
    press(pickup, Qt.Key.Key_B, ALT | SHIFT)
    found = pickup.drawer.current
    assert isinstance(found, DonorPage)
    return found


def test_a_second_harness_is_brought_in_by_keyboard(
    qtbot: QtBot, pickup: Window, page: DonorPage, project: Path
) -> None:
    wires = len(pickup.session.harness.wires)
    assert pickup.focusWidget() is page.prefix
    qtbot.keyClicks(page.prefix, "B_")
    qtbot.keyClick(page.prefix, Qt.Key.Key_Return)
    assert "B_GB1" in pickup.session.harness.parts
    assert "wires brought in" in page.says.text()
    assert len(pickup.session.history) == 1
    pickup.diagram.setFocus()
    press(pickup, Qt.Key.Key_S, CONTROL)
    again = Session.open(project, Synchronous()).harness
    assert again == pickup.session.harness
    assert len(again.wires) > wires
    press(pickup, Qt.Key.Key_Z, CONTROL)
    assert len(pickup.session.harness.wires) == wires


def test_a_prefix_that_cannot_be_is_said_and_asked_again(
    qtbot: QtBot, pickup: Window, page: DonorPage
) -> None:
    page.prefix.clear()
    qtbot.keyClick(page.prefix, Qt.Key.Key_Return)
    assert "choose another" in pickup.bar.text
    assert page.form.isVisible()
    assert not pickup.session.unsaved


def test_plans_of_the_selection_and_the_joins(qtbot: QtBot, pickup: Window, page: DonorPage) -> None:
    qtbot.keyClick(page.prefix, Qt.Key.Key_Return)
    assert page.joins.topLevelItemCount() == 0
    wire = pickup.session.harness.wires["W12"]
    edit = change(pickup.session.harness, "wires", "W12", ends=(wire.ends[0], End("point", "D-GB1.30")))
    pickup.session.apply(edit)
    pickup.session.select({"W12", "D-W3"})
    qtbot.mouseClick(page.plans["extend"], Qt.MouseButton.LeftButton)
    assert [pickup.session.harness.wires[i].plan for i in ("W12", "D-W3")] == ["extend", "extend"]
    item = page.joins.topLevelItem(0)
    assert [item.text(n) for n in range(4)] == ["W12", "F4.out (this harness)", "D-GB1.30 (donor)", "extend"]
    pickup.diagram.setFocus()
    press(pickup, Qt.Key.Key_4, ALT | SHIFT)
    assert pickup.session.harness.wires["W12"].plan == "remove"
    pickup.session.select({"GP2"})
    assert not pickup.commands.actions["plan_keep"].isEnabled()


def test_cavities_are_said_to_be_needed_by_keys(qtbot: QtBot, pickup: Window) -> None:
    half = Half("X20", part="S1", cavities={"1": Cavity(function="feed"), "2": Cavity(function="lamp")})
    w10 = pickup.session.harness.wires["W10"]
    wire = replace(w10, ends=(w10.ends[0], End("point", "X20.1")))
    pickup.session.apply(Together((Put("halves", half), Put("wires", wire)), "add a connector"))
    press(pickup, Qt.Key.Key_D, ALT | SHIFT)
    page = pickup.drawer.current
    assert isinstance(page, DonorPage)
    assert page.pins.topLevelItemCount() == 2
    page.pins.selectAll()
    page.pins.setFocus()
    qtbot.keyClick(page.pins, Qt.Key.Key_N)
    halves = pickup.session.harness.halves
    assert [halves["X20"].cavities[n].needed for n in "12"] == ["needed", "needed"]
    assert page.open_pins.text().endswith("without a wire that stays: X20.2")
    assert pickup.session.history[-1] == "X20.1, X20.2: needed"
    qtbot.keyClick(page.pins, Qt.Key.Key_U)
    assert [pickup.session.harness.halves["X20"].cavities[n].needed for n in "12"] == ["unused", "unused"]


def test_a_file_that_cannot_be_read_is_said(pickup: Window, answers: Answers, tmp_path: Path) -> None:
    (tmp_path / "x.yaml").write_text("nonsense: 1\n")
    answers.open = tmp_path / "x.yaml"
    press(pickup, Qt.Key.Key_B, ALT | SHIFT)
    assert "not a harness file" in pickup.bar.text
