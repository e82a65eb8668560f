"""Conductor materials."""

import math

import pytest

from harness_studio.standards import materials


def test_copper_is_that_of_iec_60028() -> None:
    # IEC 60028: 1/58 ohm mm2/m and 0.00393 per kelvin at 20 °C
    copper = materials.material("copper")
    assert copper.resistivity_ohm_mm2_per_m == pytest.approx(0.017241, abs=5e-7)
    assert copper.alpha_per_k == 0.00393
    assert (copper.source, copper.sureness) == ("IEC 60028", "seen2")


@pytest.mark.parametrize("name", ["Cu", "COPPER", " copper "])
def test_other_spellings(name: str) -> None:
    assert materials.material(name) == materials.material("copper")


@pytest.mark.parametrize("name", ["copper", "aluminium"])
def test_the_adiabatic_constant_follows_from_the_others(name: str) -> None:
    # IEC 60949: K = sqrt(Qc (beta + 20) / rho20), Qc in J/(K mm3), rho20 in ohm mm
    metal = materials.material(name)
    k = math.sqrt(
        metal.heat_capacity_j_per_k_mm3 * (metal.beta_c + 20) / (metal.resistivity_ohm_mm2_per_m / 1000)
    )
    assert k == pytest.approx(metal.adiabatic_k, rel=0.002)


def test_copper_and_aluminium_have_a_provenance_for_every_figure() -> None:
    metal = materials.material("aluminium")
    assert metal.provenance["density_g_per_cm3"].sureness == "memory"
    assert all(mark.source for mark in metal.provenance.values())


def test_an_unknown_material_is_answered_with_the_known_ones() -> None:
    with pytest.raises(ValueError, match="copper, aluminium"):
        materials.material("unobtainium")
