"""What a wire is made of, as a KBL file's General_wire and Core say it: size, colours, insulation, metal."""

from __future__ import annotations

import re
from dataclasses import dataclass, field

from harness_studio.standards import colours

from .kbl_context import Context
from .kbl_index import described, named, said
from .kbl_units import Quantified
from .xml_tree import Element

_BASE = frozenset({"grundfarbe", "base", "base colour", "base color", "basecolor", "basecolour", "main"})
_NO_COLOUR = frozenset({"", "nd", "-", "none", "ohne", "n/a", "undefined"})
_ALUMINIUM = frozenset({"al", "alu", "aluminium", "aluminum"})
_COPPER = frozenset({"cu", "copper", "kupfer"})
_SHIELD = re.compile(r"shield|screen|schirm|drain|beilauf|braid", re.I)
_TWISTED = re.compile(r"twist|verdrill", re.I)


@dataclass(frozen=True, slots=True)
class WirePart:
    """What all wires of one part number, or all cores of one kind, have in common."""

    area: Quantified | None = None
    colour_text: str = ""
    colour: str | None = None
    insulation: str | None = None
    material: str = "copper"
    shield: bool = False
    twisted: bool = False
    notes: tuple[str, ...] = field(default=())


class WireParts:
    """Reads each wire part once, so that each doubt is told once."""

    def __init__(self, context: Context) -> None:
        self._context = context
        self._known: dict[Element, WirePart] = {}

    def of(self, element: Element | None, cable: Element | None = None) -> WirePart:
        """Return what a General_wire or a Core is; `cable` is the General_wire around a core."""
        if element is None:
            return WirePart()
        if element not in self._known:
            self._known[element] = self._read(element, cable)
        return self._known[element]

    def _read(self, element: Element, cable: Element | None) -> WirePart:
        area = self._context.units.area_mm2(element.first("Cross_section_area"))
        colour_text, colour = self._colour(element)
        insulation = said(element, "Cable_designator") or said(cable, "Cable_designator")
        metal = self._material(element, insulation) or (self._material(cable, None) if cable else None)
        unread = colour is None and colour_text.lower() not in _NO_COLOUR
        notes = [f"colour '{colour_text}' in the file"] if unread else []
        if area is not None and area.value is None and area.awg is None:
            notes.append(f"cross section {area} in the file")
        words = " ".join(
            t
            for t in (said(element, "Id"), said(element, "Wire_type"), said(element, "Cable_designator"))
            if t
        )
        return WirePart(
            area=area,
            colour_text=colour_text,
            colour=colour,
            insulation=insulation,
            material=metal or "copper",
            shield=bool(_SHIELD.search(words)) and cable is not None,
            twisted=bool(_TWISTED.search(f"{words} {described(element) or ''}")),
            notes=tuple(notes),
        )

    def _colour(self, element: Element) -> tuple[str, str | None]:
        """Return the colour as the file has it, base first, and its IEC 60757 codes, None where they are not known."""
        entries = element.all("Cover_colour") or element.all("Core_colour")
        ranked = sorted(entries, key=lambda e: (said(e, "Colour_type") or "").lower() not in _BASE)
        values = [v for e in ranked if (v := said(e, "Colour_value"))]
        text = "/".join(values)
        coloured = [v for v in values if v.lower() not in _NO_COLOUR]
        if not coloured:
            return text, None
        codes = colours.german("/".join(coloured))
        if codes is None:
            self._context.report.warn(
                entries[0],
                f"colour '{text}' of {named(element)} is no code that is known; it is kept as a note",
            )
        return text, colours.text(codes) if codes else None

    def _material(self, element: Element, insulation: str | None) -> str | None:
        """Return the conductor's metal where the file says it.

        Cable letters that begin with FLAL are taken as aluminium (common practice, no source).
        """
        key = (said(element.first("Material_information"), "Material_key") or "").lower()
        if key in _ALUMINIUM or (insulation or "").upper().startswith("FLAL"):
            return "aluminium"
        if key in _COPPER:
            return "copper"
        if key:
            self._context.report.warn(
                element,
                f"material '{key}' of {named(element)} is no conductor metal that is known; copper is assumed",
            )
        return None
