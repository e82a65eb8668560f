"""Short-time temperatures by insulation name, and k."""

import pytest

from harness_studio.standards import adiabatic, insulation
from harness_studio.standards.adiabatic import ShortLimits
from harness_studio.standards.figures import NotJudged


def limits(name: str, area_mm2: float = 1.0) -> ShortLimits:
    found = adiabatic.limits(name, area_mm2)
    assert isinstance(found, ShortLimits)
    return found


@pytest.mark.parametrize("name", insulation.names())
def test_limits_of_every_known_insulation_rise(name: str) -> None:
    found = limits(name)
    assert found.start_c < found.overload_c <= found.short_circuit_c
    assert found.source


def test_a_wire_starts_at_its_own_class() -> None:
    assert (limits("PVC 105").start_c, limits("PVC 105").short_circuit_c) == (105, 160)
    assert (limits("TXL").start_c, limits("TXL").short_circuit_c) == (125, 250)


def test_insulation_without_a_short_circuit_figure_takes_the_overload_limit_from_memory() -> None:
    found = limits("FLR7Y")
    assert (found.start_c, found.short_circuit_c, found.overload_c) == (175, 225, 225)
    assert found.sureness == "memory"
    assert "from memory" in found.source


@pytest.mark.parametrize(("name", "said"), [(None, "not said"), ("", "not said"), ("cloth", "'cloth'")])
def test_unknown_insulation_is_not_judged(name: str | None, said: str) -> None:
    found = adiabatic.limits(name, 1.0)
    assert isinstance(found, NotJudged)
    assert said in found.why


def test_nothing_to_warm_gives_zero() -> None:
    assert adiabatic.k_factor("copper", 160, 160).value == 0
    assert adiabatic.k_factor("copper", 170, 160).value == 0


def test_k_names_law_and_constants() -> None:
    found = adiabatic.k_factor("copper", 70, 160)
    assert (found.table, found.sureness, found.unit) == ("IEC 60949 adiabatic law", "seen2", "A√s/mm²")
    assert "K 226" in found.source
    assert "β 234.5" in found.source


def test_k_follows_from_heat_capacity_and_resistivity() -> None:
    # K² = heat capacity · (β + 20) / resistivity: IEC 60949's own constant from its own material data.
    by_material = (3.45e-3 * (234.5 + 20) / 17.241e-6) ** 0.5
    assert by_material == pytest.approx(226, rel=0.002)


def test_an_unknown_material_is_refused() -> None:
    with pytest.raises(ValueError, match="no figures for conductor material"):
        adiabatic.k_factor("tin", 70, 160)
