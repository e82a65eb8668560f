"""Painters of what is drawn in a circle: lamps, machines, instruments and gauges."""

from __future__ import annotations

import math

from PySide6.QtGui import QPainterPath

from harness_studio.base.geometry import Box

from .glyph import HEAVY, LINE, THIN, Subject, round_leads
from .strokes import Stroke, Strokes, Text, circle, gather, line, lines, slab


def _disc(subject: Subject, radius: float) -> Stroke:
    return Stroke(circle(subject.cx, subject.cy, radius), "ink", LINE, "card")


def _letter(subject: Subject, letter: str, radius: float) -> Text:
    size = radius * 1.05
    return Text(subject.cx, subject.cy, letter, size, 600, "ink", "middle", size * 1.25, 0)


def _lettered(subject: Subject, letter: str) -> Strokes:
    radius = subject.radius * 0.94
    return gather(round_leads(subject, radius), _disc(subject, radius), _letter(subject, letter, radius))


def motor(subject: Subject) -> Strokes:
    """Draw the letter M in a circle."""
    return _lettered(subject, "M")


def generator(subject: Subject) -> Strokes:
    """Draw the letter G in a circle."""
    return _lettered(subject, "G")


def voltmeter(subject: Subject) -> Strokes:
    """Draw the letter V in a circle."""
    return _lettered(subject, "V")


def ammeter(subject: Subject) -> Strokes:
    """Draw the letter A in a circle."""
    return _lettered(subject, "A")


def starter(subject: Subject) -> Strokes:
    """Draw the letter M in a circle, within the outline of the machine with its solenoid's coil above."""
    radius = subject.radius * 0.62
    y = subject.box.bottom_mm - radius * 1.2
    wide = radius * 0.9
    coil = Box(subject.cx - wide / 2, subject.box.top_mm + radius * 0.25, wide, radius * 0.5)
    letter = Text(subject.cx, y, "M", radius * 1.05, 600, "ink", "middle", radius * 1.3, 0)
    return gather(
        Stroke(slab(subject.box, 1.4), "frame", LINE, "card"),
        Stroke(circle(subject.cx, y, radius), "ink", LINE, "card"),
        Stroke(slab(coil), "ink", THIN),
        Stroke(lines((coil.left_mm, coil.bottom_mm, coil.right_mm, coil.top_mm)), "ink", THIN),
        letter,
    )


def lamp(subject: Subject) -> Strokes:
    """Draw a circle with a cross, filled from below by its light."""
    radius = subject.radius * 0.94
    out = radius / math.sqrt(2)
    cross = lines(
        (subject.cx - out, subject.cy - out, subject.cx + out, subject.cy + out),
        (subject.cx - out, subject.cy + out, subject.cx + out, subject.cy - out),
    )
    light: list[Stroke] = []
    if subject.reading.light:
        light = [Stroke(_filled(subject, radius, min(1.0, subject.reading.light)), None, 0, "glow")]
    rim = Stroke(circle(subject.cx, subject.cy, radius), "ink", LINE)
    return gather(
        round_leads(subject, radius),
        Stroke(rim.path, None, 0, "card"),
        light,
        Stroke(cross, "ink", LINE),
        rim,
    )


def _filled(subject: Subject, radius: float, share: float) -> QPainterPath:
    top = subject.cy + radius - 2 * radius * share
    below = slab(Box(subject.cx - radius, top, 2 * radius, subject.cy + radius - top))
    return circle(subject.cx, subject.cy, radius).intersected(below)


def gauge(subject: Subject) -> Strokes:
    """Draw a dial face: grey needle for the clean reading, red for now; without readings one needle at rest."""
    radius = subject.radius * 0.94
    marks = []
    for share in (0.0, 0.25, 0.5, 0.75, 1.0):
        x, y = _on_dial(share)
        inner = 0.76 if share in (0.0, 0.5, 1.0) else 0.83
        marks.append(tuple(subject.cx + x * radius * f if not n else subject.cy + y * radius * f
                           for f in (inner, 0.9) for n in (0, 1)))  # fmt: skip
    needles: list[Stroke] = []
    clean, now = subject.reading.clean_needle, subject.reading.needle
    if clean is not None:
        needles.append(_needle(subject, radius * 0.68, clean, "muted", LINE))
    if now is not None:
        differs = clean is not None and abs(now - clean) > 0.02
        needles.append(_needle(subject, radius * 0.72, now, "stop" if differs else "ink", HEAVY))
    if not needles:
        needles.append(_needle(subject, radius * 0.68, 0.0, "muted", LINE))
    return gather(
        round_leads(subject, radius),
        _disc(subject, radius),
        Stroke(lines(*marks), "ink", THIN),  # type: ignore[arg-type]
        needles,
        Stroke(circle(subject.cx, subject.cy, radius * 0.09), None, 0, "ink"),
    )


def _on_dial(share: float) -> tuple[float, float]:
    angle = math.radians(210 - 240 * share)
    return math.cos(angle), -math.sin(angle)


def _needle(subject: Subject, length: float, share: float, colour: str, width: float) -> Stroke:
    x, y = _on_dial(max(-0.06, min(1.06, share)))
    return Stroke(
        line((subject.cx, subject.cy), (subject.cx + x * length, subject.cy + y * length)), colour, width
    )


def current_load(subject: Subject) -> Strokes:
    """Draw a circle with a bar across the line: a constant current."""
    radius = subject.radius * 0.8
    flat = not subject.upright
    bar = lines(
        (subject.cx, subject.cy - radius, subject.cx, subject.cy + radius)
        if flat
        else (subject.cx - radius, subject.cy, subject.cx + radius, subject.cy)
    )
    return gather(round_leads(subject, radius), _disc(subject, radius), Stroke(bar, "ink", LINE))
