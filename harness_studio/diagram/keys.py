"""What keys do on the diagram: cancel, choose, pan, nudge, and walk from symbol to symbol."""

from __future__ import annotations

from collections.abc import Callable
from typing import Protocol

from PySide6.QtCore import Qt

from harness_studio.base.errors import EditError

from .dial import Dial
from .gestures.gesture import Gesture, Hand
from .gestures.move import GRID_MM
from .joints import joint_of_thing
from .moving import move_edit
from .neighbours import next_symbol

PAN_PX = 60.0
ARROWS = {
    Qt.Key.Key_Left: (-1, 0), Qt.Key.Key_Right: (1, 0), Qt.Key.Key_Up: (0, -1), Qt.Key.Key_Down: (0, 1),
}  # fmt: skip


_DIGITS = (
    Qt.Key.Key_1, Qt.Key.Key_2, Qt.Key.Key_3, Qt.Key.Key_4, Qt.Key.Key_5, Qt.Key.Key_6, Qt.Key.Key_7,
    Qt.Key.Key_8, Qt.Key.Key_9,
)  # fmt: skip


class Walker(Hand, Protocol):
    """What keys need of the diagram beyond what a gesture does."""

    dial: Dial
    repeat: Callable[[int], object] | None

    @property
    def gesture(self) -> Gesture | None:
        """What the hand is doing."""
        ...

    def show_thing(self, thing: str) -> bool:
        """Bring a thing into view."""
        ...


def press(diagram: Walker, key: Qt.Key, modifiers: Qt.KeyboardModifier) -> bool:
    """Do what a key stands for; return whether it stands for anything."""
    of_gesture = getattr(diagram.gesture, "key", None)
    if of_gesture is not None and of_gesture(key, modifiers):
        return True
    if key == Qt.Key.Key_Escape:
        _escape(diagram)
    elif (
        key in _DIGITS and diagram.repeat is not None and not modifiers & ~Qt.KeyboardModifier.KeypadModifier
    ):
        diagram.repeat(_DIGITS.index(key))
    elif key in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
        choose_selected(diagram)
    elif key in ARROWS:
        _arrow(diagram, ARROWS[key], modifiers)
    else:
        return False
    return True


def _escape(diagram: Walker) -> None:
    """Let go of one thing: what the hand does, else what is dialled, else the chosen joint, else the selection."""
    if diagram.gesture is not None:
        diagram.begin(None)
    elif diagram.dial.dialled:
        diagram.dial.put_back()
    elif diagram.session.chosen is not None:
        diagram.session.choose(None)
    else:
        diagram.session.select(())


def choose_selected(diagram: Hand) -> None:
    """Choose the joint that is selected."""
    for thing in sorted(diagram.session.selection):
        joint = joint_of_thing(diagram.session.harness, thing)
        if joint is not None:
            diagram.session.choose(joint)
            return
    diagram.complain(
        "Select a ground, splice, fuse, bus bar or wire first; then its ground map can be shown."
    )


def to_dial(diagram: Walker) -> bool:
    """Give the keys to the dial of the chosen joint, or of the one that is selected; return whether there is one."""
    if diagram.session.chosen is None:
        choose_selected(diagram)
    if diagram.dial.isVisible():
        diagram.dial.setFocus(Qt.FocusReason.ShortcutFocusReason)
    return diagram.session.chosen is None or diagram.dial.isVisible()


def _arrow(diagram: Walker, way: tuple[int, int], modifiers: Qt.KeyboardModifier) -> None:
    scene, session = diagram.scene, diagram.session
    selected = [key for key in map(scene.symbol_of, sorted(session.selection)) if key is not None]
    if modifiers & Qt.KeyboardModifier.AltModifier:
        found = next_symbol(scene, selected[0] if selected else None, way)
        if found is not None:
            session.select({found})
            diagram.show_thing(found)
    elif selected:
        step = GRID_MM * (5 if modifiers & Qt.KeyboardModifier.ShiftModifier else 1)
        ids = tuple(dict.fromkeys(selected))
        try:
            session.apply(move_edit(session.harness, scene.page, ids, way[0] * step, way[1] * step))
        except EditError as error:
            diagram.complain(str(error))
    else:
        diagram.look(diagram.camera.panned(-PAN_PX * way[0], -PAN_PX * way[1]))
