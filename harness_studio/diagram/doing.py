"""Giving the session an edit from the paper: one line says why not."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from harness_studio.base.errors import EditError

if TYPE_CHECKING:
    from harness_studio.model.edits import Edit

    from .gestures.gesture import Hand


def do(hand: Hand, make: Callable[[], Edit | None]) -> bool:
    """Build an edit and apply it; tell the user if it is not allowed. Return whether something was done."""
    try:
        edit = make()
        return edit is not None and bool(hand.session.apply(edit))
    except EditError as error:
        hand.complain(_sentence(str(error)))
        return False


def _sentence(text: str) -> str:
    return text[:1].upper() + text[1:] + ("" if text.endswith(".") else ".")
