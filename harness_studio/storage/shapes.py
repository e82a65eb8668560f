"""Values that are written shorter than their fields: an end, a place along the harness, a position, mated halves.

Each has its reader and its writer side by side, so that what one writes the other reads.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from harness_studio.base.ids import is_id
from harness_studio.model.forms import Number, Text
from harness_studio.model.texts import Wrong, number_reader, text_reader, wanted_text
from harness_studio.model.values import At, End, Spot

from .nodes import Listing, Node, Scalar, Table
from .reading import BAD, Decoder, Reader
from .trees import Fields, Tree, number_text

_POINT = text_reader(Text("point"))
_NAME = text_reader(Text("name"))
_NUMBER = number_reader(Number())
END_WANTED = wanted_text(Text("point")) + "; or cut, unknown, or {words: where it goes}"
SPOT_WANTED = "the id of a breakout, or {run: RUN, mm: from its first end}"
AT_WANTED = "[x mm, y mm], [x, y, turn] or [x, y, turn, mirror]; turn is 0, 90, 180 or 270"
MATES_WANTED = (
    "a half; a list of halves whose cavities have the same names; or {HALF: {own cavity: its cavity}}"
)


def read_end(node: Node, reader: Reader) -> Any:
    """Read `X7.3`, `cut`, `unknown` or `{words: ...}`."""
    if isinstance(node, Scalar):
        if node.text in ("cut", "unknown"):
            return End("cut" if node.text == "cut" else "unknown")
        try:
            return End("point", _POINT(node.text))
        except Wrong:
            return reader.wanted(node, END_WANTED)
    words = node.get("words") if isinstance(node, Table) and len(node.pairs) == 1 else None
    if not isinstance(words, Scalar):
        return reader.wanted(node, END_WANTED)
    return End("words", words.text)


def write_end(end: End) -> Tree:
    """Return the tree of an end."""
    if end.what == "words":
        return Fields(words=end.text)
    return end.text if end.what == "point" else end.what


def read_spot(node: Node, reader: Reader) -> Any:
    """Read `bk2` or `{run: bed_left, mm: 1180}`."""
    if isinstance(node, Scalar):
        return Spot(breakout=node.text) if is_id(node.text) else reader.wanted(node, SPOT_WANTED)
    if not isinstance(node, Table) or not node.pairs:
        return reader.wanted(node, SPOT_WANTED)
    values: dict[str, Any] = {}
    for name, (key, value) in node.pairs.items():
        if name not in ("breakout", "run", "mm"):
            return reader.unknown_key(key, ("run", "mm"))
        if not isinstance(value, Scalar):
            return reader.wanted(value, SPOT_WANTED)
        try:
            values[name] = _NUMBER(value.text) if name == "mm" else value.text
        except Wrong as wrong:
            return reader.wanted(value, "a number (mm)", str(wrong))
        if name != "mm" and not is_id(value.text):
            return reader.wanted(value, SPOT_WANTED)
    return Spot(**values)


def write_spot(spot: Spot) -> Tree:
    """Return the tree of a place along the harness."""
    if spot.breakout is not None and spot.run is None and spot.mm is None:
        return spot.breakout
    tree = Fields()
    for name in ("breakout", "run"):
        if getattr(spot, name) is not None:
            tree[name] = getattr(spot, name)
    if spot.mm is not None:
        tree["mm"] = number_text(spot.mm)
    return tree


def read_at(node: Node, reader: Reader) -> Any:
    """Read `[220, 80]`, `[220, 80, 90]` or `[220, 80, 90, mirror]`."""
    texts = [i.text for i in node.items if isinstance(i, Scalar)] if isinstance(node, Listing) else []
    if not isinstance(node, Listing) or len(texts) != len(node.items) or not 2 <= len(texts) <= 4:
        return reader.wanted(node, AT_WANTED)
    try:
        x_mm, y_mm = _NUMBER(texts[0]), _NUMBER(texts[1])
    except Wrong as wrong:
        return reader.wanted(node.items[0], AT_WANTED, str(wrong))
    turn = texts[2] if len(texts) > 2 else "0"
    if turn not in ("0", "90", "180", "270"):
        return reader.wanted(node.items[2], "a turn of 0, 90, 180 or 270 degrees")
    if len(texts) == 4 and texts[3] != "mirror":
        return reader.wanted(node.items[3], "the word mirror, or nothing")
    return At(x_mm, y_mm, int(turn), len(texts) == 4)


def write_at(at: At) -> Tree:
    """Return the tree of a position on a page."""
    tree: list[Tree] = [number_text(at.x_mm), number_text(at.y_mm)]
    if at.turn or at.mirror:
        tree.append(str(at.turn))
    if at.mirror:
        tree.append("mirror")
    return tree


def read_mates(node: Node, reader: Reader) -> Any:
    """Read `X8`, `[X8, X9]` or `{X8: {1: 1, 2: 3}, X9: ~}`."""
    if isinstance(node, Scalar):
        if node.is_nothing:
            return {}
        return {node.text: None} if is_id(node.text) else reader.wanted(node, MATES_WANTED)
    if isinstance(node, Listing):
        ids = [i.text for i in node.items if isinstance(i, Scalar) and is_id(i.text)]
        if len(ids) != len(node.items) or len(set(ids)) != len(ids):
            return reader.wanted(node, MATES_WANTED, "each half once")
        return dict.fromkeys(ids)
    mates: dict[str, Mapping[str, str] | None] = {}
    bad = False
    for other, (key, value) in node.pairs.items():
        pairs = _read_pairs(value, reader)
        if not is_id(other):
            pairs = reader.wanted(key, MATES_WANTED)
        bad = bad or pairs is BAD
        mates[other] = pairs
    return BAD if bad else mates


def _read_pairs(node: Node, reader: Reader) -> Any:
    if isinstance(node, Scalar) and node.is_nothing:
        return None
    if not isinstance(node, Table):
        return reader.wanted(node, "{own cavity: its cavity}")
    pairs = {}
    for own, (key, theirs) in node.pairs.items():
        try:
            pairs[_NAME(own)] = _NAME(theirs.text if isinstance(theirs, Scalar) else "")
        except Wrong:
            return reader.wanted(key, "{own cavity: its cavity}")
    return pairs


def write_mates(mates: Mapping[str, Mapping[str, str] | None]) -> Tree:
    """Return the tree of mated halves."""
    if mates and all(pairs is None for pairs in mates.values()):
        ids: list[Tree] = list(mates)
        return ids[0] if len(ids) == 1 else ids
    return {other: None if pairs is None else dict(pairs) for other, pairs in mates.items()}


READ: dict[str, Decoder] = {"end": read_end, "spot": read_spot, "at": read_at, "mates": read_mates}
WRITE: dict[str, Any] = {"end": write_end, "spot": write_spot, "at": write_at, "mates": write_mates}
