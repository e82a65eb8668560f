"""Plots: their numbers are those of the commands; pointed at by mouse and keys; copied, printed, light and dark."""

import io
import json
import math
import time
from itertools import combinations

import pypdf
import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtGui import QGuiApplication
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QWidget

from harness_studio.app.main import main
from harness_studio.desktop.plots.kinds import KINDS
from harness_studio.desktop.plots.plot import numbers
from harness_studio.desktop.plots.record import Record
from harness_studio.drawing.theme import dark
from harness_studio.network.network import Overrides
from tests.support.pointing import click, press


def run(capsys, *words):
    capsys.readouterr()
    assert main([*map(str, words), "--json"]) == 0
    return json.loads(capsys.readouterr().out)


@pytest.fixture
def page(pickup):
    press(pickup, Qt.Key.Key_P)
    return next(p for p in pickup.drawer._rooms if p.title == "Plots")


def shown(pickup, page, kind, *select):
    if select:
        pickup.session.select(set(select))
    pickup.commands.actions[f"plot_{kind}"].trigger()
    assert page.isVisible()
    assert page.kind.id == kind
    end = time.monotonic() + 20
    while (page._making or page._loading) and time.monotonic() < end:
        QTest.qWait(5)
    return page.plot


def test_the_staircase_is_what_the_command_prints(pickup, page, project, capsys):
    plot = shown(pickup, page, "stairs", "M2")
    steps = run(capsys, "meter", project, "--through", "M2")["steps"]
    assert [row[0] for row in plot.rows] == [s["step"] for s in steps]
    for row, step in zip(plot.rows, steps, strict=True):
        assert row[3:] == pytest.approx(
            (step["from_v"], step["to_v"], step["lost_v"] * 1e3, step["clean_lost_v"] * 1e3, step["amperes"]), abs=1e-6
        )  # fmt: skip
    treads = [s for panel in plot.panels for s in panel.spots]
    assert len(treads) == len(steps) - 1  # every step but the load itself can be pointed at
    for tread, step in zip(treads, [s for s in steps if s["side"] != "load"], strict=True):
        assert tread.said.startswith(step["step"])


def test_a_chosen_ground_leads_the_staircase_through_it(pickup, page, project, capsys):
    pickup.session.choose("GP2")
    plot = shown(pickup, page, "stairs", "M2")
    steps = run(capsys, "meter", project, "--through", "M2", "--via", "GP2")["steps"]
    assert [row[0] for row in plot.rows] == [s["step"] for s in steps]
    assert "by GP2" in plot.about


def test_a_pressed_step_selects_its_thing(qtbot, pickup, page):
    shown(pickup, page, "stairs", "M2")
    number = next(i for i, s in enumerate(page.chart.spots) if s.thing == "X7")
    page.chart.lay_out()
    at = page.chart.place_of(number).toPoint()
    qtbot.mouseClick(page.chart.view.viewport(), Qt.MouseButton.LeftButton, pos=at)
    assert pickup.session.selection == {page.chart.spots[page.chart._at].thing}
    assert page.isVisible()
    assert page.plot.about.startswith("M2")  # it stays about the load


def test_the_arrow_keys_walk_and_enter_leads(qtbot, pickup, page):
    shown(pickup, page, "stairs", "M2")
    page.chart.setFocus()
    qtbot.keyClick(page.chart, Qt.Key.Key_Right)
    first = page.chart.said.text()
    qtbot.keyClick(page.chart, Qt.Key.Key_Right)
    assert page.chart.said.text() not in ("", first)
    qtbot.keyClick(page.chart, Qt.Key.Key_End)
    assert page.chart.said.text() == page.chart.spots[-1].said == page.chart.accessibleDescription()
    qtbot.keyClick(page.chart, Qt.Key.Key_Return)
    assert pickup.session.selection == {page.chart.spots[-1].thing}


def test_hovering_tells_the_numbers(qtbot, pickup, page):
    shown(pickup, page, "loading")
    page.chart.lay_out()
    number = next(i for i, s in enumerate(page.chart.spots) if s.thing == "F4")
    at = page.chart.place_of(number).toPoint()
    qtbot.mouseMove(page.chart.view.viewport(), QPoint(2, 2))
    qtbot.wait(60)  # moves that follow at once are dropped
    qtbot.mouseMove(page.chart.view.viewport(), at)
    qtbot.waitUntil(lambda: page.chart.said.text() != "")
    assert page.chart.said.text() == page.chart.spots[page.chart._at].said


def test_loads_of_grounds_and_fuses_are_those_of_solve(pickup, page, project, capsys):
    plot = shown(pickup, page, "loading")
    joints = run(capsys, "solve", project)["joints"]
    assert {row[0] for row in plot.rows} >= {"GP1", "GP2", "GP5", "F1", "F4"}
    for row in plot.rows:
        assert row[2] == pytest.approx(abs(joints[row[0]]["amperes"]))
    words = {spot.thing: spot.said for panel in plot.panels for spot in panel.spots}
    assert "6.5 A of 15 A" in words["F4"]


def test_the_coupling_is_that_of_solve_in_the_same_order(pickup, page, project, capsys):
    plot = shown(pickup, page, "coupling")
    found = run(capsys, "solve", project, "--coupling")["coupling"]
    assert plot.head[1:] == tuple(found["points"])
    for row, line in zip(plot.rows, found["mv_per_a"], strict=True):
        assert row[1:] == pytest.approx(line, rel=1e-6, abs=1e-9)
    assert [list(line) for line in plot.field.values] == [list(row[1:]) for row in plot.rows]


def test_readings_against_resistance_come_beside_the_window(qtbot, pickup, page, project, capsys):
    pickup.session.choose("GP2")
    shown(pickup, page, "against")
    assert page.stop.isVisible()
    qtbot.waitUntil(lambda: page.plot is not None, timeout=20_000)
    assert not page.stop.isVisible()
    column = page.plot.head.index("M2 volts (V)")
    worst = run(capsys, "sweep", project, "--joint", "GP2", "--added", "open")["rows"]
    told = {c["reading"]: c["bad"] for row in worst for c in row["changes"]}
    assert page.plot.rows[-1][0] == "open"
    assert page.plot.rows[-1][column] == pytest.approx(told["M2 volts"], abs=1e-6)


def test_what_is_solved_beside_the_window_can_be_stopped(qtbot, pickup, page):
    pickup.session.choose("GP2")
    shown(pickup, page, "against")
    qtbot.mouseClick(page.stop, Qt.MouseButton.LeftButton)
    assert page.about.text() == "Stopped."
    qtbot.wait(300)
    assert page.plot is None


def test_before_and_after_holds_clean_against_now(pickup, page, project, capsys):
    plot = shown(pickup, page, "before")
    read = {
        key: row
        for part in run(capsys, "solve", project)["parts"].values()
        for key, row in part.get("readings", {}).items()
    }
    assert plot.rows
    for row in plot.rows:
        assert row[1] == pytest.approx(read[row[0]]["clean"])
        assert row[2] == pytest.approx(read[row[0]]["value"])


def test_a_fuse_and_its_wires(pickup, page):
    plot = shown(pickup, page, "fuse", "F4")
    assert "clears at the latest" in [line.name for line in plot.panels[0].lines]
    assert any("withstands" in line.name for line in plot.panels[0].lines)
    assert plot.source


def test_without_a_subject_it_says_what_to_do(pickup, page):
    for kind in KINDS:
        if kind.hint:
            shown(pickup, page, kind.id)
            assert page.about.text() == kind.hint
            assert not page.buttons["pdf"].isEnabled()


def test_numbers_go_to_the_clipboard_with_tabs(qtbot, pickup, page):
    shown(pickup, page, "loading")
    qtbot.mouseClick(page.buttons["numbers"], Qt.MouseButton.LeftButton)
    lines = QGuiApplication.clipboard().text().splitlines()
    assert lines[0].split("\t") == list(page.plot.head)
    assert len(lines) == len(page.plot.rows) + 1
    assert QGuiApplication.clipboard().text() == numbers(page.plot)


def test_the_picture_goes_to_the_clipboard(qtbot, pickup, page):
    shown(pickup, page, "loading")
    qtbot.mouseClick(page.buttons["picture"], Qt.MouseButton.LeftButton)
    image = QGuiApplication.clipboard().image()
    assert image.width() == 2 * page.chart.view.width()
    colours = {
        image.pixelColor(x, y).name() for x in range(0, image.width(), 7) for y in range(0, image.height(), 7)
    }
    assert page.chart.theme.colour("accent").name() in colours


def test_the_plot_is_printed(qtbot, pickup, page, answers, tmp_path):
    shown(pickup, page, "stairs", "M2")
    answers.save = tmp_path / "plot.pdf"
    qtbot.mouseClick(page.buttons["pdf"], Qt.MouseButton.LeftButton)
    document = pypdf.PdfReader(io.BytesIO(answers.save.read_bytes()))
    (sheet,) = document.pages
    assert (float(sheet.mediabox.width), float(sheet.mediabox.height)) == pytest.approx(
        (841.9, 595.3), abs=1.0
    )
    text = " ".join(sheet.extract_text().split())
    for words in ("Voltage staircase", "M2 fuel pump", "Feed side", "Return side", "Planning aid", "battery"):
        assert words in text


def test_larger_opens_a_window_that_follows(qtbot, pickup, page):
    shown(pickup, page, "loading")
    qtbot.mouseClick(page.buttons["larger"], Qt.MouseButton.LeftButton)
    (own,) = [
        w for w in pickup.findChildren(QWidget) if w.isWindow() and w.windowTitle().startswith("Load of")
    ]
    shown(pickup, page, "stairs", "M2")
    assert page._others[0].plot is page.plot
    own.close()
    qtbot.waitUntil(lambda: not page._others)


def test_dark_paper_is_followed(pickup, page):
    shown(pickup, page, "stairs", "M2")
    pickup.set_appearance("dark")
    assert page.chart.theme.dark
    assert page.chart.view.backgroundBrush().color().name() == dark().colour("card").name()


def test_the_plot_follows_what_is_selected_and_the_mode(qtbot, pickup, page):
    shown(pickup, page, "stairs", "M2")
    click(pickup, "E6")
    assert page.isVisible()
    qtbot.waitUntil(lambda: page.plot.about.startswith("E6"))
    before = page.plot
    qtbot.mouseClick(pickup.strip.buttons["key_on"], Qt.MouseButton.LeftButton)
    qtbot.waitUntil(lambda: not pickup.session.computed.stale and not page._making)
    assert page.plot is not before


def test_the_plot_follows_the_dial(qtbot, pickup, page):
    pickup.session.choose("GP2")
    shown(pickup, page, "stairs", "M2")
    before = page.plot
    pickup.session.set_overrides(Overrides().with_joint("GP2", 0.3), at_once=True)
    qtbot.waitUntil(lambda: not pickup.session.computed.stale and not page._making)
    assert page.plot is not before
    rows = {row[0]: row for row in page.plot.rows}
    assert rows["GP2"][5] == pytest.approx(abs(pickup.session.solution.joint("GP2").drop_v) * 1e3)


def test_no_two_lines_are_told_apart_by_colour_alone(pickup, page):
    for kind, subject in (("fuse", "F4"), ("stairs", "M2")):
        plot = shown(pickup, page, kind, subject)
        for panel in plot.panels:
            looks = [(line.dash, line.mark, line.width) for line in panel.lines]
            assert len(set(looks)) == len(looks)


def test_the_record_in_the_ground_map_follows_the_dial(qtbot, pickup, project, capsys):
    click(pickup, "GP2")
    record = pickup.drawer.ground_map.findChild(Record)
    qtbot.waitUntil(lambda: record.isVisible(), timeout=20_000)
    assert record.reading == "M2 volts"
    dots = dict(record.curve.dots)
    assert len(dots) == 18
    rows = run(capsys, "sweep", project, "--joint", "GP2", "--added", "open")["rows"]
    told = {c["reading"]: c["bad"] for row in rows for c in row["changes"]}
    assert dots[math.inf] == pytest.approx(told["M2 volts"], abs=1e-6)
    kept = record.found
    pickup.session.set_overrides(Overrides().with_joint("GP2", 0.2), at_once=True)
    qtbot.waitUntil(lambda: not pickup.session.computed.stale)
    assert record.found is kept  # the curve is that of the joint, only the ring moves
    assert record.curve._here == pytest.approx(0.2)
    assert record.curve._now == pickup.session.computed.readings["M2 volts"].value
    qtbot.mouseClick(record.all, Qt.MouseButton.LeftButton)
    page = next(p for p in pickup.drawer._rooms if p.title == "Plots")
    assert page.isVisible()
    assert page.kind.id == "against"


def test_a_plot_that_was_overtaken_is_not_shown(qtbot, pickup, page):
    pickup.session.select({"M2"})
    for kind in ("stairs", "coupling", "stairs", "loading"):
        pickup.commands.actions[f"plot_{kind}"].trigger()
    assert page.plot.title == "Load of grounds and fuses"
    qtbot.waitUntil(lambda: not page._making)
    qtbot.wait(100)
    assert page.plot.title == "Load of grounds and fuses"


@pytest.mark.parametrize("ohm", [0.02, 0.4, 3.0])
def test_words_on_a_staircase_are_not_cut_off_and_stand_on_no_other(qtbot, pickup, page, ohm):
    before = pickup.session.solution
    pickup.session.set_overrides(Overrides().with_joint("GP2/W40", ohm), at_once=True)
    qtbot.waitUntil(lambda: pickup.session.solution is not before)
    shown(pickup, page, "stairs", "M2")
    page.chart.view.grab()
    for item in [i for i in page.chart.view.ci.items if hasattr(i, "notes")]:
        within = item.getViewBox().sceneBoundingRect().adjusted(-1, -1, 1, 1)
        stand = [w for w, _, _ in item.notes.shown if w.isVisible()]
        boxes = [w.mapRectToScene(w.boundingRect()) for w in stand]
        assert stand
        assert stand[0] is item.notes.shown[0][0]  # the worst step always has its words
        assert all(within.contains(b) for b in boxes)
        assert not any(a.intersects(b.adjusted(1, 1, -1, -1)) for a, b in combinations(boxes, 2))
