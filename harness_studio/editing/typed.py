"""One text that a person typed ↔ one value of the model, by the form of its key.

What `show` writes, `read` reads back to the same value.
"""

from __future__ import annotations

import datetime
import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from harness_studio.base.errors import nearest
from harness_studio.model.forms import (
    Choice,
    Fixed,
    Flag,
    Form,
    ListOf,
    Maybe,
    Number,
    Record,
    Special,
    TableOf,
    Text,
)
from harness_studio.model.texts import Wrong, text_reader, wanted_text
from harness_studio.model.values import End, Mount, Spot
from harness_studio.standards import colours

from .nested import read_nested, show_nested
from .quantities import Refused, read_number, read_size, show_number, show_size


@dataclass(frozen=True, slots=True)
class SizeForm:
    """A wire's size: its area and its AWG number, of which one is written."""


AnyForm = Form | SizeForm
_YES = ("yes", "y", "true", "x", "1", "on", "✓", "ja")
_NO = ("no", "n", "false", "0", "off", "-", "nein")
_OPEN = {"cut": "cut", "unknown": "unknown", "?": "unknown", "open": "unknown"}


def read(form: AnyForm, text: str) -> Any:
    """Read what was typed; nothing typed is None where the key may be left out.

    Raises
    ------
    Refused
        In one line: what was found, and what would be right.
    """
    text = text.strip()
    if isinstance(form, SizeForm):
        return _size(text)
    if isinstance(form, Maybe):
        return None if not text else read(form.form, text)
    if isinstance(form, Number):
        return read_number(form, text)
    if isinstance(form, Text):
        return _text(form, text)
    if isinstance(form, Choice):
        return read_choice(form.options, text)
    if isinstance(form, Flag):
        return _flag(text)
    if isinstance(form, Special) and form.name in ("end", "spot"):
        return read_end(text) if form.name == "end" else _spot(text)
    if form == Record(Mount):
        return _mount(text)
    return _many(form, text)


def show(form: AnyForm, value: Any) -> str:
    """Return a value as it is typed, with its unit; nothing for None."""
    if isinstance(form, SizeForm):
        return show_size(*value) if value else ""
    if value is None:
        return ""
    if isinstance(form, Maybe):
        return show(form.form, value)
    if isinstance(form, Number):
        return show_number(value, form.unit)
    if isinstance(form, Flag):
        return "yes" if value else "no"
    if isinstance(form, Text | Choice):
        return str(value)
    if isinstance(form, Special) and form.name in ("end", "spot"):
        return str(value) if form.name == "end" else _spot_words(value)
    if form == Record(Mount):
        return f"{value.terminal} on {value.place}"
    return _show_many(form, value)


def is_plain(form: AnyForm) -> bool:
    """Tell whether a form is typed in words; others are typed as the project file writes them."""
    if isinstance(form, SizeForm | Number | Text | Choice | Flag) or form == Record(Mount):
        return True
    if isinstance(form, Maybe):
        return is_plain(form.form)
    if isinstance(form, Special):
        return form.name in ("end", "spot")
    if isinstance(form, ListOf):
        return _is_single(form.item) or (isinstance(form.item, ListOf) and _is_single(form.item.item))
    if isinstance(form, Fixed):
        return all(_is_single(item) for item in form.items)
    return isinstance(form, TableOf) and _is_single(form.value)


def _is_single(form: Form) -> bool:
    if isinstance(form, Maybe):
        return _is_single(form.form)
    return isinstance(form, Number | Text | Choice) or form == Special("end")


def _size(text: str) -> tuple[float | None, str | None]:
    if not text:
        return None, None
    try:
        return read_size(text)
    except ValueError as error:
        raise Refused(str(error)) from None


def _text(form: Text, text: str) -> str:
    if form.marker == "colour":
        return read_colour(text)
    if form.marker == "date":
        text = _day(text)
    if form.marker == "awg":
        text = re.sub(r"(?i)\s*(awg|ga|gauge|#)\s*", "", text)
    if not text:
        raise Refused(f"nothing is written; wanted {wanted_text(form)}")
    try:
        return text_reader(form)(text)
    except Wrong as wrong:
        advice = f"; {wrong}" if str(wrong) else ""
        raise Refused(f"'{text}' is not {wanted_text(form)}{advice}") from None


def read_colour(text: str) -> str:
    """Read a colour as people write it into the codes of the file: 'brown with white' is BN/WH.

    Raises
    ------
    Refused
        If it is no colour, or holds words that the codes would lose.
    """
    found = colours.read(text)
    if found is None:
        raise Refused(f"'{text}' is no colour: write BN/WH or brown with white")
    if found.ignored:
        kept = colours.text(found.codes)
        lost = ", ".join(f"'{word}'" for word in found.ignored)
        raise Refused(f"{kept} has no place for {lost}: write {kept}, and the rest as mark or note")
    return colours.text(found.codes)


def _day(text: str) -> str:
    lowered = text.lower()
    if lowered in ("today", "now"):
        return datetime.date.today().isoformat()
    found = re.fullmatch(r"(\d{1,2})\.\s*(\d{1,2})\.\s*(\d{4})", text)
    return f"{found[3]}-{int(found[2]):02}-{int(found[1]):02}" if found else text


def read_choice(options: tuple[str, ...], text: str) -> str:
    """Read one of some words; a beginning that only one of them has is enough.

    Raises
    ------
    Refused
        If it is none of them, or the beginning of several.
    """
    word = " ".join(text.lower().replace("_", " ").split())
    plain = {option.lower().replace("_", " "): option for option in options}
    if word in plain:
        return plain[word]
    begins = [option for said, option in plain.items() if word and said.startswith(word)]
    if len(begins) == 1:
        return begins[0]
    near = nearest(word, plain)
    end = f"; nearest is {plain[near]}" if near and not begins else ""
    raise Refused(f"'{text}' is not one of: {', '.join(options)}{end}")


def _flag(text: str) -> bool:
    word = text.lower()
    if not word or word in _NO:
        return False
    if word in _YES:
        return True
    raise Refused(f"'{text}' is neither yes nor no")


def read_end(text: str) -> End:
    """Read a wire's end: a point, cut, unknown (or nothing), or a place in words; words may stand in quotes.

    Raises
    ------
    Refused
        If it is empty between quotes.
    """
    if not text:
        return End("unknown")
    if text.lower() in _OPEN:
        return End("cut" if _OPEN[text.lower()] == "cut" else "unknown")
    quoted = re.fullmatch(r"""(['"“„‘])(.*)(['"”“’])""", text, re.S)
    if quoted:
        if not quoted[2].strip():
            raise Refused("nothing is written between the quotes; wanted where the wire goes")
        return End("words", quoted[2])
    try:
        return End("point", text_reader(Text("point"))(text))
    except Wrong:
        return End("words", text)


def _spot(text: str) -> Spot:
    found = re.fullmatch(r"(\S+?)[ ,]+(?:at\s+)?(.+)", text)
    if found and not re.fullmatch(r"[A-Za-z0-9_-]+", text):
        return Spot(run=_id(found[1]), mm=read_number(Number(unit="mm"), found[2]))
    return Spot(breakout=_id(text))


def _spot_words(spot: Spot) -> str:
    if spot.run is None:
        return spot.breakout or ""
    return f"{spot.run} at {show_number(spot.mm or 0.0, 'mm')}"


def _mount(text: str) -> Mount:
    found = re.fullmatch(r"(\S+?)\s*(?:\bon\b|@|,|\s)\s*(\S+)", text)
    if not found:
        raise Refused(f"'{text}' is no mount: write TERMINAL on BODY.PLACE, such as 31 on shell.bed_rear")
    return Mount(_text(Text("name"), found[1]), _text(Text("point"), found[2]))


def _id(text: str) -> str:
    return _text(Text("id"), text)


def _many(form: Form, text: str) -> Any:
    if isinstance(form, ListOf) and is_plain(form):
        if isinstance(form.item, ListOf):
            inner = form.item.item
            text = re.sub(r"(?i)^metal\s*,?\s*", "", text)
            return tuple(
                tuple(read(inner, one) for one in re.split(r"\s+with\s+|\s*\+\s*", group))
                for group in _pieces(text, inner)
            )
        return tuple(read(form.item, piece) for piece in _pieces(text, form.item))
    if isinstance(form, Fixed) and is_plain(form):
        pieces = _pieces(text, form.items[0])
        if len(pieces) != len(form.items):
            raise Refused(f"'{text}' holds {len(pieces)} of {len(form.items)} values: put ; between them")
        return tuple(read(item, piece) for item, piece in zip(form.items, pieces, strict=True))
    if isinstance(form, TableOf) and is_plain(form):
        return _table(form, text)
    return read_nested(form, text)


def _table(form: TableOf, text: str) -> Mapping[Any, Any]:
    found: dict[Any, Any] = {}
    for piece in _pieces(text, form.value if isinstance(form.value, Number) else form.key):
        key, colon, value = piece.partition(":")
        if not colon:
            raise Refused(f"'{piece}' has no value: write NAME: VALUE")
        name = read(form.key, key)
        if name in found:
            raise Refused(f"'{key.strip()}' stands there twice")
        found[name] = read(form.value, value)
    return found


def _pieces(text: str, item: Form) -> list[str]:
    """Part a list. A comma between digits may be a decimal sign where numbers are wanted."""
    inner = item.form if isinstance(item, Maybe) else item
    comma = r",(?!\d)" if isinstance(inner, Number) else r","
    return [piece for piece in (p.strip() for p in re.split(rf";|\n|{comma}", text)) if piece]


def _show_many(form: Form, value: Any) -> str:
    if isinstance(form, ListOf) and is_plain(form):
        if isinstance(form.item, ListOf):
            return ", ".join(" with ".join(show(form.item.item, v) for v in group) for group in value)
        return ", ".join(show(form.item, v) for v in value)
    if isinstance(form, Fixed) and is_plain(form):
        return ", ".join(show(item, v) for item, v in zip(form.items, value, strict=True))
    if isinstance(form, TableOf) and is_plain(form):
        return ", ".join(f"{show(form.key, k)}: {show(form.value, v)}" for k, v in value.items())
    return show_nested(form, value)
