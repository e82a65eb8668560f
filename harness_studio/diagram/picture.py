"""One frame of the diagram: what stands back, what is in front, texts that have room, rings around the chosen."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

import numpy as np
from PySide6.QtCore import QRectF, Qt
from PySide6.QtGui import QPainter

from harness_studio.base.geometry import Box
from harness_studio.drawing import texts
from harness_studio.drawing.glyph import Reading
from harness_studio.drawing.pixels import NATURAL_PX_PER_MM, Pixels, fill_rects
from harness_studio.drawing.strokes import Strokes, Text, paint
from harness_studio.drawing.symbols import NOTHING_MORE, Shown, outline_box
from harness_studio.drawing.theme import FADE, Theme
from harness_studio.drawing.wires import LEAST_FINE_ZOOM

from .finding_marks import FindingMarks, paint_findings
from .focus import Focus
from .note_cards import NoteCards, paint_notes
from .overlay_paint import paint_marks, paint_wash, widths_at
from .overlays import Overlay
from .ranks import Ranks, paint_rank_wash, paint_ranks
from .reading_room import fitting
from .scene import BODY, GROUND, OTHER, SPLICE, Scene
from .tips import Tips, paint_tips

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Bools = NDArray[np.bool_]

MOST_DETAILED = 260
"""While not more symbols than this can be seen they are drawn in full; above, and when small, as plain outlines."""
LEAST_DETAIL_ZOOM = 0.12
LEAST_READING_ZOOM = 0.3
CASING_PX = 2.5
_FROM_AFAR = {
    BODY: ("metal_edge", "metal"), SPLICE: ("ink", "ink"), GROUND: ("stud", "stud"), OTHER: ("frame", "card"),
}  # fmt: skip


@dataclass(slots=True)
class View:
    """What is shown beside the harness itself.

    Parameters
    ----------
    selected, hovered
        Ids of symbols, things within them, and wires.
    focus, progress
        What is in front, and how far the rest has faded (0 to 1).
    lifted
        Symbols and wires that a gesture draws itself.
    readings
        Symbol → its live values in words.
    glyphs
        Symbol → what its parts draw of them: light, needles.
    labels
        Whether texts are drawn.
    tips
        The meter's tips that are put on points.
    overlay
        What the whole page is read for.
    ranks
        Suspects, by rank.
    marks
        Findings, by number.
    notes
        What somebody wrote on things.
    """

    selected: frozenset[str] = frozenset()
    hovered: str | None = None
    focus: Focus | None = None
    progress: float = 1.0
    lifted: frozenset[str] = frozenset()
    readings: Mapping[str, str] = field(default_factory=dict)
    glyphs: Mapping[str, tuple[tuple[str, Reading], ...]] = field(default_factory=dict)
    labels: bool = True
    tips: Tips = ()
    overlay: Overlay | None = None
    ranks: Ranks = ()
    marks: FindingMarks = ()
    notes: NoteCards = ()


def draw(painter: QPainter, scene: Scene, at: Pixels, theme: Theme, view: View) -> None:
    """Draw a frame on a painter whose unit is the device pixel."""
    focus = view.focus if view.progress > 0 else None
    back = theme if focus is None else theme.faded(1 - (1 - FADE) * view.progress)
    seen = scene.are_seen(at.seen())
    wires = np.ones(len(scene.wires), dtype=bool)
    links = np.ones(len(scene.links), dtype=bool)
    if view.lifted:
        seen &= ~scene.flags(view.lifted)
        wires &= ~scene.wires.flags(view.lifted)
        links &= ~scene.links.flags(view.lifted)
    detailed = bool(np.count_nonzero(seen) <= MOST_DETAILED and at.zoom >= LEAST_DETAIL_ZOOM)
    front = seen & scene.front(focus).symbols if focus else np.zeros_like(seen)
    in_front = wires & scene.front(focus).wires if focus else np.zeros_like(wires)
    rest, bodies = seen & ~front, scene.kinds == BODY
    _symbols(painter, scene, at, back, rest & bodies, detailed)
    scene.links.paint(painter, at, back, only=links)
    overlay = (
        view.overlay if view.overlay is not None and len(view.overlay.values) == len(scene.wires) else None
    )
    if overlay is not None:
        paint_wash(painter, scene, at, overlay)
        if at.zoom < LEAST_FINE_ZOOM:  # from afar the wash stands for the wire
            wires &= (overlay.steps < 0) | in_front
    if view.ranks:
        paint_rank_wash(painter, scene, at, theme, view.ranks)
    _selected_wires(painter, scene, at, theme, view)
    scene.wires.paint(
        painter, at, back, only=wires & ~in_front if focus or view.lifted or overlay is not None else None,
        widths_px=widths_at(overlay, at) if overlay is not None else None,
    )  # fmt: skip
    _symbols(painter, scene, at, back, rest & ~bodies, detailed, glyphs=view.glyphs)
    if view.labels:
        _texts(painter, scene, at, back, view, rest, focus)
    if focus is not None:
        _front(painter, scene, at, theme, view, front, in_front, focus)
    if overlay is not None and not view.lifted:
        paint_marks(painter, scene, at, theme, overlay)
    _rings(painter, scene, at, theme, view)
    if view.ranks:
        paint_ranks(painter, scene, at, theme, view.ranks)
    if view.notes and not view.lifted:
        paint_notes(painter, scene, at, theme, view.notes, dots=focus is not None)
    if view.marks:
        paint_findings(painter, scene, at, theme, view.marks)
    if view.tips:
        paint_tips(painter, scene, at, theme, view.tips)


def _front(
    painter: QPainter, scene: Scene, at: Pixels, theme: Theme, view: View, symbols: Bools,
    wires: Bools, focus: Focus,
) -> None:  # fmt: skip
    bodies = scene.kinds == BODY
    detailed = bool(np.count_nonzero(symbols) <= MOST_DETAILED and at.zoom >= LEAST_DETAIL_ZOOM)
    _symbols(painter, scene, at, theme, symbols & bodies, detailed)
    usual = scene.wires.width_mm * NATURAL_PX_PER_MM
    widths = usual + (scene.front(focus).widths_px - usual) * view.progress
    scene.wires.paint(painter, at, theme, only=wires, widths_px=widths, casing=("paper", CASING_PX))
    _symbols(
        painter, scene, at, theme, symbols & ~bodies, detailed, Shown(ringed=focus.ringed), glyphs=view.glyphs
    )
    if view.labels:
        _texts(painter, scene, at, theme, view, symbols, focus, front=True)
        for text in focus.said:
            write(painter, text, at, theme, halo=True)


def _symbols(
    painter: QPainter, scene: Scene, at: Pixels, theme: Theme, which: Bools, detailed: bool,
    shown: Shown = NOTHING_MORE, glyphs: Mapping[str, tuple[tuple[str, Reading], ...]] | None = None,
) -> None:  # fmt: skip
    if not detailed:
        _blocks(painter, scene, at, theme, which)
        return
    painter.setRenderHint(QPainter.RenderHint.Antialiasing, True)
    painter.save()
    painter.translate(at.dx, at.dy)
    painter.scale(at.scale, at.scale)
    keys = [scene.ids[i] for i in np.flatnonzero(which)]
    drawn = [scene.strokes(key, _for(scene, key, shown, (glyphs or {}).get(key, ()))) for key in keys]
    for strokes in drawn:
        paint(painter, strokes, theme)
    painter.restore()
    for strokes in drawn:
        for text in strokes.texts:
            write(painter, text, at, theme)


def _for(scene: Scene, key: str, shown: Shown, live: tuple[tuple[str, Reading], ...]) -> Shown:
    """Return what a symbol shows of `shown` with its own readings: only a connector has cavities to ring."""
    ringed = (
        shown.ringed if any(m in scene.harness.halves for m in scene.symbols[key].members) else frozenset()
    )
    return Shown(live, ringed) if live or ringed else NOTHING_MORE


def _blocks(painter: QPainter, scene: Scene, at: Pixels, theme: Theme, which: Bools) -> None:
    """Draw symbols as plain outlines, all of one kind at once."""
    painter.setRenderHint(QPainter.RenderHint.Antialiasing, False)
    painter.setPen(Qt.PenStyle.NoPen)
    edge = max(1, round(at.ratio))
    for kind, (rim, fill) in _FROM_AFAR.items():
        mm = scene.outlines[which & (scene.kinds == kind)]
        if not len(mm):
            continue
        rects = np.empty(mm.shape, dtype=np.int32)
        rects[:, 0] = np.rint(mm[:, 0] * at.scale + at.dx)
        rects[:, 1] = np.rint(mm[:, 1] * at.scale + at.dy)
        rects[:, 2:] = rects[:, :2] + np.maximum(2 * edge, np.rint(mm[:, 2:] * at.scale)) - 1
        painter.setBrush(theme.brush(rim))
        fill_rects(painter, rects)
        if fill != rim:
            painter.setBrush(theme.brush(fill))
            fill_rects(painter, rects + np.array([edge, edge, -edge, -edge], dtype=np.int32))


def _texts(
    painter: QPainter, scene: Scene, at: Pixels, theme: Theme, view: View, which: Bools,
    focus: Focus | None, *, front: bool = False,
) -> None:  # fmt: skip
    room = scene.room
    natural = at.scale / at.ratio
    written: list[tuple[Text, float, float]] = []
    for number in room.shown(at.zoom, at.seen()):
        owner, text = room.owners[number], room.texts[number]
        of_symbol = owner in scene.number
        if view.overlay is not None and not of_symbol:
            continue  # the numbers stand there
        mine = (
            which[scene.number[owner]] if of_symbol else (owner in focus.wires if focus else False) == front
        )
        px = texts.pixel_size(text, natural) if mine and owner not in view.lifted else None
        if px is None:
            continue
        enlarged = px / (text.size_mm * natural)
        y = at.y(room.y_mm(number, enlarged))
        written.append((text, y, px))
        if not of_symbol or (enlarged > 1.01 and scene.symbols[owner].kind != "body"):
            texts.clear(painter, text, at.x(text.x_mm), y, px * at.ratio, theme)
    for text, y, px in written:
        texts.draw(painter, text, at.x(text.x_mm), y, px * at.ratio, theme)
    if at.zoom < LEAST_READING_ZOOM:
        return
    for key in [scene.ids[i] for i in np.flatnonzero(which)]:
        place = scene.readings.get(key)
        said = view.readings.get(key)
        if focus and front and key not in focus.readers:
            said = focus.notes.get(key)
        if place is not None and said:
            colour = "accent" if front and focus and key in focus.notes else "muted"
            saying = _saying(place, said, colour)
            short = fitting(saying, said, scene.free_for_reading(key), at)
            if short:
                write(painter, replace(saying, text=short), at, theme)


def _saying(place: Text, said: str, colour: str) -> Text:
    return Text(place.x_mm, place.y_mm, said, place.size_mm, 600 if colour == "accent" else 400, colour,
                place.align, place.room_mm, place.rank)  # fmt: skip


def write(painter: QPainter, text: Text, at: Pixels, theme: Theme, *, halo: bool = False) -> None:
    """Write a text if it can be read at this size; a halo clears the paper below."""
    px = texts.pixel_size(text, at.scale / at.ratio)
    if px is None:
        return
    x, y, size = at.x(text.x_mm), at.y(text.y_mm), px * at.ratio
    if halo:
        texts.clear(painter, text, x, y, size, theme)
    texts.draw(painter, text, x, y, size, theme)


def _selected_wires(painter: QPainter, scene: Scene, at: Pixels, theme: Theme, view: View) -> None:
    marked = {w for w in (*view.selected, view.hovered) if w in scene.wires.number and w not in view.lifted}
    if marked:
        only = scene.wires.flags(marked)
        colour = "accent" if marked & view.selected else "hairline"
        scene.wires.paint(painter, at, theme, only=only, casing=(colour, CASING_PX))


def _rings(painter: QPainter, scene: Scene, at: Pixels, theme: Theme, view: View) -> None:
    painter.setRenderHint(QPainter.RenderHint.Antialiasing, True)
    painter.setBrush(Qt.BrushStyle.NoBrush)
    if view.hovered and view.hovered not in view.lifted:
        _ring(painter, scene, at, theme, view.hovered, "muted", 1.0)
    chosen = view.focus.thing if view.focus is not None else None
    for thing in view.selected:
        if thing not in view.lifted and thing != chosen:
            _ring(painter, scene, at, theme, thing, "accent", 1.5)
    if chosen is not None and chosen not in scene.harness.halves:  # a cavity has a ring of its own
        _ring(
            painter, scene, at, theme, chosen, "accent", 2.4, 0.4 if chosen in scene.harness.grounds else 1.4
        )


def _ring(
    painter: QPainter,
    scene: Scene,
    at: Pixels,
    theme: Theme,
    thing: str,
    colour: str,
    px: float,
    out_mm: float = 1.4,
) -> None:
    home = scene.symbol_of(thing)
    if home is None:
        return
    box: Box = scene.symbols[home].outlines.get(thing) or outline_box(scene.symbols[home])
    painter.setPen(theme.pen(colour, px * at.ratio))
    rect: QRectF = at.rect(box.grown(out_mm))
    radius = 6.0 * at.ratio
    painter.drawRoundedRect(rect, radius, radius)


def draw_lifted(
    painter: QPainter,
    at: Pixels,
    theme: Theme,
    pieces: Iterable[Strokes],
    ringed: Iterable[Box],
    by_mm: tuple[float, float],
) -> None:
    """Draw symbols that a gesture carries, above everything, moved by a distance."""
    painter.setRenderHint(QPainter.RenderHint.Antialiasing, True)
    kept = list(pieces)
    at = replace(at, dx=at.dx + by_mm[0] * at.scale, dy=at.dy + by_mm[1] * at.scale)
    painter.save()
    painter.translate(at.dx, at.dy)
    painter.scale(at.scale, at.scale)
    for strokes in kept:
        paint(painter, strokes, theme)
    painter.restore()
    for strokes in kept:
        for text in strokes.texts:
            write(painter, text, at, theme)
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.setPen(theme.pen("accent", 1.5 * at.ratio))
    for box in ringed:
        painter.drawRoundedRect(at.rect(box.grown(1.4)), 6.0 * at.ratio, 6.0 * at.ratio)
