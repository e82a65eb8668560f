"""Texts beside crowded marks: each on a free place near its own, with a leader where it stands away."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from harness_studio.base.geometry import Box, Point
from harness_studio.drawing.strokes import Stroke, Text, line

from .diagram_art import text_box

_STEP_MM, _STEPS = 3.8, 9
_LED_FROM_MM = 5.5


def spread(texts: Sequence[Text], marks: Sequence[Box], room: Box) -> tuple[list[Text], list[Stroke], int]:
    """Return the texts on free places within a room, their leaders, and how many found none.

    Parameters
    ----------
    texts
        By rank: what comes first has its place first.
    marks
        What no text may cover.
    """
    taken = list(marks)
    kept: list[Text] = []
    leaders: list[Stroke] = []
    lost = 0
    for text in texts:
        for trial in _places(text):
            box = text_box(trial)
            whole = room.contains(Point(box.left_mm, box.top_mm)) and room.contains(
                Point(box.right_mm, box.bottom_mm)
            )
            if whole and not any(box.meets(other) for other in taken):
                break
        else:
            lost += 1
            continue
        taken.append(box)
        kept.append(trial)
        if abs(trial.y_mm - text.y_mm) > _LED_FROM_MM:
            end = box.top_mm if trial.y_mm > text.y_mm else box.bottom_mm
            path = line((text.x_mm, text.y_mm), (max(box.left_mm, min(box.right_mm, text.x_mm)), end))
            leaders.append(Stroke(path, "muted", 0.15))
    return kept, leaders, lost


def _places(text: Text) -> Iterator[Text]:
    """Yield the place wanted, the one at the other side, then places farther and farther up and down."""
    yield text
    other = {"left": "right", "right": "left", "middle": "middle"}[text.align]
    by = {"left": -6.0, "right": 6.0, "middle": 0.0}[text.align]
    yield replace(text, x_mm=text.x_mm + by, align=other)  # type: ignore[arg-type]
    for step in range(1, _STEPS + 1):
        for way in (1, -1):
            for align in ("left", "right", "middle"):
                yield replace(text, y_mm=text.y_mm + way * step * _STEP_MM, align=align)  # type: ignore[arg-type]
