"""Ids and the addresses that are built from them.

An id holds letters, digits, `_` and `-`. The separators are `.` (a point of something), `@` (the metal at
a wire's end, or a case's mount), `/` (one thing's face on another, or an element of a part) and `:` (the two sides of a
contact, or a clip). Terminal and cavity names are text: `31`, `B+`, `10A`; `10` and `010` differ.
"""

from __future__ import annotations

import re

from .errors import AddressError

ID_PATTERN = r"[A-Za-z0-9_-]+"
NAME_PATTERN = r"[^\s.@/:,\[\]{}]+"
_ID = re.compile(ID_PATTERN)
_NAME = re.compile(NAME_PATTERN)
_POINT = re.compile(rf"(?P<owner>{ID_PATTERN})(?:\.(?P<name>{NAME_PATTERN}))?")
_WIRE_END = re.compile(rf"(?P<wire>{ID_PATTERN})@(?P<at>{ID_PATTERN}(?:\.{NAME_PATTERN})?)")
RESERVED = frozenset({"cut", "unknown"})


def is_id(text: str) -> bool:
    """Tell whether `text` may be an id."""
    return bool(_ID.fullmatch(text)) and text not in RESERVED


def is_name(text: str) -> bool:
    """Tell whether `text` may be a terminal's or cavity's name."""
    return bool(_NAME.fullmatch(text))


def split_point(text: str) -> tuple[str, str | None]:
    """Split `X7.3` into ("X7", "3") and `SP3` into ("SP3", None).

    Raises
    ------
    AddressError
        If the text is not a point of this form.
    """
    found = _POINT.fullmatch(text)
    if not found or text in RESERVED:
        raise AddressError(
            f"'{text}' is not a point: write PART.TERMINAL, HALF.CAVITY, BODY.PLACE, a splice or a ground"
        )
    return found["owner"], found["name"]


def split_wire_end(text: str) -> tuple[str, str] | None:
    """Split `W40@GP2` into ("W40", "GP2"); None if the text has another form."""
    found = _WIRE_END.fullmatch(text)
    return (found["wire"], found["at"]) if found else None


def point(owner: str, name: str | None = None) -> str:
    """Return the address of a point."""
    return owner if name is None else f"{owner}.{name}"


def wire_end(wire: str, at: str) -> str:
    """Return the address of the metal (and of the crimp) at a wire's end."""
    return f"{wire}@{at}"


def face(on: str, of: str) -> str:
    """Return the address of the joint between `of` and the thing it is fixed to, `on`."""
    return f"{on}/{of}"


def clean_id(text: str, taken: set[str] | frozenset[str] | None = None) -> str:
    """Turn any text into an id that is not in `taken`: other signs become `_`, a number is added if needed."""
    base = re.sub(r"[^A-Za-z0-9_-]+", "_", text).strip("_") or "item"
    if base in RESERVED:
        base += "_1"
    if not taken or base not in taken:
        return base
    number = 2
    while f"{base}_{number}" in taken:
        number += 1
    return f"{base}_{number}"
