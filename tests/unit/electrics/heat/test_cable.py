"""The wire as heat sees it."""

import pytest

from harness_studio.electrics.heat.cable import Cable


def test_everything_is_read_from_the_tables() -> None:
    cable = Cable(2.5, "FLY")
    assert (cable.conductor.value_mm, cable.outer.value_mm, cable.limit_c) == (2.2, 3.6, 70)
    assert cable.resistance.value == pytest.approx(0.0076)
    assert cable.resistance.method == "table"
    assert cable.alpha_per_k == 0.00393
    assert cable.insulation_class is not None


def test_a_given_resistance_counts() -> None:
    found = Cable(2.5, "FLY", ohm_per_m_20c=0.009).resistance
    assert (found.value, found.source) == (0.009, "resistance as given")


@pytest.mark.parametrize("name", [None, "", "cloth"])
def test_an_unknown_insulation_has_no_limit(name: str | None) -> None:
    assert Cable(2.5, name).limit_c is None
    assert Cable(2.5, name).insulation_class is None
