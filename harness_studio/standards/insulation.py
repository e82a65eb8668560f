"""Wire insulation: the name on the wire → its temperature class."""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import cache

from harness_studio.standards import provenance, tables


@dataclass(frozen=True, slots=True)
class InsulationClass:
    """What an insulation bears continuously.

    `max_c` and `min_c` are conductor temperatures in °C; `letter` is the class of ISO 6722-1 where the name belongs
    to one.
    """

    name: str
    material: str | None
    letter: str | None
    min_c: float
    max_c: float
    source: str
    sureness: str


@cache
def temperature_class(name: str) -> InsulationClass | None:
    """Return the temperature class of an insulation name, or None if it is not known.

    Case, spaces and a trailing '°C' do not matter: 'txl', 'PVC 105 °C', 'class B', 'M22759/32' are read.
    """
    data = tables.load("insulation.yaml")
    key = _normal(name)
    letters: dict[str, float] = data["classes"]["max_c"]
    min_c = float(data["classes"]["min_c"])
    letter = re.fullmatch(r"(?:ISO 6722(?:-1)? )?CLASS ([A-H])", key)
    if letter:
        mark = provenance.of(data["classes"])
        found = letter[1]
        return InsulationClass(key, None, found, min_c, float(letters[found]), mark.source, mark.sureness)
    row = data["names"].get(key)
    if row is None:
        return None
    mark = provenance.of(row)
    known_letter = row.get("class")
    max_c = float(letters[known_letter] if known_letter else row["max_c"])
    return InsulationClass(key, row["material"], known_letter, min_c, max_c, mark.source, mark.sureness)


def names() -> tuple[str, ...]:
    """Return the insulation names that have a class."""
    return tuple(tables.load("insulation.yaml")["names"])


def _normal(name: str) -> str:
    text = re.sub(r"[\s_]+", " ", name.strip().upper())
    text = re.sub(r"\s*(?:°\s*C|DEG C)$", "", text)
    text = re.sub(r"^([A-Z]+?)(\d{2,3})$", r"\1 \2", text) if text.startswith("PVC") else text
    return re.sub(r"^(?:SAE |MIL-W-|MIL-DTL-)?(?:AS|M)?(?=22759/)", "AS", text)
