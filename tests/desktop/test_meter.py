"""The meter: tips by mouse and by keyboard, and the same volts as `solve` of the harness as it is and clean."""

import json

import pytest
from PySide6.QtCore import Qt

from harness_studio.app.main import main
from harness_studio.base.units import show_mohm
from harness_studio.casebook.summary import Suspect
from harness_studio.desktop.drawer import METER
from harness_studio.desktop.meter_page import MINUS, PLUS
from harness_studio.diagram.tips import place_of_point
from harness_studio.diagram.words import millivolts, volts
from harness_studio.electrics.solve import solve
from harness_studio.network.expand import expand
from harness_studio.network.network import Overrides
from harness_studio.session.study import Answer
from tests.support.pointing import on_wire, pixel, press


@pytest.fixture
def meter(pickup):
    press(pickup, Qt.Key.Key_M)
    assert pickup.drawer.tabs.currentIndex() == METER
    return pickup


def touch(qtbot, window, point):
    place = place_of_point(window.diagram.scene, point)
    qtbot.mouseClick(window.diagram, Qt.MouseButton.LeftButton, pos=pixel(window.diagram, place))


def test_two_clicks_put_the_tips_and_read(qtbot, meter):
    page = meter.drawer.meter
    ring = meter.diagram.scene.symbols["GP2"].outlines["GP2/W31"].centre
    qtbot.mouseClick(meter.diagram, Qt.MouseButton.LeftButton, pos=pixel(meter.diagram, ring))
    assert page.fields[PLUS].text() == "W31@GP2"
    touch(qtbot, meter, "GP1")
    assert page.fields[MINUS].text() in ("W2@GP1", "GP1")
    now = solve(expand(meter.session.harness, "braking"))
    clean = solve(expand(meter.session.harness, "braking", clean=True))
    minus = page.fields[MINUS].text()
    assert page.value.text() == f"{volts(now.volt('W31@GP2') - now.volt(minus))} now"
    expected = clean.volt("W31@GP2") - clean.volt(minus)
    assert page.about.text().startswith(f"{millivolts(expected * 1e3)} in a clean harness")
    assert "flow between the tips" in page.about.text()
    assert dict(meter.diagram.state.tips) == {PLUS: "W31@GP2", MINUS: minus}
    assert meter.session.chosen is None  # a click of the meter chooses nothing


def test_tips_by_keyboard(qtbot, meter):
    page = meter.drawer.meter
    assert page.fields[PLUS].hasFocus()
    qtbot.keyClicks(page.fields[PLUS], "GB1.30")
    press(meter, Qt.Key.Key_Tab)
    qtbot.keyClicks(page.fields[MINUS], "GB1.31")
    qtbot.keyClick(page.fields[MINUS], Qt.Key.Key_Return)
    solution = meter.session.solution
    assert page.value.text() == f"{volts(solution.volt('GB1.30') - solution.volt('GB1.31'))} now"
    assert "its voltage, not a drop" in page.about.text()
    qtbot.mouseClick(page.swap, Qt.MouseButton.LeftButton)
    assert page.value.text().startswith("−")


def test_a_wire_gives_amperes(qtbot, meter):
    qtbot.mouseClick(meter.diagram, Qt.MouseButton.LeftButton, pos=on_wire(meter.diagram, "W24"))
    assert meter.drawer.meter.wire.text().startswith("W24: 6.5 A, ")


def test_no_current_says_that_nothing_says_nothing(qtbot, meter):
    page = meter.drawer.meter
    ends = [end.point for end in meter.session.harness.wires["W11"].ends]
    for sign, point in zip((PLUS, MINUS), ends, strict=True):
        page.fields[sign].setText(point)
        page.fields[sign].editingFinished.emit()
    assert "flow between the tips" in page.about.text()
    qtbot.mouseClick(meter.strip.button("switch", "S1", "released"), Qt.MouseButton.LeftButton)
    qtbot.waitUntil(lambda: not meter.session.computed.stale)
    assert "No current flows between the tips" in page.about.text()


def test_a_wrong_point_is_told_and_the_nearest_named(qtbot, meter):
    page = meter.drawer.meter
    page.fields[MINUS].setText("GB1.31")
    page.fields[PLUS].setText("GP22")
    page.fields[PLUS].editingFinished.emit()
    assert page.value.text() == ""
    assert "GP22" in page.about.text()
    assert "nearest" in page.about.text()


def test_another_page_takes_the_tips_away_and_clicks_choose_again(qtbot, meter):
    touch(qtbot, meter, "GP2")
    assert meter.diagram.state.tips
    meter.drawer.tabs.setCurrentIndex(0)
    assert meter.diagram.state.tips == ()
    touch(qtbot, meter, "GP2")
    assert meter.session.chosen == "GP2"


def test_finding_the_place_of_the_second_tip_does_not_end_the_measuring(qtbot, meter):
    touch(qtbot, meter, "GP2")
    press(meter, Qt.Key.Key_F, Qt.KeyboardModifier.ControlModifier)
    qtbot.keyClicks(meter.search.line, "GB1")
    qtbot.keyClick(meter.search.line, Qt.Key.Key_Return)
    assert meter.drawer.tabs.currentIndex() == METER
    assert dict(meter.diagram.state.tips).keys() == {PLUS}


def test_where_no_tip_goes_is_told(qtbot, meter):
    middle = meter.diagram.scene.place_of("M2").centre
    qtbot.mouseClick(meter.diagram, Qt.MouseButton.LeftButton, pos=pixel(meter.diagram, middle))
    assert meter.drawer.meter.wire.text().startswith("No tip goes there")
    assert meter.session.selection == frozenset()


def test_the_tips_follow_the_mode(qtbot, meter):
    page = meter.drawer.meter
    for sign, point in ((PLUS, "GP2"), (MINUS, "GB1.31")):
        page.fields[sign].setText(point)
        page.fields[sign].editingFinished.emit()
    before = page.value.text()
    qtbot.mouseClick(meter.strip.buttons["key_on"], Qt.MouseButton.LeftButton)
    qtbot.waitUntil(lambda: not meter.session.computed.stale)
    assert page.value.text() != before


def put(page, plus, minus):
    for sign, point in ((PLUS, plus), (MINUS, minus)):
        page.fields[sign].setText(point)
        page.fields[sign].editingFinished.emit()


def test_ohms_with_the_power_off_are_those_of_the_command(meter, project, capsys):
    page = meter.drawer.meter
    put(page, "GP2", "GB1.31")
    capsys.readouterr()
    assert main(["meter", str(project), "--plus", "GP2", "--minus", "GB1.31", "--json"]) == 0
    ohm = json.loads(capsys.readouterr().out)["power_off_ohm"]
    assert f"Power off: {show_mohm(ohm)} of metal. An ohmmeter shows 0.0" in page.about.text()
    put(page, "GB1.30", "GB1.31")
    assert "no metal joins the tips" in page.about.text()


def test_millivolts_across_a_fuse(qtbot, meter, project, capsys):
    page = meter.drawer.meter
    assert not page.across.isVisible()
    put(page, "F4.in", "F4.out")
    assert page.across.isVisible()
    qtbot.keyClicks(page.across.field, "6")
    capsys.readouterr()
    assert main(["meter", str(project), "--plus", "F4.in", "--minus", "F4.out", "--mv", "6", "--json"]) == 0
    said = json.loads(capsys.readouterr().out)["across_fuse"]
    assert said["fuse"] == "F4"
    assert page.across.value.text() == f"= {said['amperes']:.2f} A"
    page.across.field.clear()
    qtbot.keyClicks(page.across.field, "x")
    assert page.across.value.text() == "write a number"
    put(page, "GP2", "GB1.31")
    assert not page.across.isVisible()


def test_the_leading_suspect_gives_a_third_value(qtbot, meter):
    page, session = meter.drawer.meter, meter.session
    put(page, "GP2", "GB1.31")
    assert "leading suspect" not in page.about.text()
    bad = Suspect((("GP2", "series"),), "GP2", 0.8, 0.155, (0.1, 0.2), (), ())
    session.casework.answer = Answer("c", suspects=(bad,))
    page.show_session(session)
    qtbot.waitUntil(lambda: "leading suspect" in page.about.text())
    worse = solve(expand(session.harness, "braking", Overrides().with_joint("GP2", 0.2)))
    expected = worse.volt("GP2") - worse.volt("GB1.31")
    assert page.about.text().startswith(
        f"{volts(expected)} under the leading suspect: GP2 with 155 mΩ more, likely"
    )
