"""The wire as heat sees it, and what is around it."""

from __future__ import annotations

from dataclasses import dataclass

from harness_studio.standards import cables, materials, wires
from harness_studio.standards.insulation import InsulationClass, temperature_class


@dataclass(frozen=True, slots=True)
class Cable:
    """A single-core wire by size and insulation; everything else is read from the tables.

    `ohm_per_m_20c` overrides the table's resistance where another table is in use.
    """

    area_mm2: float
    insulation: str | None = None
    material: str = "copper"
    ohm_per_m_20c: float | None = None

    @property
    def limit_c(self) -> float | None:
        """What the insulation bears continuously in °C; None if it is not known."""
        found = self.insulation_class
        return found.max_c if found else None

    @property
    def insulation_class(self) -> InsulationClass | None:
        """The insulation's temperature class with its source; None if it is not known."""
        return temperature_class(self.insulation) if self.insulation else None

    @property
    def conductor(self) -> cables.DiameterFigure:
        """Diameter of the conductor."""
        return cables.conductor(self.area_mm2)

    @property
    def outer(self) -> cables.DiameterFigure:
        """Diameter of the insulation."""
        return cables.outer(self.area_mm2, self.insulation)

    @property
    def resistance(self) -> wires.WireFigure:
        """Ohms per metre at 20 °C."""
        if self.ohm_per_m_20c is not None:
            return wires.WireFigure(self.ohm_per_m_20c, "resistance as given", "computed", "computed")
        return wires.resistance_per_m_ohm(self.area_mm2, self.material)

    @property
    def alpha_per_k(self) -> float:
        """Temperature coefficient of the resistance at 20 °C."""
        return materials.material(self.material).alpha_per_k


@dataclass(frozen=True, slots=True)
class Around:
    """What is around a wire.

    `in_run` counts the wires that share its run, with itself; `share` is the part of the run's capacity that is used
    (`bundles.used_share`).
    """

    ambient_c: float = 20.0
    in_run: int = 1
    share: float = 1.0
    altitude_m: float = 0.0
