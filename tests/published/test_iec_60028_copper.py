"""IEC 60028, international standard of resistance for copper: 58 MS/m, 0.017241 ohm mm²/m, 0.00393 /K at 20 °C.

IEC 60889 for hard-drawn aluminium: 28.264 ohm mm²/km. Constants of IEC 60949: K 226 and 148, beta 234.5 and 228.
"""

import pytest

from harness_studio.standards import materials


def test_copper() -> None:
    copper = materials.material("copper")
    assert 1 / copper.resistivity_ohm_mm2_per_m == pytest.approx(58)
    assert copper.resistivity_ohm_mm2_per_m == pytest.approx(0.017241, abs=5e-7)
    assert (copper.alpha_per_k, copper.adiabatic_k, copper.beta_c) == (0.00393, 226, 234.5)


def test_aluminium() -> None:
    aluminium = materials.material("aluminium")
    assert aluminium.resistivity_ohm_mm2_per_m * 1000 == pytest.approx(28.264)
    assert (aluminium.alpha_per_k, aluminium.adiabatic_k, aluminium.beta_c) == (0.00403, 148, 228)


@pytest.mark.parametrize("name", ["copper", "aluminium"])
def test_coefficient_and_inferred_zero_agree(name: str) -> None:
    # R falls to nothing at -beta in the linear law of both standards: alpha at 20 °C is 1/(beta + 20).
    metal = materials.material(name)
    assert metal.alpha_per_k == pytest.approx(1 / (metal.beta_c + 20), rel=2e-3)
