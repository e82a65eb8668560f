"""Painters of what is drawn in a rectangle: batteries, relays, units, boxes and devices."""

from __future__ import annotations

from harness_studio.base.geometry import Box

from .glyph import HEAVY, LINE, THIN, Subject, shrunk, square_leads
from .inline_parts import make_contact
from .strokes import Stroke, Strokes, Text, gather, line, lines, slab


def outline(subject: Subject, radius: float = 1.4) -> Stroke:
    """Return the card that a part is drawn on."""
    return Stroke(slab(subject.box, radius), "frame", LINE, "card")


def plain(subject: Subject) -> Strokes:
    """Draw a rectangle, of which only the terminals are known."""
    return gather(square_leads(subject, subject.box), outline(subject))


def battery(subject: Subject) -> Strokes:
    """Draw cells, long and thin for positive, short and thick for negative, in the outline of the case."""
    box = subject.box
    inner = shrunk(box, 0.56, 0.5)
    cells = 3
    step = inner.width_mm / (cells * 2 - 1)
    long_bars: list[tuple[float, float, float, float]] = []
    short_bars: list[tuple[float, float, float, float]] = []
    half = min(inner.height_mm / 2, box.height_mm * 0.3)
    plus = subject.pins.get("30")
    right_first = plus is not None and plus.x > subject.cx
    for number in range(cells * 2):
        x = inner.left_mm + number * step
        positive = (number % 2 == 0) != right_first
        reach = half if positive else half * 0.5
        (long_bars if positive else short_bars).append((x, subject.cy - reach, x, subject.cy + reach))
    return gather(
        square_leads(subject, box),
        outline(subject, 2.0),
        Stroke(lines(*long_bars), "ink", LINE),
        Stroke(lines(*short_bars), "ink", HEAVY * 1.5),
    )


def relay(subject: Subject) -> Strokes:
    """Draw the coil, a rectangle with its slant, beside the contact that it works."""
    box = subject.box
    unit = min(box.width_mm, box.height_mm)
    coil = Box(
        box.left_mm + box.width_mm * 0.3 - unit * 0.13, subject.cy - unit * 0.09, unit * 0.26, unit * 0.18
    )
    contact = Strokes(tuple(make_contact(unit * 0.2, unit * 0.14))).moved(
        box.left_mm + box.width_mm * 0.68, subject.cy + unit * 0.05
    )
    slant = lines((coil.left_mm + unit * 0.06, coil.bottom_mm, coil.right_mm - unit * 0.06, coil.top_mm))
    start, step = coil.right_mm, (box.left_mm + box.width_mm * 0.68 - coil.right_mm) / 5
    dashes = [(start + step * k, subject.cy, start + step * (k + 0.55), subject.cy) for k in range(5)]
    return gather(
        square_leads(subject, box),
        outline(subject),
        Stroke(slab(coil), "ink", THIN),
        Stroke(slant, "ink", THIN),
        Stroke(lines(*dashes), "muted", THIN * 0.8),
        contact,
    )


def flasher(subject: Subject) -> Strokes:
    """Draw a square pulse in the outline."""
    unit = min(subject.box.width_mm, subject.box.height_mm) * 0.22
    x, y = subject.cx - unit * 1.5, subject.cy + unit / 2
    corners = ((0, 0), (0.6, 0), (0.6, 1), (1.5, 1), (1.5, 0), (2.4, 0), (2.4, 1), (3, 1))
    pulse = line(*((x + unit * along, y - unit * up) for along, up in corners))
    return gather(square_leads(subject, subject.box), outline(subject), Stroke(pulse, "ink", THIN))


def converter(subject: Subject) -> Strokes:
    """Draw a rectangle with a slant: constant power from what is fed in."""
    inner = shrunk(subject.box, 0.36, 0.4)
    slant = lines((inner.left_mm, inner.bottom_mm, inner.right_mm, inner.top_mm))
    return gather(square_leads(subject, subject.box), outline(subject), Stroke(slant, "ink", THIN))


def stabiliser(subject: Subject) -> Strokes:
    """Draw a rectangle with a level line: the same volts whatever comes in."""
    inner = shrunk(subject.box, 0.34, 0.3)
    level = line((inner.left_mm, inner.bottom_mm), (inner.left_mm + inner.width_mm * 0.35, inner.top_mm),
                 (inner.right_mm, inner.top_mm))  # fmt: skip
    return gather(square_leads(subject, subject.box), outline(subject), Stroke(level, "ink", THIN))


def control_unit(subject: Subject) -> Strokes:
    """Draw a rectangle with a second line within: a unit whose inside is its own."""
    box = subject.box
    inner = Box(box.left_mm + 1, box.top_mm + 1, max(0.1, box.width_mm - 2), max(0.1, box.height_mm - 2))
    return gather(square_leads(subject, box), outline(subject), Stroke(slab(inner, 0.8), "hairline", THIN))


def bus_bar(subject: Subject) -> Strokes:
    """Draw a broad bar of metal."""
    upright = subject.box.height_mm > subject.box.width_mm
    bar = shrunk(subject.box, 0.5, 1.0) if upright else shrunk(subject.box, 1.0, 0.5)
    return gather(square_leads(subject, bar), Stroke(slab(bar, 0.6), "metal_edge", LINE, "metal"))


def empty_box(subject: Subject) -> Strokes:
    """Draw the case of a box that holds other parts; they are drawn on it by their own painters."""
    return gather(Stroke(slab(subject.box, 2.0), "frame", LINE, "card"))


def unknown(subject: Subject) -> Strokes:
    """Draw a rectangle with a question mark, for a kind that has no painter yet."""
    size = min(subject.box.width_mm, subject.box.height_mm) * 0.5
    mark = Text(subject.cx, subject.cy, "?", size, 600, "muted", "middle", size, 0)
    return gather(plain(subject), mark)
