"""Painters of what sits in a line: resistors, coils, diodes, fuses, contacts. Symbols of IEC 60617 where it has one."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtGui import QPainterPath

from harness_studio.base.geometry import Box

from .glyph import HEAVY, LINE, THIN, Subject, square_leads
from .strokes import Stroke, Strokes, arc, gather, line, lines, slab

Drawn = list[Stroke]
_HALF_LENGTH, _HALF_HEIGHT = 0.36, 0.26
"""Half the rectangle of a resistor or fuse, as shares of the outline along and across the line."""


def in_line(
    subject: Subject, draw: Callable[[float, float, Subject], Drawn], length: float, height: float
) -> Strokes:
    """Return a symbol drawn along x about the origin, turned upright if its pins ask for it, with its leads.

    Parameters
    ----------
    draw
        Gets half the length and half the height of the room for the symbol.
    length, height
        That room as shares of the outline along and across the line.
    """
    along, across = subject.box.width_mm, subject.box.height_mm
    if subject.upright:
        along, across = across, along
    half_length, half_height = along * length, across * height
    drawn = Strokes(tuple(draw(half_length, half_height, subject)))
    if subject.upright:
        drawn = drawn.turned(1)
    width, tall = (half_height, half_length) if subject.upright else (half_length, half_height)
    inner = Box(subject.cx - width, subject.cy - tall, 2 * width, 2 * tall)
    return gather(square_leads(subject, inner), drawn.moved(subject.cx, subject.cy))


def _rect(half_length: float, half_height: float) -> Stroke:
    return Stroke(
        slab(Box(-half_length, -half_height, 2 * half_length, 2 * half_height)), "ink", LINE, "card"
    )


def resistor(subject: Subject) -> Strokes:
    """Draw a rectangle."""
    return in_line(subject, lambda a, h, _: [_rect(a, h)], _HALF_LENGTH, _HALF_HEIGHT)


def heater(subject: Subject) -> Strokes:
    """Draw a rectangle divided across: a heating element."""

    def draw(a: float, h: float, _: Subject) -> Drawn:
        bars = lines(*((x * a, -h, x * a, h) for x in (-0.5, 0.0, 0.5)))
        return [_rect(a, h), Stroke(bars, "ink", THIN)]

    return in_line(subject, draw, _HALF_LENGTH, _HALF_HEIGHT)


def sender(subject: Subject) -> Strokes:
    """Draw a rectangle crossed by an arrow: a variable resistor."""

    def draw(a: float, h: float, _: Subject) -> Drawn:
        x, y = a * 0.8, h * 1.9
        head = line((x - h * 0.75, -y + h * 0.2), (x, -y), (x - h * 0.15, -y + h * 0.8))
        return [_rect(a, h), Stroke(line((-x, y), (x, -y)), "ink", THIN), Stroke(head, "ink", THIN)]

    return in_line(subject, draw, _HALF_LENGTH, _HALF_HEIGHT * 0.8)


def ntc(subject: Subject) -> Strokes:
    """Draw a rectangle crossed by a line with a foot: a resistor that depends on something by its nature."""

    def draw(a: float, h: float, _: Subject) -> Drawn:
        x, y = a * 0.75, h * 1.8
        return [_rect(a, h), Stroke(line((-x - h * 0.8, y), (-x, y), (x, -y)), "ink", THIN)]

    return in_line(subject, draw, _HALF_LENGTH, _HALF_HEIGHT * 0.8)


def fuse(subject: Subject) -> Strokes:
    """Draw a rectangle with the conductor through it; a blown one is broken."""

    def draw(a: float, h: float, about: Subject) -> Drawn:
        through = lines((-a, 0, a, 0))
        if getattr(about.ratings, "blown", False):
            through = lines(
                (-a, 0, -a * 0.25, 0), (a * 0.25, 0, a, 0), (-a * 0.2, h * 0.6, a * 0.2, -h * 0.6)
            )
        return [_rect(a, h), Stroke(through, "ink", THIN)]

    return in_line(subject, draw, _HALF_LENGTH, min(_HALF_HEIGHT, 0.24))


def breaker(subject: Subject) -> Strokes:
    """Draw a contact with a cross at its seat and the bent element that opens it."""

    def draw(a: float, h: float, _: Subject) -> Drawn:
        c = h * 0.35
        seat = lines((a * 0.4 - c, -c, a * 0.4 + c, c), (a * 0.4 - c, c, a * 0.4 + c, -c))
        arm = lines((-a, 0, -a * 0.4, 0), (-a * 0.4, 0, a * 0.35, -h * 0.9), (a * 0.4, 0, a, 0))
        return [Stroke(arm, "ink", LINE), Stroke(seat, "ink", THIN)]

    return in_line(subject, draw, 0.5, 0.4)


def link(subject: Subject) -> Strokes:
    """Draw a fuse drawn long and narrow: a short wire meant to melt."""

    def draw(a: float, h: float, _: Subject) -> Drawn:
        return [_rect(a, h), Stroke(lines((-a, 0, a, 0)), "ink", HEAVY)]

    return in_line(subject, draw, 0.46, 0.14)


def diode(subject: Subject) -> Strokes:
    """Draw a triangle and bar, from anode to cathode."""
    return in_line(subject, _diode, 0.24, 0.3)


def led(subject: Subject) -> Strokes:
    """Draw a diode with two arrows that leave it."""

    def draw(a: float, h: float, about: Subject) -> Drawn:
        drawn = _diode(a, h, about)
        for start in (-0.4, 0.5):
            x, y = start * a, -h * 1.05
            tip = (x + h * 0.5, y - h * 0.75)
            head = line((tip[0] - h * 0.42, tip[1] + h * 0.06), tip, (tip[0] - h * 0.02, tip[1] + h * 0.42))
            drawn += [Stroke(line((x, y), tip), "ink", THIN), Stroke(head, "ink", THIN)]
        return drawn

    return in_line(subject, draw, 0.24, 0.26)


def _diode(a: float, h: float, about: Subject) -> Drawn:
    way = _way(about, "A", "K")
    triangle = line((-a * way, -h), (a * way, 0), (-a * way, h), closed=True)
    bar = lines((a * way, -h, a * way, h))
    return [
        Stroke(triangle, "ink", LINE, "card"),
        Stroke(bar, "ink", HEAVY),
        Stroke(lines((-a, 0, a, 0)), "ink", THIN),
    ]


def _way(about: Subject, first: str, second: str) -> int:
    """Return 1 if the first terminal comes before the second along the line (rightwards, or downwards), else -1."""
    a, b = about.pins.get(first), about.pins.get(second)
    if a is None or b is None:
        return 1
    ahead = b.y - a.y if about.upright else b.x - a.x
    return 1 if ahead >= 0 else -1


def coil(subject: Subject) -> Strokes:
    """Draw half circles with a core beside them: the primary of an ignition coil."""

    def draw(a: float, h: float, _: Subject) -> Drawn:
        bumps = QPainterPath()
        radius = a / 4
        for number in range(4):
            bumps.connectPath(arc(-a + radius * (2 * number + 1), 0, radius, 180, -180))
        core = lines(*((-a * 0.9, -radius * up, a * 0.9, -radius * up) for up in (1.6, 2.2)))
        return [Stroke(bumps, "ink", LINE), Stroke(core, "ink", THIN)]

    return in_line(subject, draw, 0.36, 0.1)


def make_contact(half: float, height: float, *, closed: bool = False) -> Drawn:
    """Return a make contact along x: its arm open, or closed on its seat."""
    tip = (half * 0.42, 0.0) if closed else (half * 0.36, -height)
    arm = lines((-half, 0, -half * 0.4, 0), (-half * 0.4, 0, *tip), (half * 0.4, 0, half, 0))
    return [Stroke(arm, "ink", LINE)]


def switch(subject: Subject) -> Strokes:
    """Draw a make contact with two terminals; with more, an outline that the names of the terminals stand in."""
    if len(subject.pins) == 2 and len({pin.side for pin in subject.pins.values()}) == 2:
        return in_line(subject, lambda a, h, _: make_contact(a, h), 0.5, 0.3)
    return switch_box(subject)


def switch_box(subject: Subject) -> Strokes:
    """Draw an outline with a make contact in its middle."""
    width = min(subject.box.width_mm * 0.16, 3.2)
    contact = Strokes(tuple(make_contact(width, width * 0.7))).moved(subject.cx, subject.cy + width * 0.25)
    outline = Stroke(slab(subject.box, 1.2), "frame", LINE, "card")
    return gather(square_leads(subject, subject.box), outline, contact)


def cut_off(subject: Subject) -> Strokes:
    """Draw a make contact with the bar of an isolator at its seat."""

    def draw(a: float, h: float, _: Subject) -> Drawn:
        return [*make_contact(a, h), Stroke(lines((a * 0.4, -h * 0.45, a * 0.4, h * 0.45)), "ink", LINE)]

    if len(subject.pins) != 2:
        return switch_box(subject)
    return in_line(subject, draw, 0.5, 0.3)
