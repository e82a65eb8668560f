"""From a symbol's own frame to the page and back: mirrored left to right first, then turned clockwise, then moved."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Literal

from harness_studio.base.geometry import Box, Point, around
from harness_studio.model.values import At

from .drafts import CLEAR_MM, text_box
from .lettering import LINE
from .symbols import Anchor, Side, Symbol, Text

_CLOCKWISE: tuple[Side, ...] = ("top", "right", "bottom", "left")
_MIRRORED: Mapping[Side, Side] = {"left": "right", "right": "left", "top": "top", "bottom": "bottom"}

_Align = Literal["start", "middle", "end"]
_SWAPPED: Mapping[_Align, _Align] = {"start": "end", "end": "start", "middle": "middle"}


def to_page(p: Point, at: At) -> Point:
    """Return where a point of a symbol lies on the page."""
    x = -p.x_mm if at.mirror else p.x_mm
    return Point(x, p.y_mm).turned(at.turn // 90).moved(at.x_mm, at.y_mm)


def from_page(p: Point, at: At) -> Point:
    """Return a point of the page in the frame of a symbol that stands at `at`."""
    own = p.moved(-at.x_mm, -at.y_mm).turned(-(at.turn // 90))
    return Point(-own.x_mm, own.y_mm) if at.mirror else own


def side_on_page(side: Side, at: At) -> Side:
    """Return which side on the page a side of a symbol faces."""
    own = _MIRRORED[side] if at.mirror else side
    return _CLOCKWISE[(_CLOCKWISE.index(own) + at.turn // 90) % 4]


def box_on_page(box: Box, at: At) -> Box:
    """Return a symbol's box on the page."""
    a = to_page(Point(box.left_mm, box.top_mm), at)
    b = to_page(Point(box.right_mm, box.bottom_mm), at)
    return Box(min(a.x_mm, b.x_mm), min(a.y_mm, b.y_mm), abs(a.x_mm - b.x_mm), abs(a.y_mm - b.y_mm))


def on_page(symbol: Symbol, at: At) -> Symbol:
    """Return the symbol with all its measures in mm of the page.

    Text stays upright and legible: a symbol that is turned to stand has it at its right, one upside down or mirrored
    where it was before.
    """
    box = box_on_page(symbol.box, at)
    outlines = {key: box_on_page(b, at) for key, b in symbol.outlines.items()}
    ends = {k: _anchor(a, at) for k, a in symbol.wire_anchors.items()}
    texts = _texts(symbol, at, box, list(ends.values()))
    if at.turn % 360 == 0 and not at.mirror:
        clear = symbol.clear.moved(at.x_mm, at.y_mm)
    else:
        found = around([box.grown(_margin(symbol)), *(text_box(t) for t in texts)])
        assert found is not None
        clear = found
    return replace(
        symbol,
        box=box,
        clear=clear,
        anchors={k: _anchor(a, at) for k, a in symbol.anchors.items()},
        wire_anchors=ends,
        outlines=outlines,
        texts=texts,
    )


def _margin(symbol: Symbol) -> float:
    return min(
        CLEAR_MM, symbol.clear.bottom_mm - symbol.box.bottom_mm, symbol.box.left_mm - symbol.clear.left_mm
    )


def _anchor(anchor: Anchor, at: At) -> Anchor:
    return Anchor(anchor.point, to_page(anchor.at, at), side_on_page(anchor.side, at))


def _texts(symbol: Symbol, at: At, box: Box, ends: Sequence[Anchor]) -> tuple[Text, ...]:
    """Return a symbol's texts on the page, clear of the wires that leave it there."""
    turn = at.turn // 90 % 4
    if not turn and not at.mirror:
        return tuple(replace(t, at=t.at.moved(at.x_mm, at.y_mm)) for t in symbol.texts)
    if symbol.kind == "splice":
        return tuple(_in_corner(t, at, box, ends) for t in symbol.texts)
    inside = [_turned_text(t, at) for t in symbol.texts if t.role == "inside" or symbol.kind == "body"]
    outside = [t for t in symbol.texts if t.role != "inside" and symbol.kind != "body"]
    if turn % 2:
        return (*inside, *_beside(outside, box, any(e.side == "right" for e in ends)))
    flipped = at.mirror != (turn == 2)
    upright = (_upright_text(t, at, symbol.box, box, flipped) for t in outside)
    return (*inside, *(_off_wires(t, box, ends) for t in upright))


def _in_corner(text: Text, at: At, box: Box, ends: Sequence[Anchor]) -> Text:
    """Place a splice's name in its upper right corner, between the legs there."""
    x = max([at.x_mm + 0.7, *(e.at.x_mm for e in ends if e.side == "top")]) + 1.5
    y = min([at.y_mm - 2.0, *(e.at.y_mm for e in ends if e.side == "right")]) - 2.2
    return replace(text, at=Point(x, min(y, box.top_mm - 2.2 if x < at.x_mm + 3.0 else y)))


def _off_wires(text: Text, box: Box, ends: Sequence[Anchor]) -> Text:
    """Move a text above or below a symbol to the right of the wires that leave there."""
    side: Side = "bottom" if text.at.y_mm > box.centre.y_mm else "top"
    room = text_box(text).grown(1.0)
    in_the_way = [e.at.x_mm for e in ends if e.side == side and room.left_mm < e.at.x_mm < room.right_mm]
    return replace(text, at=Point(max(in_the_way) + 2.0, text.at.y_mm), align="start") if in_the_way else text


def _upright_text(text: Text, at: At, own: Box, box: Box, flipped: bool) -> Text:
    """Keep a text above or below its symbol when the symbol is mirrored or upside down."""
    x = at.x_mm - text.at.x_mm if flipped and text.align == "middle" else at.x_mm + text.at.x_mm
    below = text.at.y_mm > own.bottom_mm
    y = box.bottom_mm + text.at.y_mm - own.bottom_mm if below else box.top_mm + text.at.y_mm - own.top_mm
    return replace(text, at=Point(x, y))


def _turned_text(text: Text, at: At) -> Text:
    """Turn a text's place about the middle of its letters; the letters stay upright."""
    middle = text.at.moved(0, -text.size_mm * 0.36)
    there = to_page(middle, at).moved(0, text.size_mm * 0.36)
    turn = at.turn // 90 % 4
    if turn % 2:
        return replace(text, at=there, align="middle")
    swapped = at.mirror != (turn == 2)
    return replace(text, at=there, align=_SWAPPED[text.align] if swapped else text.align)


def _beside(texts: list[Text], box: Box, at_left: bool) -> list[Text]:
    """Stack texts beside a box, about its middle: at its right, or its left where wires leave at the right."""
    height = sum(t.size_mm * LINE for t in texts)
    y = box.centre.y_mm - height / 2
    x, align = (box.left_mm - 1.6, _SWAPPED["start"]) if at_left else (box.right_mm + 1.6, _SWAPPED["end"])
    found = []
    for text in texts:
        y += text.size_mm * LINE
        found.append(replace(text, at=Point(x, y - text.size_mm * 0.3), align=align))
    return found
