"""Single texts of the project file → values: what each marker of the model lets a text be."""

from __future__ import annotations

import datetime
import math
import re
from collections.abc import Callable
from pathlib import PurePosixPath, PureWindowsPath

from harness_studio.base.errors import AddressError
from harness_studio.base.ids import is_id, is_name, split_point, split_wire_end
from harness_studio.base.units import normal_awg

from .forms import Number, Text

_NUMBER = re.compile(r"[+-]?(?:\d+(?:\.\d*)?|\.\d+)(?:[eE][+-]?\d+)?", re.ASCII)
_WHOLE = re.compile(r"[+-]?\d{1,15}", re.ASCII)
_JOINT = re.compile(r"[A-Za-z0-9_-]+(?:[.@/:][^\s.@/:,\[\]{}]+)*")
_DATE = re.compile(r"\d{4}-\d{2}-\d{2}", re.ASCII)


class Wrong(ValueError):
    """A text that is not what is wanted; the message is extra advice and may be empty."""


def _any(text: str) -> str:
    return text


def _id(text: str) -> str:
    # A body may be named `unknown` (see `keys`), so the id of an entry may be that, on a page for example.
    if not is_id(text) and text != "unknown":
        raise Wrong
    return text


def _name(text: str) -> str:
    if not is_name(text):
        raise Wrong
    return text


def _point(text: str) -> str:
    try:
        if split_wire_end(text) is None:
            split_point(text)
    except AddressError:
        raise Wrong from None
    return text


def _joint(text: str) -> str:
    if not _JOINT.fullmatch(text):
        raise Wrong
    return text


def _element(text: str) -> str:
    part, slash, element = text.partition("/")
    if not is_id(part) or (slash and not is_name(element)):
        raise Wrong
    return text


def _awg(text: str) -> str:
    try:
        return normal_awg(text)
    except ValueError:
        raise Wrong from None


def _date(text: str) -> str:
    try:
        if not _DATE.fullmatch(text):
            raise Wrong
        datetime.date.fromisoformat(text)
    except ValueError:
        raise Wrong from None
    return text


def _file(text: str) -> str:
    windows, posix = PureWindowsPath(text), PurePosixPath(text)
    if not text or "\0" in text or windows.drive or windows.root or posix.is_absolute() or "\\" in text:
        raise Wrong
    if ".." in posix.parts:
        raise Wrong
    return text


_TEXTS: dict[str, tuple[Callable[[str], str], str]] = {
    "": (_any, "a text"),
    "colour": (_any, "colour codes of IEC 60757 such as BN or BN/WH"),
    "id": (_id, "the id of an entry (letters, digits, _ and -)"),
    "name": (_name, "a name without spaces and without . @ / : , [ ] { }"),
    "point": (
        _point,
        "a point: PART.TERMINAL, HALF.CAVITY, BODY.PLACE, a splice or a ground, or the metal WIRE@POINT",
    ),
    "joint": (_joint, "a joint such as W40@GP2, GP2/W40, GP2, X7.3 or S1.30:54"),
    "element": (_element, "a part such as P1, or an element of one such as E5/tail"),
    "awg": (_awg, "an AWG number such as 14, 0 or 2/0"),
    "date": (_date, "a day as year-month-day, such as 2026-03-02"),
    "file": (_file, "a path inside the project's folder, with / between folders and without '..'"),
}
_NUMBERS = {
    "": "a number",
    "positive": "a number above 0",
    "not_negative": "a number, 0 or more",
    "mohm": "a number, 0 or more, or the word open",
}


def text_reader(form: Text) -> Callable[[str], str]:
    """Return the function that reads such a text; it raises `Wrong` when the text is not one."""
    return _TEXTS[form.marker][0]


def wanted_text(form: Text) -> str:
    """Return in words what such a text is."""
    return _TEXTS[form.marker][1]


def wanted_number(form: Number) -> str:
    """Return in words what such a number is."""
    words = _NUMBERS[form.marker]
    if form.whole:
        words = words.replace("a number", "a whole number", 1)
    return f"{words} ({form.unit})" if form.unit else words


def number_reader(form: Number) -> Callable[[str], float]:
    """Return the function that reads such a number; it raises `Wrong` when the text is not one."""

    def read(text: str) -> float:
        if not _NUMBER.fullmatch(text):
            if form.marker == "mohm" and text == "open":
                return math.inf
            raise Wrong(_advice(text))
        value = float(text)
        if not math.isfinite(value):
            raise Wrong("it is too large for a number")
        if (value < 0 and form.marker in ("positive", "not_negative", "mohm")) or (
            value == 0 and form.marker == "positive"
        ):
            raise Wrong
        return value

    def read_whole(text: str) -> int:
        if not _WHOLE.fullmatch(text):
            raise Wrong
        return int(text)

    return read_whole if form.whole else read


def _advice(text: str) -> str:
    if re.fullmatch(r"[+-]?\d+,\d+", text):
        return f"write {text.replace(',', '.')}"
    number = _NUMBER.match(text)
    if number and re.fullmatch(r"\s*[^\d\s.,].*", text[number.end() :]):
        return f"write {number[0]} alone, the unit is in the key"
    if re.fullmatch(r"[+-]?\.?(nan|inf|infinity)", text, re.I):
        return "NaN and infinity are not numbers here"
    return ""
