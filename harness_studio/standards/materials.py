"""Conductor materials."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from fractions import Fraction
from functools import cache
from types import MappingProxyType

from harness_studio.standards import provenance, tables
from harness_studio.standards.provenance import Provenance

_ALIASES = {"cu": "copper", "al": "aluminium", "alu": "aluminium", "aluminum": "aluminium"}


@dataclass(frozen=True, slots=True)
class Material:
    """A conductor material at 20 °C.

    `source` and `sureness` are those of the resistivity; `provenance` has them for every figure by field name.
    Resistivity and its temperature coefficient give R(T) = R20 (1 + alpha (T - 20 °C)); `beta_c` and `adiabatic_k`
    are the constants of the adiabatic law of IEC 60949, I = K S sqrt(ln((T_f + beta)/(T_i + beta)) / t) in A, mm²
    and s.
    """

    name: str
    resistivity_ohm_mm2_per_m: float
    alpha_per_k: float
    density_g_per_cm3: float
    heat_capacity_j_per_k_mm3: float
    beta_c: float
    adiabatic_k: float
    melting_c: float
    source: str
    sureness: str
    provenance: Mapping[str, Provenance] = field(hash=False, compare=False)


@cache
def material(name: str) -> Material:
    """Return a conductor material by name ('copper', 'Cu', 'aluminium').

    Raises
    ------
    ValueError
        If the material is not in the data; the message names those that are.
    """
    known = tables.load("materials.yaml")
    key = name.strip().lower()
    key = _ALIASES.get(key, key)
    if key not in known:
        raise ValueError(f"no figures for conductor material '{name}'; known: {', '.join(known)}")
    rows = known[key]
    marks = {figure: provenance.of(row) for figure, row in rows.items()}
    return Material(
        name=key,
        **{figure: float(Fraction(str(row["value"]))) for figure, row in rows.items()},
        source=marks["resistivity_ohm_mm2_per_m"].source,
        sureness=marks["resistivity_ohm_mm2_per_m"].sureness,
        provenance=MappingProxyType(marks),
    )
