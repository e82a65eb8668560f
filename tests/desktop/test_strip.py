"""Pressing positions beside the mode."""

import pytest
from PySide6.QtCore import Qt

from harness_studio.desktop.strip_groups import groups, pressed
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
