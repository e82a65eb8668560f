"""Pressing positions beside the mode."""

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QFont

from harness_studio.desktop.strip_groups import groups, pressed
from harness_studio.desktop.window import Window
from harness_studio.drawing.fonts import REGULAR
from harness_studio.network.network import Overrides


def test_groups_are_modes_engine_switches_loads_senders(pickup):
    found = {(g.kind, g.id): g for g in groups(pickup.session.harness, "braking", None)}
    assert list(found) == [
        ("mode", ""), ("engine", ""), ("switch", "S1"), ("load", "M2"), ("sender", "B1"),
    ]  # fmt: skip
    assert found["engine", ""].present == "running"
    assert found["switch", "S1"].present == "pressed"
    assert not any(g.set for g in found.values())


def test_a_pressed_position_solves_again_and_the_way_back_undoes_it(qtbot, pickup):
    strip, session = pickup.strip, pickup.session
    qtbot.waitUntil(lambda: bool(session.computed.readings))
    lit = session.computed.readings["E5/stop light"].value
    assert not strip._back.isVisible()
    qtbot.mouseClick(strip.button("switch", "S1", "released"), Qt.MouseButton.LeftButton)
    qtbot.waitUntil(lambda: session.computed.readings["E5/stop light"].value == pytest.approx(0.0, abs=0.01))
    assert strip.button("switch", "S1", "released").isChecked()
    assert strip._back.isVisible()
    qtbot.mouseClick(strip._back, Qt.MouseButton.LeftButton)
    qtbot.waitUntil(lambda: session.computed.readings["E5/stop light"].value == lit)
    assert session.overrides is None
    assert strip.button("switch", "S1", "pressed").isChecked()


def test_the_engine_and_a_load_by_keyboard(qtbot, pickup):
    strip, session = pickup.strip, pickup.session
    button = strip.button("engine", "", "off")
    button.setFocus()
    qtbot.keyClick(button, Qt.Key.Key_Space)
    qtbot.waitUntil(lambda: session.overrides == Overrides(engine="off"))
    button = strip.button("load", "M2", "stall")
    button.setFocus()
    qtbot.keyClick(button, Qt.Key.Key_Space)
    qtbot.waitUntil(lambda: session.solution is not None and not session.computed.stale)
    assert session.overrides == Overrides(engine="off", loads=(("M2", "stall"),))
    assert session.computed.readings["M2 speed"].value == 0.0


def test_pressing_the_modes_own_position_leaves_nothing_set(pickup):
    harness = pickup.session.harness
    group = next(g for g in groups(harness, "braking", None) if g.kind == "switch")
    some = pressed(None, group, "released", False)
    assert some == Overrides().with_position("S1", "released")
    assert pressed(some, group, "pressed", True) is None


def test_a_harness_without_modes_says_so(qtbot, window):
    from PySide6.QtWidgets import QLabel

    from harness_studio.model.harness import Harness

    window.strip.show_modes(Harness(), None)
    assert any("no modes yet" in label.text() for label in window.strip.findChildren(QLabel))


@pytest.mark.parametrize("width", [1440, 1280])
def test_every_position_of_a_large_harness_is_reached_by_two_presses(qtbot, window, copied, width):
    """At the usual widths nothing hides behind a scroll bar that lies: a fold, then the position."""
    window.resize(width, 800 if width == 1280 else 900)
    window.files.open(copied("estuary_pickup"))
    qtbot.waitUntil(lambda: window.session.solution is not None, timeout=20_000)
    strip = window.strip

    def whole(buttons):
        return all(b.visibleRegion().boundingRect().size() == b.size() for b in buttons)

    qtbot.waitUntil(lambda: whole(strip.buttons.values()))
    for kind in ("engine", "switch", "load", "sender"):
        qtbot.mouseClick(strip.folds[kind], Qt.MouseButton.LeftButton)
        found = [b for (k, _, _), b in strip._buttons.items() if k == kind]
        assert found
        qtbot.waitUntil(lambda found=found: whole(found))
        qtbot.mouseClick(strip.folds[kind], Qt.MouseButton.LeftButton)
        assert not any(b.isVisible() for b in found)
    assert window.diagram.height() > 400
    qtbot.waitUntil(lambda: not window.diagram.busy, timeout=20_000)


def test_folds_count_what_is_pressed_and_are_reached_by_keys(qtbot, window, copied):
    window.files.open(copied("estuary_pickup"))
    qtbot.waitUntil(lambda: window.session.solution is not None, timeout=20_000)
    fold = window.strip.folds["switch"]
    assert fold.text() == "Switches 19"
    fold.setFocus()
    qtbot.keyClick(fold, Qt.Key.Key_Space)
    button = window.strip.button("switch", "S2", "head")
    assert button.isVisible()
    button.setFocus()
    qtbot.keyClick(button, Qt.Key.Key_Space)
    assert fold.text() == "Switches 19, 1 pressed"
    qtbot.waitUntil(lambda: not window.session.computed.stale, timeout=20_000)
    qtbot.waitUntil(lambda: not window.diagram.busy, timeout=20_000)


def test_a_small_harness_needs_no_folds(pickup):
    assert not any(fold.isVisible() for fold in pickup.strip.folds.values())
    assert all(button.isVisible() for button in pickup.strip._buttons.values())
    assert pickup.strip.height() < 135


def test_pressed_positions_are_kept_as_a_mode_by_name(qtbot, pickup):
    strip, session = pickup.strip, pickup.session
    assert not strip.keep.isVisible()
    qtbot.mouseClick(strip.button("switch", "S1", "released"), Qt.MouseButton.LeftButton)
    qtbot.mouseClick(strip.keep, Qt.MouseButton.LeftButton)
    finder = pickup.focusWidget().parent()
    qtbot.keyClicks(finder.line, "braking")
    assert finder.rows == [""]  # a name that is taken is not offered, and says why
    qtbot.keyClick(finder.line, Qt.Key.Key_Return)
    assert list(session.harness.modes) == ["braking", "pump_and_lamps", "key_on"]
    finder.line.setText("Cruising")
    qtbot.keyClick(finder.line, Qt.Key.Key_Return)
    assert session.mode == "cruising"
    assert session.overrides is None
    assert strip.button("mode", "", "cruising").isChecked()
    assert strip.button("switch", "S1", "released").isChecked()
    assert session.history[-1] == "keep the positions as mode Cruising"
    qtbot.keyClick(pickup, Qt.Key.Key_Z, Qt.KeyboardModifier.ControlModifier)
    assert session.mode == "braking"


def test_the_present_mode_alone_stays_heavy_when_the_paper_changes(pickup: Window) -> None:
    def heavy() -> list[str]:
        weight = {m: b.font().variableAxisValue(QFont.Tag("wght")) for m, b in pickup.strip.buttons.items()}
        return [mode for mode, axis in weight.items() if axis > REGULAR]

    assert pickup.session.mode is not None
    for paper in ("light", "dark", "light"):
        pickup.set_appearance(paper)
        assert heavy() == [pickup.session.mode]
