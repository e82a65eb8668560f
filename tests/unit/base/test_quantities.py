"""Readings as people type them."""

import pytest

from harness_studio.base.quantities import quantity


@pytest.mark.parametrize(
    ("text", "unit", "wanted"),
    [
        ("0.405", "V", 0.405),
        ("405 mV", "V", 0.405),
        ("405mV", "V", 0.405),
        ("−12,6 V", "V", -12.6),
        ("44 A", "A", 44.0),
        ("180 mA", "A", 0.18),
        ("6", "mV", 6.0),
        ("0.006 V", "mV", 6.0),
        ("70 mΩ", "Ω", 0.07),
        ("1.2 kohm", "Ω", 1200.0),
    ],
)
def test_numbers_with_and_without_their_unit(text: str, unit: str, wanted: float) -> None:
    assert quantity(text, unit) == pytest.approx(wanted)


@pytest.mark.parametrize("text", ["", "abc", "1.2.3", "12 W", "3 A", "1e999"])
def test_what_is_no_voltage_is_told(text: str) -> None:
    with pytest.raises(ValueError, match="not"):
        quantity(text, "V")
