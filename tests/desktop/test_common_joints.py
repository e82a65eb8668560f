"""Common joints: loads chosen by mouse and keys, and the same numbers as `shares --common`."""

import json
from dataclasses import replace

import pytest
from PySide6.QtCore import Qt

from harness_studio.app.main import main
from harness_studio.desktop.share_rows import NOTICED, SHARE
from harness_studio.diagram.words import per_cent
from harness_studio.model.edits import put
from harness_studio.network.network import Overrides
from tests.support.pointing import click, press


@pytest.fixture
def page(pickup):
    press(pickup, Qt.Key.Key_J)
    found = pickup.drawer.findChild(object, "") and pickup.drawer._rooms
    return next(p for p in found if p.title == "Common joints")


def chosen(window, *loads):
    window.diagram.setFocus()
    click(window, loads[0])
    for load in loads[1:]:
        click(window, load, Qt.KeyboardModifier.ControlModifier)


def said(capsys, project, loads):
    capsys.readouterr()
    assert main(["shares", str(project), "--common", loads, "--json"]) == 0
    return json.loads(capsys.readouterr().out)


def test_clicked_loads_list_what_the_command_lists(pickup, page, project, capsys):
    chosen(pickup, "E5", "M2", "P1")
    assert page.isVisible()  # selecting opens no other page
    assert page.field.text() == "E5, M2, P1" or set(page.field.text().split(", ")) == {"E5", "M2", "P1"}
    document = said(capsys, project, page.field.text().replace(" ", ""))
    shown = [(j.joint, j.side, j.least) for j in page.found.joints]
    assert shown == [(j["joint"], j["side"], pytest.approx(j["least"])) for j in document["common"]]
    assert [j.joint for j in page.found.ruled_out] == [j["joint"] for j in document["ruled_out"]]
    model = page.list.model()
    listed = {model.index(i, 0).data(): model.index(i, 0) for i in range(model.rowCount())}
    stud = next(j for j in document["common"] if j["joint"] == "GP2")
    row = listed["GP2 bed left rear corner"]
    assert row.data(SHARE) == pytest.approx(stud["least"])
    sub = dict(page.listed)["GP2 bed left rear corner"]
    for load, share in stud["shares"].items():
        assert f"{load} {per_cent(share)}" in sub


def test_loads_by_keyboard(qtbot, pickup, page):
    assert page.field.hasFocus()
    qtbot.keyClicks(page.field, "M2, E5")
    qtbot.keyClick(page.field, Qt.Key.Key_Return)
    assert pickup.session.selection == {"M2", "E5"}
    assert any(title.startswith("GP2") for title, _ in page.listed)


def test_what_is_no_load_is_told(qtbot, pickup, page):
    qtbot.keyClicks(page.field, "M2, GP2, X99")
    qtbot.keyClick(page.field, Qt.Key.Key_Return)
    assert page.sentence.text().startswith("GP2, X99: no load of this harness")
    assert page.found is None


def test_loads_by_title(qtbot, pickup, page):
    title = pickup.session.harness.parts["P1"].title
    qtbot.keyClicks(page.field, f"M2, {title.upper()}")
    qtbot.keyClick(page.field, Qt.Key.Key_Return)
    assert pickup.session.selection == {"M2", "P1"}


def test_a_title_that_several_loads_have_is_asked_back(qtbot, pickup, page):
    harness = pickup.session.harness
    pickup.session.apply(
        put("parts", replace(harness.parts["E5"], title=harness.parts["M2"].title), words="alike")
    )
    qtbot.waitUntil(lambda: not pickup.session.computed.stale)
    qtbot.keyClicks(page.field, harness.parts["M2"].title)
    qtbot.keyClick(page.field, Qt.Key.Key_Return)
    assert " may be " in page.sentence.text()
    assert pickup.session.selection == frozenset()


def test_a_pressed_joint_is_chosen_and_the_dial_is_its_own(qtbot, pickup, page):
    chosen(pickup, "E5", "M2")
    row = next(i for i, (title, _) in enumerate(page.listed) if title.startswith("GP2"))
    index = page.list.model().index(row, 0)
    page.list.scrollTo(index)
    qtbot.mouseClick(
        page.list.viewport(), Qt.MouseButton.LeftButton, pos=page.list.visualRect(index).center()
    )
    assert pickup.session.chosen == "GP2"
    assert page.isVisible()
    assert page.field.text()
    press(pickup, Qt.Key.Key_D)
    qtbot.waitUntil(pickup.diagram.dial.hasFocus)
    pickup.session.set_overrides(Overrides().with_joint("GP2", 0.5), at_once=True)
    qtbot.waitUntil(lambda: not pickup.session.computed.stale)
    assert page.list.currentIndex().data().startswith("GP2")  # the row stays marked when the numbers change


def test_the_ruled_out_are_folded(qtbot, pickup, page):
    chosen(pickup, "E5", "M2")
    row = next(i for i, (title, _) in enumerate(page.listed) if title.startswith("Ruled out"))
    assert "X7.1" not in [t for t, _ in page.listed]
    spot = page.list.visualRect(page.list.model().index(row, 0))
    page.list.scrollTo(page.list.model().index(row, 0))
    spot = page.list.visualRect(page.list.model().index(row, 0)).center()
    qtbot.mouseClick(page.list.viewport(), Qt.MouseButton.LeftButton, pos=spot)
    assert any("X7.1" in title + sub for title, sub in page.listed[row + 1 :])


def test_enter_on_a_joint_opens_its_ground_map(qtbot, pickup, page):
    chosen(pickup, "E5", "M2")
    row = next(i for i, (title, _) in enumerate(page.listed) if title.startswith("GP2"))
    page.list.setFocus()
    page.list.setCurrentIndex(page.list.model().index(row, 0))
    qtbot.keyClick(page.list, Qt.Key.Key_Return)
    assert pickup.session.chosen == "GP2"
    assert pickup.drawer.ground_map.isVisible()


def test_the_page_follows_the_mode(qtbot, pickup, page):
    chosen(pickup, "E5", "M2")
    before = page.found
    qtbot.mouseClick(pickup.strip.buttons["key_on"], Qt.MouseButton.LeftButton)
    qtbot.waitUntil(lambda: not pickup.session.computed.stale)
    assert page.found is not before


def test_the_page_follows_the_dial(qtbot, pickup, page):
    chosen(pickup, "E5", "M2")
    before = page.found
    pickup.session.set_overrides(Overrides().with_joint("GP2", 0.5), at_once=True)
    qtbot.waitUntil(lambda: not pickup.session.computed.stale)
    assert page.found is not before
    model = page.list.model()
    loud = [model.index(i, 0).data() for i in range(model.rowCount()) if model.index(i, 0).data(NOTICED)]
    assert "GP2 bed left rear corner" in loud
    assert len(loud) < 4
    stud = {j.joint: j for j in page.found.joints}["GP2"]
    assert stud.least < {j.joint: j for j in before.joints}["GP2"].least  # more goes the other way
