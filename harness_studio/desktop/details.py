"""The details page: what is known of the selected thing, with its wires; links lead from one thing to the next."""

from __future__ import annotations

import dataclasses
from collections.abc import Iterator, Mapping
from html import escape
from typing import TYPE_CHECKING, Any

from PySide6.QtCore import QUrl, Signal
from PySide6.QtWidgets import QTextBrowser, QVBoxLayout, QWidget

from harness_studio.diagram.live import live_facts
from harness_studio.diagram.words import counted
from harness_studio.drawing import fonts, looks
from harness_studio.drawing.theme import Theme, light
from harness_studio.model.entities import Wire
from harness_studio.model.harness import Harness
from harness_studio.placing.links import owner

if TYPE_CHECKING:
    from harness_studio.session.session import Session

NOTHING = "Select something on the diagram, or find it with Ctrl+F."
MANY = 40
"""Wires that are listed; of more only the number is told."""
_LEFT_OUT = frozenset(
    {"id", "title", "ratings", "kind", "ends", "colour", "area_mm2", "awg", "cavities", "face", "stack"}
)
_UNITS = {
    "mm": "mm",
    "mm2": "mm²",
    "mohm": "mΩ",
    "ohm": "Ω",
    "a": "A",
    "v": "V",
    "w": "W",
    "ah": "Ah",
    "c": "°C",
}
_SECTION = {
    "parts": "part", "halves": "connector half", "splices": "splice", "grounds": "ground", "bodies": "body",
    "wires": "wire", "bonds": "stray bond",
}  # fmt: skip


def facts(harness: Harness, thing: str) -> list[tuple[str, str]]:
    """Return (name, value) of what is known of a thing, in words with units."""
    section = harness.section_of(thing)
    if section is None:
        return []
    entity = harness.tables[section][thing]
    found: list[tuple[str, str]] = []
    if section == "wires":
        found += [("from", str(entity.ends[0])), ("to", str(entity.ends[1]))]
        found += [("colour", looks.colour_words(entity)), ("size", looks.size_words(entity))]
    if section == "parts":
        found.append(("kind", entity.about.title))
        found += list(_fields(entity.ratings))
    if section == "grounds" and entity.stack:
        found.append(("stack", "metal, " + ", ".join(" with ".join(ring) for ring in entity.stack)))
    if section == "halves":
        names = entity.cavity_names()
        found.append(("cavities", f"{len(names)}: {', '.join(names)}" if names else "not known"))
        found += [(f"cavity {n}", c.function) for n, c in entity.cavities.items() if c.function]
    return found + list(_fields(entity))


def _fields(entity: Any) -> Iterator[tuple[str, str]]:
    for f in dataclasses.fields(entity):
        value = getattr(entity, f.name)
        if f.name in _LEFT_OUT or value in (None, (), False) or (isinstance(value, Mapping) and not value):
            continue
        if value == f.default and not isinstance(value, str | int | float):
            continue
        yield _named(f.name), _said(f.name, value)


def _named(name: str) -> str:
    words = name.split("_")
    return " ".join(words[:-1] if len(words) > 1 and words[-1] in _UNITS else words)


def _said(name: str, value: Any) -> str:
    unit = _UNITS.get(name.rpartition("_")[2]) if "_" in name else None
    text = _value(value)
    return f"{text} {unit}" if unit and text else text


def _value(value: Any) -> str:
    if value is True:
        return "yes"
    if isinstance(value, float):
        return f"{value:g}"
    if isinstance(value, Mapping):
        return ", ".join(f"{k} {_value(v)}".strip() for k, v in value.items())
    if isinstance(value, tuple | list):
        return ", ".join(_value(v) for v in value)
    if dataclasses.is_dataclass(value) and not isinstance(value, type):
        text = str(value)
        if not text.startswith(type(value).__name__):
            return text
        return ", ".join(f"{n} {v}" for n, v in _fields(value))
    return "" if value is None else str(value)


def wires_of(harness: Harness, thing: str) -> list[Wire]:
    """Return the wires that end at a thing."""
    return [
        w
        for w in harness.wires.values()
        if any(e.point is not None and owner(e.point) == thing for e in w.ends)
    ]


def page(session: Session, theme: Theme) -> str:
    """Return the page for the selection of a session as HTML."""
    harness, ids = session.harness, sorted(session.selection)
    if not ids:
        return f'<p style="color:{theme.colour("muted").name()}">{escape(NOTHING)}</p>'
    if len(ids) > 1:
        items = "".join(f"<p>{_link(i, harness.title_of(i), theme)}</p>" for i in ids[:MANY])
        more = f"<p>and {len(ids) - MANY} more</p>" if len(ids) > MANY else ""
        return f"<h3>{counted(len(ids), 'thing')} selected</h3>{items}{more}"
    thing = ids[0]
    section = harness.section_of(thing)
    if section is None:
        return f"<p>{escape(thing)}</p>"
    muted = theme.colour("muted").name()
    head = f'<h3>{escape(harness.title_of(thing))}</h3><p style="color:{muted}">{_SECTION[section]}</p>'
    live = live_facts(session, thing)
    present = f"<h4>now</h4>{_table(live, theme)}" if live else ""
    return head + _table(facts(harness, thing), theme) + present + _wires(harness, thing, theme)


def _table(rows: list[tuple[str, str]], theme: Theme) -> str:
    muted = theme.colour("muted").name()
    cells = "".join(
        f'<tr><td style="color:{muted}; padding:2px 14px 2px 0">{escape(name)}</td>'
        f'<td style="padding:2px 0">{escape(value)}</td></tr>'
        for name, value in rows
        if value
    )
    return f"<table>{cells}</table>"


def _wires(harness: Harness, thing: str, theme: Theme) -> str:
    found = wires_of(harness, thing)
    if not found:
        return ""
    rows = "".join(_wire_row(harness, wire, thing, theme) for wire in found[:MANY])
    more = f"<p>and {len(found) - MANY} more</p>" if len(found) > MANY else ""
    return f"<h4>{counted(len(found), 'wire')}</h4><table>{rows}</table>{more}"


def _wire_row(harness: Harness, wire: Wire, thing: str, theme: Theme) -> str:
    near = next((i for i, e in enumerate(wire.ends) if e.point is not None and owner(e.point) == thing), 0)
    here, there = wire.ends[near], wire.ends[1 - near]
    codes = looks.codes(wire)
    tones = [theme.colour(code).name() for code in codes]
    swatch = "".join(f'<span style="background-color:{t}; color:{t}">&nbsp;&nbsp;</span>' for t in tones)
    far = owner(there.point) if there.point is not None else None
    to = _link(far, str(there), theme) if far is not None else escape(str(there))
    colour = escape(wire.colour or "?")
    cell = '<td style="padding:3px 8px 3px 0">'
    return (
        f"<tr>{cell}{_link(wire.id, wire.id, theme)}</td>{cell}{swatch} {colour}</td>"
        f"{cell}{escape(looks.size_words(wire))}</td>{cell}{escape(str(here))} to {to}</td></tr>"
    )


def _link(thing: str, words: str, theme: Theme) -> str:
    colour = theme.colour("accent").name()
    return f'<a href="thing:{escape(thing)}" style="color:{colour}; text-decoration:none">{escape(words)}</a>'


class Details(QWidget):
    """The page. `picked` names the thing of a link that was pressed."""

    picked = Signal(str)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.theme: Theme = light()
        self.text = QTextBrowser(self)
        self.text.setOpenLinks(False)
        self.text.setFont(fonts.font(fonts.TEXT_PX))
        self.text.setAccessibleName("Details of what is selected")
        self.text.anchorClicked.connect(self._followed)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(14, 8, 14, 8)
        layout.addWidget(self.text)

    def show_session(self, session: Session) -> None:
        """Show what is selected in a session."""
        self.text.setHtml(page(session, self.theme))

    def _followed(self, url: QUrl) -> None:
        self.picked.emit(url.toString().removeprefix("thing:"))
