"""Moving a return: by keys, by button and by drop; one undoable step, before and after as `shares --move` says."""

import json

import pytest
from PySide6.QtCore import QPointF, Qt
from PySide6.QtGui import QDragEnterEvent, QDropEvent
from PySide6.QtWidgets import QApplication

from harness_studio.app.main import main
from harness_studio.desktop.moving.room import Moving
from harness_studio.desktop.share_list import carried
from tests.support.pointing import click, middle_of, press


@pytest.fixture
def moving(pickup):
    click(pickup, "GP2")
    return next(child for child in pickup.children() if isinstance(child, Moving))


def settled(qtbot, pickup):
    qtbot.waitUntil(lambda: not pickup.session.computed.stale)


def row_of(page, start):
    model = page.list.model()
    return next(
        model.index(i, 0) for i in range(model.rowCount()) if model.index(i, 0).data().startswith(start)
    )


def test_by_keys(qtbot, pickup, moving, project, capsys):
    page = pickup.drawer.ground_map
    page.list.setFocus()
    page.list.setCurrentIndex(row_of(page, "M2"))
    qtbot.keyClick(page.list, Qt.Key.Key_Return)
    press(pickup, Qt.Key.Key_R, Qt.KeyboardModifier.ControlModifier)
    assert moving.finder.isVisible()
    assert moving.finder.rows[0] == "GP5"  # the same zone stands first
    qtbot.keyClicks(moving.finder.line, "right rear")
    assert moving.finder.rows == ["GP5"]
    steps = len(pickup.session.history)
    qtbot.keyClick(moving.finder.line, Qt.Key.Key_Return)
    assert pickup.session.harness.wires["W40"].ends[1].point == "GP5"
    assert len(pickup.session.history) == steps + 1
    settled(qtbot, pickup)
    assert moving.card.card.isVisible()
    capsys.readouterr()
    assert main(["shares", str(project), "--move", "W40=GP5", "--json"]) == 0
    said = json.loads(capsys.readouterr().out)
    lines = {line.what: (line.before, line.after) for line in moving.card.lines}
    for ground in said["grounds"]:
        if abs(ground["after_a"] - ground["before_a"]) >= 0.05:
            assert lines[ground["ground"]][1].startswith(f"{ground['after_a']:.1f} A")
    pump = next(c for c in said["changes"] if c["reading"] == "M2 volts")
    assert lines["M2 volts"] == (f"{pump['before']:.4g} V", f"{pump['after']:.4g} V")
    qtbot.mouseClick(moving.card.undo_button, Qt.MouseButton.LeftButton)
    assert pickup.session.harness.wires["W40"].ends[1].point == "GP2"
    settled(qtbot, pickup)
    assert not moving.card.card.isVisible()


def test_by_drop_on_the_diagram(qtbot, pickup, moving):
    at = QPointF(middle_of(pickup.diagram, "GP5"))
    copy, left, none = Qt.DropAction.MoveAction, Qt.MouseButton.LeftButton, Qt.KeyboardModifier.NoModifier
    data = carried("M2")
    enter = QDragEnterEvent(at.toPoint(), copy, data, left, none)
    QApplication.sendEvent(pickup.diagram, enter)
    assert enter.isAccepted()
    assert pickup.diagram.state.hovered == "GP5"
    drop = QDropEvent(at, copy, data, left, none)
    QApplication.sendEvent(pickup.diagram, drop)
    assert pickup.session.harness.wires["W40"].ends[1].point == "GP5"
    settled(qtbot, pickup)
    assert moving.card.title.text().startswith("W40 from GP2 to GP5 bed right rear corner")


def test_a_drop_beside_a_ground_changes_nothing(pickup, moving):
    before = pickup.session.harness.snapshot().tables
    at = QPointF(middle_of(pickup.diagram, "M2"))
    drop = QDropEvent(at, Qt.DropAction.MoveAction, carried("M2"), Qt.MouseButton.LeftButton,
                      Qt.KeyboardModifier.NoModifier)  # fmt: skip
    QApplication.sendEvent(pickup.diagram, drop)
    assert pickup.session.harness.tables == before


def test_what_goes_along_is_named(qtbot, pickup, moving):
    pickup.session.select({"E5"})
    moving.ask()
    assert moving._moved.wire == "W31"
    assert {"E5", "E6"} <= set(moving._moved.parts)


def test_a_fuse_has_no_return_to_move(qtbot, pickup, moving):
    click(pickup, "F4")
    assert not moving.card.move_button.isVisible()
    assert not pickup.commands.actions["move_return"].isEnabled()


def test_a_pulled_fuse_is_told(qtbot, pickup, moving, project, capsys):
    click(pickup, "F5")
    qtbot.waitUntil(lambda: bool(pickup.session.forecast.shown))
    text = pickup.drawer.ground_map.if_it_were.pulled.text()
    capsys.readouterr()
    assert main(["shares", str(project), "F5", "--json"]) == 0
    dead = json.loads(capsys.readouterr().out)["if_open"]["dead"]
    assert set(dead) == {"E5", "E6"}
    assert text.startswith("Pulled: goes dead: ")
    assert all(part in text for part in dead)


def test_a_splice_is_told_of_as_it_comes_apart(qtbot, pickup, moving):
    click(pickup, "SP3")
    qtbot.waitUntil(lambda: bool(pickup.session.forecast.shown))
    text = pickup.drawer.ground_map.if_it_were.pulled.text()
    assert text.startswith("Open: goes dead: ")
    assert "E5" in text
    assert "E6" in text
