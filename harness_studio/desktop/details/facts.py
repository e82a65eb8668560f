"""What the details page says beside the fields: what is selected, what is solved of it, its wires with links."""

from __future__ import annotations

from collections.abc import Sequence
from html import escape
from typing import TYPE_CHECKING

from harness_studio.base.changes import Ref
from harness_studio.diagram.live import live_facts
from harness_studio.diagram.words import counted
from harness_studio.drawing import looks
from harness_studio.drawing.theme import Theme
from harness_studio.editing.change import WORD
from harness_studio.model.entities import Wire
from harness_studio.model.harness import Harness
from harness_studio.placing.links import owner

if TYPE_CHECKING:
    from harness_studio.session.session import Session

NOTHING = "Select something on the diagram, or find it with Ctrl+F."
MANY = 40
"""Wires that are listed; of more only the number is told."""
FEW = 8
"""Selected things that are named; of more only the number is told."""
_OTHER_SECTIONS = ("runs", "breakouts", "zones", "multicores", "modes")


def wires_of(harness: Harness, thing: str) -> list[Wire]:
    """Return the wires that end at a thing."""
    return [
        w
        for w in harness.wires.values()
        # Most ends are elsewhere; the text tells that sooner than its parts.
        if any(e.point is not None and thing in e.point and owner(e.point) == thing for e in w.ends)
    ]


def head(harness: Harness, ids: Sequence[str], theme: Theme) -> str:
    """Return what is selected as HTML: what it is called, and what it is; of several things a link to each."""
    muted = theme.colour("muted").name()
    if not ids:
        return f'<p style="color:{muted}">{escape(NOTHING)}</p>'
    if len(ids) > 1:
        items = "".join(f"<div>{link(i, harness.title_of(i), theme)}</div>" for i in ids[:FEW])
        more = f"<div>and {len(ids) - FEW} more</div>" if len(ids) > FEW else ""
        return f"<h3>{counted(len(ids), 'thing')} selected</h3>{items}{more}"
    return f'<h3>{escape(harness.title_of(ids[0]))}</h3><p style="color:{muted}">{escape(about(harness, ids[0]))}</p>'


def about(harness: Harness, thing: str) -> str:
    """Return in a few words what a thing is."""
    ref = ref_of(harness, thing)
    if ref is None:
        return ""
    entity = harness.tables[ref[0]][thing]
    if ref[0] == "wires":
        return f"wire, {looks.colour_words(entity)}, {looks.size_words(entity)}"
    if ref[0] == "parts":
        return str(entity.about.title)
    if ref[0] == "halves":
        names = entity.cavity_names()
        return f"connector half, {counted(len(names), 'cavity', 'cavities')}" if names else "connector half"
    return WORD.get(ref[0], ref[0])


def ref_of(harness: Harness, thing: str) -> Ref | None:
    """Return where an id stands: among what has points first, then in the other sections."""
    section = harness.section_of(thing)
    if section is None:
        section = next((s for s in _OTHER_SECTIONS if thing in harness.tables[s]), None)
    return (section, thing) if section else None


def present(session: Session, ids: Sequence[str], theme: Theme) -> str:
    """Return what is solved of one selected thing, and its wires, as HTML."""
    if len(ids) != 1 or session.harness.section_of(ids[0]) is None:
        return ""
    live = live_facts(session, ids[0])
    now = f"<h4>now</h4>{_table(live, theme)}" if live else ""
    return now + _wires(session.harness, ids[0], theme)


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
    to = link(far, str(there), theme) if far is not None else escape(str(there))
    colour = escape(wire.colour or "?")
    cell = '<td style="padding:3px 8px 3px 0">'
    return (
        f"<tr>{cell}{link(wire.id, wire.id, theme)}</td>{cell}{swatch} {colour}</td>"
        f"{cell}{escape(looks.size_words(wire))}</td>{cell}{escape(str(here))} to {to}</td></tr>"
    )


def link(thing: str, words: str, theme: Theme) -> str:
    """Return a link to a thing."""
    colour = theme.colour("accent").name()
    return f'<a href="thing:{escape(thing)}" style="color:{colour}; text-decoration:none">{escape(words)}</a>'
