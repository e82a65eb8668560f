"""The dial on the chosen joint: each place is a whole solve, the same as of a file with that joint."""

import math

import pytest
from PySide6.QtCore import QPoint, QPointF, Qt

from harness_studio.base.geometry import Point
from harness_studio.diagram.dial import RADIUS, SPAN, START, _centre
from harness_studio.diagram.dial_scale import ohm_at, ohm_words, part_of, typed_ohm
from harness_studio.electrics.readings import readings
from harness_studio.electrics.solve import solve
from harness_studio.network.expand import expand
from harness_studio.storage.project_file import read_project
from tests.support.pointing import click, press, wheel

POSITIONS = 20


def spot(part: float) -> QPoint:
    angle = math.radians(START - SPAN * part)
    return (_centre() + QPointF(RADIUS * math.cos(angle), -RADIUS * math.sin(angle))).toPoint()


def settled(window) -> bool:
    return not window.session.computed.stale and window.diagram.dial._wanted is None


def test_twenty_places_are_what_solve_says_of_a_file_with_that_joint(qtbot, pickup, project, tmp_path):
    """The reference is the text of the project with `mohm` of the joint, read, expanded and solved by itself."""
    click(pickup, "GP2")
    dial, session = pickup.diagram.dial, pickup.session
    qtbot.waitUntil(lambda: settled(pickup))
    assert dial.isVisible()
    text = project.read_text()
    assert text.count("  GP2: {mohm: 45") == 1
    qtbot.mousePress(dial, Qt.MouseButton.LeftButton, pos=spot(0.0))
    needles = []
    for step in range(POSITIONS):
        qtbot.mouseMove(dial, spot(step / (POSITIONS - 1)))
        qtbot.waitUntil(lambda: settled(pickup))
        ohm = dial.ohm
        word = "open" if math.isinf(ohm) else f"{ohm * 1e3!r}"
        other = tmp_path / "other.yaml"
        other.write_text(text.replace("  GP2: {mohm: 45", f"  GP2: {{mohm: {word}"))
        harness = read_project(other).harness
        alone = solve(expand(harness, "braking"))
        expected = readings(harness, alone)
        shown = session.computed.readings
        assert shown.keys() == expected.keys()
        for key, reading in expected.items():
            assert shown[key].value == pytest.approx(reading.value, rel=1e-9, abs=1e-9), (step, key)
        assert session.ground_map().rise_v == pytest.approx(alone.volt("GP2"), rel=1e-9)
        needles.append(pickup.diagram.state.glyphs["P1"][0][1].needle)
        assert needles[-1] == pytest.approx(expected["P1 needle"].value, abs=0.003)
    assert math.isinf(dial.ohm)
    assert len(set(needles)) > 4  # the needle moved
    qtbot.mouseRelease(dial, Qt.MouseButton.LeftButton, pos=spot(1.0))


def test_escape_puts_the_joint_back_and_then_lets_it_go(qtbot, pickup):
    click(pickup, "GP2")
    dial = pickup.diagram.dial
    qtbot.waitUntil(lambda: settled(pickup))
    before = dial.ohm
    assert before == pytest.approx(0.045)
    qtbot.mouseClick(dial, Qt.MouseButton.LeftButton, pos=spot(0.9))
    qtbot.waitUntil(lambda: settled(pickup) and dial.ohm > 1.0)
    assert dial.hasFocus()
    press(pickup, Qt.Key.Key_Escape)
    qtbot.waitUntil(lambda: settled(pickup) and dial.ohm == before)
    assert pickup.session.overrides is None
    assert pickup.session.chosen == "GP2"
    press(pickup, Qt.Key.Key_Escape)
    assert pickup.session.chosen is None
    assert not dial.isVisible()


def test_wheel_arrows_and_typed_values(qtbot, pickup):
    click(pickup, "GP2")
    dial = pickup.diagram.dial
    qtbot.waitUntil(lambda: settled(pickup))
    before = dial.ohm
    wheel(dial, QPointF(_centre()), 2)
    qtbot.waitUntil(lambda: settled(pickup) and dial.ohm > before)
    pickup.commands.actions["dial"].trigger()
    assert dial.hasFocus()
    higher = dial.ohm
    press(pickup, Qt.Key.Key_Down)
    qtbot.waitUntil(lambda: settled(pickup) and dial.ohm < higher)
    for key in (Qt.Key.Key_1, Qt.Key.Key_8, Qt.Key.Key_0, Qt.Key.Key_Return):
        press(pickup, key)
    qtbot.waitUntil(lambda: settled(pickup) and dial.ohm == 0.18)
    assert dial.words[0] == "180 mΩ"
    assert dial.words[1].startswith("loses ")
    press(pickup, Qt.Key.Key_O)
    press(pickup, Qt.Key.Key_Return)
    qtbot.waitUntil(lambda: settled(pickup) and math.isinf(dial.ohm))
    assert dial.words[0] == "open"
    press(pickup, Qt.Key.Key_Home)
    qtbot.waitUntil(lambda: settled(pickup) and dial.ohm == dial.clean_ohm)


def test_another_joint_puts_the_first_one_back(qtbot, pickup):
    click(pickup, "GP2")
    dial = pickup.diagram.dial
    qtbot.waitUntil(lambda: settled(pickup))
    dial.turn(1.0)
    qtbot.waitUntil(lambda: settled(pickup) and dial.ohm == 1.0)
    click(pickup, "GP5")
    qtbot.waitUntil(lambda: settled(pickup))
    assert pickup.session.overrides is None
    assert pickup.session.solution.joint("GP2").ohm == pytest.approx(0.045)


def test_the_dial_covers_neither_its_joint_nor_other_symbols(qtbot, pickup):
    for thing in ("GP1", "GP2", "GP5"):
        click(pickup, thing)
        qtbot.waitUntil(lambda: settled(pickup))
        place = pickup.diagram.dial.geometry()
        assert pickup.diagram.rect().contains(place)
        scene, camera = pickup.diagram.scene, pickup.diagram.camera
        for key, symbol in scene.symbols.items():
            if symbol.kind != "body":
                box = symbol.box
                at = QPointF(*camera.on(Point(box.left_mm, box.top_mm))).toPoint()
                to = QPointF(*camera.on(Point(box.right_mm, box.bottom_mm))).toPoint()
                assert not place.intersects(type(place)(at, to)), (thing, key)


def test_the_scale_goes_both_ways():
    clean = 2e-4
    for part in (0.0, 0.1, 0.5, 0.9, 0.969):
        assert part_of(ohm_at(part, clean), clean) == pytest.approx(part, abs=1e-9)
    assert math.isinf(ohm_at(1.0, clean))
    assert part_of(math.inf, clean) == 1.0
    assert ohm_at(0.0, clean) == clean
    assert part_of(1e9, clean) < 1.0  # large, but not open


def test_values_in_words_and_typed():
    assert ohm_words(0.18) == ("180", "mΩ")
    assert ohm_words(0.00045) == ("0.45", "mΩ")
    assert ohm_words(2.5) == ("2.5", "Ω")
    assert ohm_words(math.inf) == ("open", "")
    assert typed_ohm("180") == 0.18
    assert typed_ohm("0,5") == 5e-4
    assert typed_ohm("x") is None
    assert typed_ohm("-1") is None
    assert math.isinf(typed_ohm("o"))
