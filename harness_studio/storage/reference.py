"""The tables of the reference page of the project file, made from the model.

The page resources/guide/project-file.md is written by hand; between ``<!-- made: NAME -->`` and ``<!-- end -->`` stands
what this module makes. ``python -m harness_studio.storage.reference`` makes it anew in a checkout.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from dataclasses import MISSING
from typing import Any

from harness_studio.base import resources
from harness_studio.model.entities import Origin, Settings
from harness_studio.model.forms import (
    Choice,
    Fixed,
    Flag,
    Form,
    Key,
    ListOf,
    Maybe,
    Number,
    Record,
    TableOf,
    Text,
    keys_of,
)
from harness_studio.model.harness import SECTIONS
from harness_studio.model.kinds import KINDS

from .encode import encoder_of
from .layout import flow
from .meanings import about, meaning, records

PAGE = ("guide", "project-file.md")
_REGION = re.compile(r"(<!-- made: (\w+) -->\n).*?(<!-- end -->)", re.S)
_HEAD = ["| key | holds | unit | if left out | meaning |", "| --- | --- | --- | --- | --- |"]
_TEXTS = {
    "": "text",
    "id": "id",
    "name": "name",
    "point": "point",
    "joint": "joint",
    "element": "part or element",
    "colour": "colour codes",
    "awg": "AWG number",
    "date": "day",
    "file": "path",
}
_NUMBERS = {
    "": "number",
    "positive": "number above 0",
    "not_negative": "number, 0 or more",
    "mohm": "number or `open`",
}
_SPECIAL = {
    "end": "end",
    "spot": "breakout, or `{run, mm}`",
    "at": "`[x, y]`, `[x, y, turn]` or `[x, y, turn, mirror]`",
    "mates": "half, list of halves, or `{HALF: {own: its}}`",
}


def filled(page: str) -> str:
    """Return the page with every table made anew."""

    def region(found: re.Match[str]) -> str:
        return found[1] + "\n".join(_MADE[found[2]]()) + "\n" + found[3]

    return _REGION.sub(region, page)


def words_of(form: Form) -> str:
    """Return in words what a form holds."""
    if isinstance(form, Maybe):
        return words_of(form.form)
    if isinstance(form, Text):
        return _TEXTS[form.marker]
    if isinstance(form, Number):
        return ("whole " if form.whole else "") + _NUMBERS[form.marker]
    if isinstance(form, Flag):
        return "`true` or `false`"
    if isinstance(form, Choice):
        return ", ".join(f"`{option}`" for option in form.options)
    if isinstance(form, ListOf):
        return f"{words_of(form.item)}, or a list" if form.or_one else f"list of {words_of(form.item)}"
    if isinstance(form, Fixed):
        return "[" + ", ".join(words_of(f) for f in form.items) + "]"
    if isinstance(form, TableOf):
        return f"{words_of(form.key)} → {words_of(form.value)}"
    if isinstance(form, Record):
        return f"[{_title(form.cls)}](#{_title(form.cls).replace(' ', '-')})"
    return _SPECIAL[form.name]


def _title(cls: type[Any]) -> str:
    """Return the heading of a record: 'as found' for AsFound."""
    return re.sub(r"(?<!^)(?=[A-Z])", " ", cls.__name__).lower()


def _unit(form: Form) -> str:
    if isinstance(form, Number):
        return form.unit
    if isinstance(form, TableOf) and isinstance(form.key, Number) and form.key.unit:
        return form.key.unit
    for inner in ("form", "item", "value"):
        if hasattr(form, inner):
            return _unit(getattr(form, inner))
    return _unit(form.items[0]) if isinstance(form, Fixed) else ""


def _default(key: Key) -> str:
    if key.default is MISSING:
        return "must be there"
    if key.default is None or key.default in ((), {}) or isinstance(key.form, Record):
        return "not known" if isinstance(key.form, Maybe) else "none"
    return f"`{flow(encoder_of(key.form)(key.default))}`"


def _rows(cls: type[Any]) -> Iterator[str]:
    for key in keys_of(cls).values():
        cells = (f"`{key.name}`", words_of(key.form), _unit(key.form), _default(key), meaning(cls, key.name))
        yield "| " + " | ".join(cell.replace("|", "\\|") for cell in cells) + " |"


def _table(heading: str, words: str, cls: type[Any]) -> list[str]:
    rows = list(_rows(cls))
    return [
        heading,
        "",
        *([words + ".", ""] if words else []),
        *(_HEAD + rows if rows else ["No keys of its own."]),
        "",
    ]


def _sections() -> list[str]:
    lines = _table("### At the top", about(Settings), Settings)
    for section, cls in SECTIONS.items():
        if cls is Settings:
            continue
        if cls is Origin:
            lines += ["### `origins`", "", about(Origin) + ": `{host: [GB1, E5], donor: [M2]}`.", ""]
            continue
        name = "diagram: pages" if section == "pages" else section
        lines += _table(f"### `{name}`", about(cls), cls)
    return lines


def _values() -> list[str]:
    ratings = {kind.ratings for kind in KINDS.values()}
    inner = [cls for cls in records() if cls not in ratings and cls not in SECTIONS.values()]
    return [line for cls in inner for line in _table(f"### {_title(cls)}", about(cls), cls)]


def _kinds() -> list[str]:
    lines: list[str] = []
    for cls in dict.fromkeys(kind.ratings for kind in KINDS.values()):
        names = [k for k in KINDS.values() if k.ratings is cls]
        heading = ", ".join(f"`{k.name}`" for k in names)
        lines += _table(f"### {heading}", "", cls)
    return lines


def _terminals() -> list[str]:
    lines = ["| kind | what it is | terminals | letters (iec, asme) |", "| --- | --- | --- | --- |"]
    for kind in KINDS.values():
        known = kind.terminals(kind.ratings())
        named = (
            ", ".join(f"`{name}`" for name in known)
            if known
            else "as the part names them; without a list any"
        )
        lines.append(f"| `{kind.name}` | {kind.title} | {named} | {', '.join(kind.letter)} |")
    return lines


_MADE: dict[str, Callable[[], list[str]]] = {
    "sections": _sections,
    "values": _values,
    "kinds": _kinds,
    "terminals": _terminals,
}


def main() -> None:
    """Make the tables of the page anew in a checkout."""
    path = resources.path(*PAGE)
    path.write_text(filled(path.read_text(encoding="utf-8")), encoding="utf-8")


if __name__ == "__main__":
    main()
