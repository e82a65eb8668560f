"""The build board in the window: one layout with the print, zoomed and dragged, and what is pressed is chosen."""

import math

import pytest
from PySide6.QtCore import QPoint, QPointF, Qt
from PySide6.QtGui import QImage
from PySide6.QtWidgets import QPushButton
from pytestqt.qtbot import QtBot

from harness_studio.desktop.build_board.laying import marked, wires_in
from harness_studio.desktop.build_board.page import BuildBoardPage
from harness_studio.desktop.window import Window
from harness_studio.placing.build_board.plan import plan
from tests.support.pointing import wheel


@pytest.fixture
def page(qtbot: QtBot, window: Window, copied) -> BuildBoardPage:
    assert window.files.open(copied("track_buggy"))
    qtbot.waitUntil(lambda: window.session.solution is not None, timeout=10_000)
    window.activateWindow()
    window.diagram.setFocus()
    qtbot.keyClick(window, Qt.Key.Key_U, Qt.KeyboardModifier.ControlModifier)
    found = window.findChild(BuildBoardPage)
    assert found.isVisible()
    settled(qtbot, found)
    return found


def settled(qtbot: QtBot, page: BuildBoardPage) -> None:
    view = page.view
    qtbot.waitUntil(lambda: bool(view.flags.puts) and view.flags.scale == view.scale, timeout=10_000)


def click(qtbot: QtBot, page: BuildBoardPage, pixel: QPointF) -> None:
    qtbot.mouseClick(page.view, Qt.MouseButton.LeftButton, pos=pixel.toPoint())


def stretch(page: BuildBoardPage, name: str):
    return next(s for s in page.view.bundle.plan.stretches if s.id == name)


def test_it_lies_as_it_is_printed_and_runs_are_true(window: Window, page: BuildBoardPage) -> None:
    harness = window.session.harness
    assert page.view.bundle.plan == plan(harness)
    by = 5.2 / page.view.scale  # pixels to the millimetre of the bundle
    for run in harness.runs.values():
        piece = stretch(page, run.id)
        a, b = page.view.on_screen(piece.start), page.view.on_screen(piece.end)
        assert math.dist(a.toTuple(), b.toTuple()) / by == pytest.approx(run.length_mm, abs=0.1)
        assert page.view.rect().contains(a.toPoint())
        assert page.view.rect().contains(b.toPoint())


def test_a_run_that_is_pressed_selects_its_wires(qtbot: QtBot, window: Window, page: BuildBoardPage) -> None:
    piece = stretch(page, "floor_front")
    click(qtbot, page, page.view.on_screen(piece.along(piece.length_mm * 0.37)))
    wires = {w.id for w in window.session.harness.wires.values() if "floor_front" in w.runs}
    assert wires
    assert window.session.selection == wires
    assert page.isVisible()
    assert "1150 mm" in page.said.text()
    assert page.view.marked == frozenset({("run", "floor_front")})


def test_an_end_that_is_pressed_is_selected_and_shown(
    qtbot: QtBot, window: Window, page: BuildBoardPage
) -> None:
    connector = next(k for k in page.view.flags.puts if k[0] == "connector")
    box = dict(page.view._boxes())[connector]
    click(qtbot, page, box.center())
    assert window.session.selection == {connector[1]}
    assert connector in page.view.marked


def test_what_is_selected_on_the_diagram_is_marked_here(window: Window, page: BuildBoardPage) -> None:
    wire = next(w for w in window.session.harness.wires.values() if len(w.runs) > 1)
    window.session.select({wire.id})
    assert {k[1] for k in page.view.marked if k[0] == "run"} == set(wire.runs)


def test_the_wheel_zooms_about_the_pointer_and_flags_find_new_places(
    qtbot: QtBot, page: BuildBoardPage
) -> None:
    at, before = QPointF(150, 120), page.view.scale
    place = page.view.place_at(at)
    wheel(page.view, at, 4)
    assert page.view.scale == pytest.approx(before / 1.25**4)
    again = page.view.place_at(at)
    assert (again.x_mm, again.y_mm) == pytest.approx((place.x_mm, place.y_mm), abs=1e-6)
    missed = page.view.flags.missed
    settled(qtbot, page)
    assert page.view.flags.missed <= missed


def test_dragging_moves_it_and_chooses_nothing(qtbot: QtBot, window: Window, page: BuildBoardPage) -> None:
    piece = stretch(page, "floor_front")
    start = page.view.on_screen(piece.along(400.0)).toPoint()
    qtbot.mousePress(page.view, Qt.MouseButton.LeftButton, pos=start)
    qtbot.mouseMove(page.view, start + QPoint(30, 12))
    qtbot.mouseRelease(page.view, Qt.MouseButton.LeftButton, pos=start + QPoint(30, 12))
    assert page.view.on_screen(piece.along(400.0)).toPoint() == start + QPoint(30, 12)
    assert not window.session.selection


def test_everything_by_keys(qtbot: QtBot, window: Window, page: BuildBoardPage) -> None:
    view = page.view
    assert view.hasFocus()
    whole = view.scale
    qtbot.keyClick(view, Qt.Key.Key_Plus)
    assert view.scale < whole
    qtbot.keyClick(view, Qt.Key.Key_Right)
    qtbot.keyClick(view, Qt.Key.Key_0)
    assert view.scale == pytest.approx(whole)
    seen = set()
    for _ in range(len(view.bundle.tags)):
        qtbot.keyClick(view, Qt.Key.Key_PageDown)
        seen.add(view.current)
        assert view.current[1].split(" ")[0] in page.said.text() or view.current[0] == "run"
    assert seen == set(view.bundle.tags)
    assert window.session.selection


def test_the_buttons_zoom_and_show_all(qtbot: QtBot, page: BuildBoardPage) -> None:
    buttons = {b.text(): b for b in page.findChildren(QPushButton)}
    whole = page.view.scale
    qtbot.mouseClick(buttons["Nearer"], Qt.MouseButton.LeftButton)
    assert page.view.scale == pytest.approx(whole / 1.25)
    qtbot.mouseClick(buttons["All of it"], Qt.MouseButton.LeftButton)
    assert page.view.scale == pytest.approx(whole)


def test_no_flag_lies_on_another(qtbot: QtBot, page: BuildBoardPage) -> None:
    page.view.zoom(4.0)
    settled(qtbot, page)
    boxes = [box for _, box in page.view._boxes()]
    assert len(boxes) > 30
    assert not any(a.intersects(b) for i, a in enumerate(boxes) for b in boxes[i + 1 :])


@pytest.mark.parametrize("appearance", ["light", "dark"])
def test_it_is_drawn_in_both_appearances(window: Window, page: BuildBoardPage, appearance: str) -> None:
    window.set_appearance(appearance)
    image: QImage = page.view.grab().toImage()
    paper = window.theme.colour("paper")
    other = sum(
        abs(image.pixelColor(x, y).lightness() - paper.lightness()) > 60
        for x in range(0, image.width(), 2)
        for y in range(0, image.height(), 2)
    )
    assert image.pixelColor(8, 8).name() == paper.name()
    assert other > 200


def test_undo_of_a_length_lays_it_out_anew(qtbot: QtBot, window: Window, page: BuildBoardPage) -> None:
    from dataclasses import replace

    from harness_studio.model.edits import Put

    run = window.session.harness.runs["floor_front"]
    window.session.apply(Put("runs", replace(run, length_mm=2000.0)))
    qtbot.waitUntil(lambda: stretch(page, "floor_front").length_mm == 2000.0)
    qtbot.keyClick(window, Qt.Key.Key_Z, Qt.KeyboardModifier.ControlModifier)
    qtbot.waitUntil(lambda: stretch(page, "floor_front").length_mm == 1150.0)


def test_without_runs_the_command_is_off_and_the_page_says_why(qtbot: QtBot, window: Window, copied) -> None:
    window.files.new()
    assert not window.commands.by_id["build_board"].able()
    window.drawer.show()
    window.drawer.open("build_board")
    page = window.findChild(BuildBoardPage)
    qtbot.waitUntil(lambda: "No run is recorded" in page.said.text())


def test_of_a_run_that_was_pressed_only_the_run_is_marked(window: Window, page: BuildBoardPage) -> None:
    harness, bundle = window.session.harness, page.view.bundle
    assert bundle is not None
    wires = {w.id for w in harness.wires.values() if "floor_front" in w.runs}
    runs = {("run", run) for key in wires for run in harness.wires[key].runs}
    assert len(runs) > 1  # its wires go on
    assert wires_in(harness, "floor_front") == wires
    assert marked(bundle, harness, wires, "floor_front") == {("run", "floor_front")}
    assert {key for key in marked(bundle, harness, wires) if key[0] == "run"} == runs
    assert marked(bundle, harness, ()) == frozenset()
