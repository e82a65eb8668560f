"""A connector's face for paper: its view in words, lock and cavity 1 marked, notes led to their cavities."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from PySide6.QtGui import QTransform

from harness_studio.base.geometry import Box, Point
from harness_studio.drawing import faces
from harness_studio.drawing.fonts import REGULAR, STRONG
from harness_studio.drawing.strokes import Stroke, Strokes, Text, circle, gather, line
from harness_studio.placing.faces import FaceShape

from .lettering import LEADING, LEAST_MM, SMALL_MM, TEXT_MM, shrunk, width_mm, wrapped

VIEW_WORDS = {
    "mating": ("MATING FACE", "looking at the face that plugs together"),
    "wire entry": ("WIRE ENTRY", "looking from where the wires go in"),
}
_BANNER_MM, _FOOT_MM = 12.2, 1.5
_LARGEST = 1.15
"""A face is drawn at most this much larger than on the diagram."""


@dataclass(frozen=True, slots=True)
class FaceArt:
    """A face that is laid out with its upper left corner at the origin, and where its cavities lie."""

    ink: Strokes
    width_mm: float
    height_mm: float
    cells: Mapping[str, Box]


def scaled(strokes: Strokes, by: float) -> Strokes:
    """Return strokes and texts larger or smaller about the origin."""
    how = QTransform.fromScale(by, by)
    return Strokes(
        tuple(Stroke(how.map(s.path), s.line, s.width_mm * by, s.fill) for s in strokes.strokes),
        tuple(
            Text(t.x_mm * by, t.y_mm * by, t.text, t.size_mm * by, t.weight, t.colour, t.align)
            for t in strokes.texts
        ),
    )


def face_art(
    shape: FaceShape,
    filled: Mapping[str, faces.Filling],
    first: str | None,
    room: tuple[float, float],
    remark: str,
) -> FaceArt:
    """Lay out one view of a face in a room of (width, height) mm.

    Parameters
    ----------
    first
        The cavity that counting starts with; it is marked outside the shell.
    remark
        Said in the banner beside the view, such as that the order is not known.
    """
    wide, high = room
    extent = shape.extent.grown(3.2)
    by = min(_LARGEST, wide / extent.width_mm, (high - _BANNER_MM - _FOOT_MM) / extent.height_mm)
    middle = Point(wide / 2 / by, (_BANNER_MM / by) - extent.top_mm)
    art = scaled(faces.face(shape, middle, filled), by)
    small = [t for t in art.texts if t.size_mm < LEAST_MM]
    art = Strokes(art.strokes, tuple(_enlarged(t, shape, by) for t in art.texts))
    cells = {
        name: Box(b.left_mm * by, b.top_mm * by, b.width_mm * by, b.height_mm * by)
        for name, b in faces.cell_boxes(shape, middle).items()
    }
    if small:
        art = Strokes(art.strokes, tuple(t for t in art.texts if _fits(t, cells)))
    height = _BANNER_MM + extent.height_mm * by + _FOOT_MM
    parts: list[Strokes | Stroke | Text] = [_banner(shape, wide, remark), art]
    parts += _first_mark(shape, first, middle, by)
    parts.append(_legend(shape, first, wide, 8.6, numbers=bool(len(art.texts)) or not cells))
    return FaceArt(gather(*parts), wide, height, cells)


def _enlarged(text: Text, shape: FaceShape, by: float) -> Text:
    if text.size_mm >= LEAST_MM:
        return text
    return Text(text.x_mm, text.y_mm, text.text, LEAST_MM, text.weight, text.colour, text.align)


def _fits(text: Text, cells: Mapping[str, Box]) -> bool:
    """Tell whether a number, at the least size, lies within its cavity; if not it is left to the table."""
    cell = cells.get(text.text)
    wide = width_mm(text.text, text.size_mm, text.weight)
    return cell is not None and wide <= cell.width_mm * 1.12 and text.size_mm * 0.75 <= cell.height_mm


def _banner(shape: FaceShape, wide: float, remark: str) -> Strokes:
    name, words = VIEW_WORDS[shape.view]
    said, size = shrunk(f"{words}{'; ' + remark if remark else ''}", SMALL_MM, wide - 2)
    return gather(
        Text(wide / 2, 1.7, name, TEXT_MM * 1.1, STRONG, "ink", "middle"),
        Text(wide / 2, 5.2, said, size, REGULAR, "muted", "middle"),
    )


def _first_mark(shape: FaceShape, first: str | None, middle: Point, by: float) -> list[Stroke]:
    """Return a filled triangle outside the shell that points at the cavity with which counting starts."""
    cell = shape.cell(first) if first is not None else None
    if cell is None:
        return []
    outline = shape.outline
    gaps = {
        "top": cell.at.y_mm - outline.top_mm, "bottom": outline.bottom_mm - cell.at.y_mm,
        "left": cell.at.x_mm - outline.left_mm, "right": outline.right_mm - cell.at.x_mm,
    }  # fmt: skip
    side = min((s for s in ("left", "right", "top", "bottom") if s != shape.lock), key=lambda s: gaps[s])
    x, y, b, h = cell.at.x_mm, cell.at.y_mm, 1.5, 2.4
    if shape.shape == "round":
        # Beside a round shell the triangle lies on the level of the cavity, clear of the circle.
        side = "left" if (cell.at.x_mm < 0 and shape.lock != "left") or shape.lock == "right" else "right"
    tip = {
        "left": (outline.left_mm - 0.5, y), "right": (outline.right_mm + 0.5, y),
        "top": (x, outline.top_mm - 0.5), "bottom": (x, outline.bottom_mm + 0.5),
    }[side]  # fmt: skip
    dx, dy = {"left": (-1, 0), "right": (1, 0), "top": (0, -1), "bottom": (0, 1)}[side]
    corners = [
        tip,
        (tip[0] + dx * h + dy * b, tip[1] + dy * h + dx * b),
        (tip[0] + dx * h - dy * b, tip[1] + dy * h - dx * b),
    ]
    path = line(*(((px + middle.x_mm) * by, (py + middle.y_mm) * by) for px, py in corners), closed=True)
    return [Stroke(path, None, 0, "ink")]


def _legend(shape: FaceShape, first: str | None, wide: float, y: float, *, numbers: bool) -> Strokes:
    lock = f"bar = lock, {shape.lock}" if shape.lock else "lock side not known"
    said = [lock] + ([f"▸ cavity {first}"] if first else [])
    if not numbers:
        said.append("numbers: see the table, in reading order")
    text, size = shrunk(" · ".join(said), SMALL_MM, wide - 2)
    return gather(Text(wide / 2, y, text, size, REGULAR, "muted", "middle"))


def led_notes(
    notes: Sequence[tuple[Box | None, str]], face: FaceArt, x_mm: float, width: float
) -> tuple[Strokes, float]:
    """Return notes below a face with lines that lead to their cavities, and the height they take below it.

    Lines run down in the gap at a cavity's right edge; the rightmost note stands highest, each to the right of its
    line, so that no line crosses a text. A note without a cavity stands last.

    Parameters
    ----------
    notes
        The cavity's box on the face's drawing (None: about the whole connector) and the text.
    x_mm
        Where the face's drawing begins in the width that the notes may use.
    """
    parts: list[Strokes | Stroke | Text] = []
    y = face.height_mm + 1.5
    led = sorted((n for n in notes if n[0] is not None), key=lambda n: -(n[0].right_mm if n[0] else 0.0))
    used: list[float] = []
    for box, said in led:
        assert box is not None
        down = x_mm + box.right_mm + 0.25
        while any(abs(down - other) < 1.0 for other in used):
            down -= 1.1
        used.append(down)
        from_y = box.bottom_mm - box.height_mm * 0.25
        y = _note(parts, said, down + 2.4, y, width, "accent")
        level = y_of_last(parts)
        path = line((down, from_y), (down, level), (down + 1.8, level))
        parts.append(Stroke(path, "accent", 0.25))
        parts.append(Stroke(circle(down, from_y, 0.5), None, 0, "accent"))
    for box, said in notes:
        if box is None:
            y = _note(parts, said, 0.0, y, width, "ink")
    return gather(*parts), y - face.height_mm


def _note(
    parts: list[Strokes | Stroke | Text], said: str, x: float, y: float, width: float, colour: str
) -> float:
    step = TEXT_MM * LEADING
    lines = wrapped(said, TEXT_MM, max(25.0, width - x), REGULAR)
    # The first line is added last: the leader ends at its level.
    for number, one in reversed(list(enumerate(lines))):
        parts.append(Text(x, y + (number + 0.5) * step, one, TEXT_MM, REGULAR, colour))
    return y + len(lines) * step + 0.8


def y_of_last(parts: Sequence[Strokes | Stroke | Text]) -> float:
    """Return the height of the text that was added last."""
    last = parts[-1]
    assert isinstance(last, Text)
    return last.y_mm
