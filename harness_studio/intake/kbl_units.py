"""Quantities with the units that the file defines: looked up for every value, never assumed."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

from harness_studio.base.units import normal_awg, number

from .kbl_index import Index, Report, named, said
from .xml_tree import Element

Quantity = Literal["length", "area", "current", "awg", "other"]

_PREFIX = {"": 1.0, "micro": 1e-6, "milli": 1e-3, "centi": 1e-2, "kilo": 1e3}
_SI: dict[str, tuple[Quantity, float]] = {
    "metre": ("length", 1e3),
    "meter": ("length", 1e3),
    "ampere": ("current", 1.0),
    "gram": ("other", 1.0),
}
"""Base units as millimetres and amperes."""
_SPELLED: dict[str, tuple[Quantity, float]] = {
    **dict.fromkeys(("mm", "millimetre", "millimeter"), ("length", 1.0)),
    **dict.fromkeys(("cm", "centimetre", "centimeter"), ("length", 10.0)),
    **dict.fromkeys(("m", "metre", "meter"), ("length", 1000.0)),
    **dict.fromkeys(("in", "inch", "inches", "zoll", '"'), ("length", 25.4)),
    **dict.fromkeys(("ft", "foot", "feet"), ("length", 304.8)),
    **dict.fromkeys(
        ("mm2", "mm²", "mm^2", "sqmm", "qmm", "squaremillimetre", "squaremillimeter", "millimetresquare"),
        ("area", 1.0),
    ),
    **dict.fromkeys(("in2", "in²", "in^2", "sqin", "squareinch"), ("area", 645.16)),
    **dict.fromkeys(("a", "amp", "amps", "ampere", "amperes"), ("current", 1.0)),
    **dict.fromkeys(("awg", "americanwiregauge"), ("awg", 1.0)),
    **dict.fromkeys(("g", "kg", "gram", "kilogram", "grampermetre", "grampermeter"), ("other", 1.0)),
}
"""Units by name, without spaces and in lower case, as millimetres, mm² and amperes. An inch is 25.4 mm exactly."""


@dataclass(frozen=True, slots=True)
class Quantified:
    """A value as the file has it, and in our unit; `value` is None where the unit leaves it unsure."""

    text: str
    value: float | None = None
    awg: str | None = None
    unit: str = ""

    def __str__(self) -> str:
        return f"{self.text} {self.unit}".strip()


class Units:
    """Reads values through the units of the file."""

    def __init__(self, index: Index, report: Report) -> None:
        self._index = index
        self._report = report

    def length_mm(self, value: Element | None) -> Quantified | None:
        """Return a length in mm, 0 or more; None where there is no value."""
        return self._read(value, "length")

    def area_mm2(self, value: Element | None) -> Quantified | None:
        """Return a cross section in mm², above 0, or as an AWG number."""
        found = self._read(value, "area")
        if found is not None and found.value == 0 and value is not None:
            self._report.warn(value, f"a cross section of {found} is left out; wanted is one above 0")
            return Quantified(found.text, unit=found.unit)
        return found

    def current_a(self, value: Element | None) -> Quantified | None:
        """Return a current in A."""
        return self._read(value, "current")

    def range_mm2(self, value: Element | None) -> tuple[float, float] | None:
        """Return a range of cross sections in mm², or None."""
        if value is None:
            return None
        least, most = (self._with_unit(value, name, "area") for name in ("Minimum", "Maximum"))
        if not least or not most or least.value is None or most.value is None:
            return None
        return (least.value, most.value) if least.value <= most.value else (most.value, least.value)

    def _read(self, value: Element | None, wanted: Quantity) -> Quantified | None:
        return None if value is None else self._with_unit(value, "Value_component", wanted)

    def _with_unit(self, value: Element, name: str, wanted: Quantity) -> Quantified | None:
        text = said(value, name)
        if text is None:
            return None
        unit = self._index.ref(value, "Unit_component", "Unit")
        if unit is None:
            self._report.warn(
                value, f"{text} in {named(value)} has no unit that the file defines; it is only noted"
            )
            return Quantified(text)
        shown, factor = self._factor(unit, value, wanted)
        plain = Quantified(text, unit=shown)
        if wanted == "area" and self._meaning(unit)[0] == "awg":
            return self._awg(plain, value)
        if factor is None:
            return plain
        try:
            amount = number(text) * factor
        except ValueError:
            self._report.warn(value, f"'{text}' in {named(value)} is not a number")
            return plain
        if not math.isfinite(amount) or amount < 0:
            self._report.warn(value, f"{plain} in {named(value)} is left out; wanted is a number not below 0")
            return plain
        return Quantified(text, round(amount, 9), unit=shown)

    def _awg(self, plain: Quantified, value: Element) -> Quantified:
        try:
            return Quantified(plain.text, awg=normal_awg(plain.text), unit=plain.unit)
        except ValueError as error:
            self._report.warn(value, str(error))
            return plain

    def _factor(self, unit: Element, value: Element, wanted: Quantity) -> tuple[str, float | None]:
        """Return the unit in words and what a value in it is times to be in ours, None where that is unsure."""
        quantity, factor, shown = self._meaning(unit)
        if quantity == wanted or (wanted == "area" and quantity == "awg"):
            return shown, factor
        if wanted == "area" and quantity == "length" and factor == 1.0:
            self._report.warn(unit, f"{named(unit)} is mm and used for a cross section: it is read as mm²")
            return "mm²", 1.0
        what = f"is not known ({shown})" if quantity is None else f"({shown}) is not one of {wanted}"
        self._report.warn(
            value, f"the unit of {named(value)}, {named(unit)}, {what}; its value is only noted"
        )
        return shown, None

    def _meaning(self, unit: Element) -> tuple[Quantity | None, float, str]:
        """Return (quantity, factor to mm, mm² or A, the unit in words); quantity None for an unknown unit."""
        spelled = said(unit, "Unit_name")
        by_name = _SPELLED.get(_bare(spelled)) if spelled else None
        si_name = said(unit, "Si_unit_name")
        if si_name is None:
            return (*by_name, spelled or "") if by_name else (None, 1.0, spelled or "without a name")
        by_si, shown = _si(si_name, said(unit, "Si_prefix") or "", said(unit, "Si_dimension") or "")
        if by_si is None:
            return None, 1.0, shown
        if by_name and by_name != by_si:
            return None, 1.0, f"called '{spelled}' and defined as {shown}"
        return (*by_si, shown)


def _bare(text: str) -> str:
    return "".join(text.lower().replace("_", "").replace("-", "").split())


def _si(name: str, prefix: str, dimension: str) -> tuple[tuple[Quantity, float] | None, str]:
    """Return (quantity, factor) of an SI unit, None if it is none that is known, and the unit in words."""
    shown = " ".join(p for p in (dimension, prefix + name) if p)
    name, prefix, dimension = (t.lower() for t in (name, prefix, dimension))
    if name.startswith("square ") and not dimension:  # before the format knew Si_dimension
        name, dimension = name.removeprefix("square "), "square"
    if name not in _SI or prefix not in _PREFIX:
        return None, shown
    quantity, base = _SI[name]
    factor = base * _PREFIX[prefix]
    if not dimension:
        return (quantity, factor), shown
    if dimension == "square" and quantity == "length":
        return ("area", factor * factor), shown
    return ("other", 1.0), shown
