"""Overlays tell the numbers of `solve`, by more than colour, in menu and command list."""

import numpy as np
import pytest
from PySide6.QtCore import Qt

from harness_studio.diagram.overlays import CIVIDIS, STEPS, overlay_of
from harness_studio.electrics.solve import solve
from harness_studio.network.expand import expand
from tests.support.pointing import on_wire, press


@pytest.fixture
def solved(pickup):
    return solve(expand(pickup.session.harness, "braking"))


def by_wire(window, kind, solution):
    scene = window.diagram.scene
    found = overlay_of(kind, scene, solution)
    return found, {w: i for i, w in enumerate(scene.wires.ids)}


def test_the_map_is_cividis():
    """Against the map as pyqtgraph ships it (Nunez, Anderton, Renslow, PLoS ONE 2018)."""
    import pyqtgraph

    table = pyqtgraph.colormap.get("cividis").getLookupTable(nPts=STEPS)
    assert np.abs(table[:, :3].astype(int) - np.array(CIVIDIS)).max() <= 1


def test_steps_differ_in_lightness_for_every_eye():
    """Relative luminance by W3C, WCAG 2.1, grows with every step, so the scale holds without any colour vision."""
    linear = np.array(CIVIDIS) / 255
    linear = np.where(linear <= 0.03928, linear / 12.92, ((linear + 0.055) / 1.055) ** 2.4)
    assert (np.diff(linear @ np.array([0.2126, 0.7152, 0.0722])) > 0.01).all()


def test_currents_are_those_of_solve(pickup, solved):
    found, at = by_wire(pickup, "current", solved)
    for wire, result in solved.wires():
        assert found.values[at[wire]] == pytest.approx(result.amperes)
    assert found.words[at["W24"]] == "6.5 A"
    most = max(solved.wires(), key=lambda item: abs(item[1].amperes))[0]
    assert found.widths_px[at[most]] == found.widths_px.max()
    assert found.widths_px[at["W41"]] < found.widths_px[at["W24"]]


def test_rise_and_drop_are_those_of_solve(pickup, solved):
    found, at = by_wire(pickup, "lost", solved)
    assert found.values[at["W40"]] == pytest.approx(solved.volt("M2.31"))
    assert found.words[at["W40"]].startswith("rise ")
    source = max(v for _, v in solved.points() if v is not None)
    ends = [solved.volt(end.point) for end in pickup.session.harness.wires["W24"].ends]
    assert found.values[at["W24"]] == pytest.approx(source - min(ends))
    assert found.words[at["W24"]].startswith("drop ")
    assert found.steps[at["W40"]] > found.steps[at["W2"]]


def test_temperatures_are_those_of_solve_against_the_wires_own_limit(pickup, solved):
    found, at = by_wire(pickup, "warmth", solved)
    warm = solved.wire_temperatures_c()
    assert found.words[at["W40"]] == f"{warm['W40']:.0f} of 85 °C"
    assert found.words[at["W31"]] == f"{warm['W31']:.0f} of 125 °C"


def test_a_wire_over_its_limit_says_so_in_words(pickup, solved):
    from dataclasses import replace

    hot = replace(solved, wire_c=solved.wire_c + 80.0)
    found, at = by_wire(pickup, "warmth", hot)
    assert found.words[at["W40"]].endswith("OVER")
    assert found.steps[at["W40"]] == STEPS - 1


@pytest.mark.parametrize(
    ("key", "kind"), [(Qt.Key.Key_1, "current"), (Qt.Key.Key_2, "lost"), (Qt.Key.Key_3, "warmth")]
)
@pytest.mark.parametrize("appearance", ["light", "dark"])
def test_keys_switch_overlays_and_the_picture_changes_and_comes_back(pickup, key, kind, appearance):
    pickup.set_appearance(appearance)
    plain = pickup.diagram.grab().toImage()
    press(pickup, key, Qt.KeyboardModifier.AltModifier)
    assert pickup.diagram.overlay == kind
    assert pickup.commands.actions[f"overlay_{kind}"].isChecked()
    assert pickup.diagram.grab().toImage() != plain
    press(pickup, Qt.Key.Key_0, Qt.KeyboardModifier.AltModifier)
    assert pickup.diagram.overlay is None
    assert pickup.diagram.grab().toImage() == plain


def test_the_wash_beside_a_wire_has_its_step_and_the_wire_keeps_its_colour(qtbot, pickup, solved):
    pickup.commands.actions["overlay_lost"].trigger()
    found, at = by_wire(pickup, "lost", solved)
    image = pickup.diagram.grab().toImage()
    spot = on_wire(pickup.diagram, "W2")
    row = [image.pixelColor(spot.x() + dx, spot.y() + 40).getRgb()[:3] for dx in range(-12, 13)]
    assert CIVIDIS[found.steps[at["W2"]]] in row
    assert pickup.theme.colour("BK").getRgb()[:3] in row


def test_the_overlay_follows_the_mode(qtbot, pickup):
    pickup.commands.actions["overlay_current"].trigger()
    before = pickup.diagram.state.overlay
    qtbot.mouseClick(pickup.strip.buttons["key_on"], Qt.MouseButton.LeftButton)
    qtbot.waitUntil(lambda: not pickup.session.computed.stale)
    assert pickup.diagram.state.overlay is not before
    assert not np.array_equal(pickup.diagram.state.overlay.values, before.values, equal_nan=True)


def test_overlays_stand_in_the_command_list(pickup):
    rows = pickup._commands_found("rise and drop")
    assert [row.key if hasattr(row, "key") else row.id for row in rows] == ["overlay_lost"]
