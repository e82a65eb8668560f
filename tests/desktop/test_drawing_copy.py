"""Copy, cut, paste and duplicate with keys, within a harness and into another one."""

from pathlib import Path

from PySide6.QtCore import Qt
from PySide6.QtGui import QGuiApplication
from pytestqt.qtbot import QtBot

from harness_studio.desktop.window import Window
from harness_studio.diagram.gestures.place import Place
from harness_studio.storage.project_file import parse, read_project
from tests.support.drawing_hands import key, put

CONTROL, SHIFT = Qt.KeyboardModifier.ControlModifier, Qt.KeyboardModifier.ShiftModifier
REAR = {"E5", "E6", "SP3"}


def ends(window: Window, wire: str) -> list[str]:
    return [str(e) for e in window.session.harness.wires[wire].ends]


def copy(window: Window, things: set[str]) -> str:
    window.session.select(things)
    key(window, Qt.Key.Key_C, CONTROL)
    return QGuiApplication.clipboard().text()


def test_copy_and_paste_within_a_harness(pickup: Window) -> None:
    text = copy(pickup, REAR)
    piece = parse(text).harness
    assert set(piece.parts) == {"E5", "E6"}
    assert set(piece.wires) == {"W22", "W26", "W27"}
    assert pickup.session.history == ()
    key(pickup, Qt.Key.Key_V, CONTROL)
    assert isinstance(pickup.diagram.gesture, Place)
    put(pickup, 60, 100)
    harness = pickup.session.harness
    assert pickup.session.selection == {"E7", "E8", "SP4", "W42", "W43", "W44"}
    assert ends(pickup, "W42") == ["E7.54", "E8.54"]
    assert ends(pickup, "W43") == ["E7.31", "SP4"]
    assert harness.wires["W44"].runs == ("bed_across",)
    assert harness.parts["E7"].zone == "bed"
    items = harness.pages["rear"].items
    assert items["E8"].x_mm - items["E7"].x_mm == items["E6"].x_mm - items["E5"].x_mm
    assert pickup.session.history == ("paste 6 things",)
    key(pickup, Qt.Key.Key_Z, CONTROL)
    assert "E7" not in harness.parts


def test_into_another_harness(qtbot: QtBot, pickup: Window, tmp_path: Path) -> None:
    copy(pickup, {*REAR, "GP5"})
    assert pickup.files.new()
    key(pickup, Qt.Key.Key_V, CONTROL)
    put(pickup, 30, 30)
    harness = pickup.session.harness
    assert set(harness.parts) == {"E5", "E6"}
    assert harness.zones["bed"].title == "Bed, below"
    assert harness.grounds["GP5"].place == "shell.bed_right"
    assert "bed_right" in harness.bodies["shell"].places_mohm
    assert harness.runs["bed_across"].length_mm == 1500
    pickup.session.save(tmp_path / "other.yaml")
    assert read_project(tmp_path / "other.yaml").harness.tables == harness.tables


def test_cut_leaves_wires_to_what_stays(pickup: Window) -> None:
    pickup.session.select(REAR)
    key(pickup, Qt.Key.Key_X, CONTROL)
    harness = pickup.session.harness
    assert not REAR & harness.taken_ids()
    assert ends(pickup, "W31") == ["unknown", "GP2"]
    assert "W26" not in harness.wires
    assert len(pickup.session.history) == 1
    key(pickup, Qt.Key.Key_V, CONTROL)
    put(pickup, 60, 100)
    assert {"E5", "E6", "SP3", "W26"} <= harness.taken_ids()
    key(pickup, Qt.Key.Key_Z, CONTROL)
    key(pickup, Qt.Key.Key_Z, CONTROL)
    assert ends(pickup, "W31") == ["SP3", "GP2"]


def test_garbage_is_told_in_one_line(pickup: Window) -> None:
    for text in ("hello", "", "harness_studio: 1\ntitle: nothing\n", "a: [", "\x00"):
        QGuiApplication.clipboard().setText(text)
        pickup.bar.hide()
        key(pickup, Qt.Key.Key_V, CONTROL)
        assert pickup.bar.text.startswith("The clipboard holds")
        assert len(pickup.bar.text.splitlines()) == 1
        assert pickup.diagram.gesture is None
    assert pickup.session.history == ()


def test_duplicate_ends_on_the_same_splices_and_grounds(pickup: Window) -> None:
    pickup.session.select({"M2"})
    key(pickup, Qt.Key.Key_E, CONTROL)
    put(pickup, 60, 100)
    assert ends(pickup, "W42") == ["M3.31", "GP2"]
    assert "W43" not in pickup.session.harness.wires  # the feed comes from a cavity, which has its wire


def test_duplicate_for_the_other_side(pickup: Window) -> None:
    pickup.session.select({"E5"})
    key(pickup, Qt.Key.Key_E, CONTROL | SHIFT)
    put(pickup, 60, 100)
    part = pickup.session.harness.parts["E7"]
    assert part.title == "rear lamp right"
    assert part.at is None
    at, before = (pickup.session.harness.pages["rear"].items[k] for k in ("E7", "E5"))
    assert (at.turn, at.mirror) == ((-before.turn) % 360, True)
    assert ends(pickup, "W42") == ["E7.31", "SP3"]
    assert pickup.session.history == ("duplicate 2 things for the other side",)


def test_nothing_selected(pickup: Window) -> None:
    QGuiApplication.clipboard().setText("before")
    pickup.session.select(())
    key(pickup, Qt.Key.Key_C, CONTROL)
    assert QGuiApplication.clipboard().text() == "before"
