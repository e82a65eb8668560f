"""Insulation names → temperature classes."""

import pytest

from harness_studio.standards import insulation


@pytest.mark.parametrize(
    ("letter", "max_c"),
    [("A", 85), ("B", 100), ("C", 125), ("D", 150), ("E", 175), ("F", 200), ("G", 225), ("H", 250)],
)
def test_classes_of_iso_6722(letter: str, max_c: float) -> None:
    # ISO 6722-1 classes, read in one summary (seen1)
    found = insulation.temperature_class(f"class {letter}")
    assert found is not None
    assert (found.letter, found.max_c, found.min_c) == (letter, max_c, -40)


@pytest.mark.parametrize(
    ("name", "max_c"), [("GPT", 85), ("TXL", 125), ("gxl", 125), (" sxl ", 125), ("SGX", 125)]
)
def test_types_of_sae_j1128(name: str, max_c: float) -> None:
    # SAE J1128 types, from a trade article (seen1)
    found = insulation.temperature_class(name)
    assert found is not None
    assert (found.max_c, found.sureness) == (max_c, "seen1")


@pytest.mark.parametrize("name", ["PVC 105", "pvc105", "PVC 105 °C", "pvc  105 deg C"])
def test_a_stated_temperature_counts(name: str) -> None:
    found = insulation.temperature_class(name)
    assert found is not None
    assert found.max_c == 105


def test_pvc_alone_takes_the_lowest_pvc_class() -> None:
    found = insulation.temperature_class("PVC")
    assert found is not None
    assert found.max_c == min(
        other.max_c
        for name in insulation.names()
        if (other := insulation.temperature_class(name)) and other.material == "PVC"
    )


@pytest.mark.parametrize("name", ["M22759/32", "AS22759/32", "MIL-W-22759/32", "SAE AS22759/32"])
def test_ways_to_write_an_aerospace_wire(name: str) -> None:
    found = insulation.temperature_class(name)
    assert found is not None
    assert found.name == "AS22759/32"


@pytest.mark.parametrize("name", ["FLRY-B", "FLR7Y", "ETFE", "AVSS"])
def test_a_class_from_memory_says_so(name: str) -> None:
    found = insulation.temperature_class(name)
    assert found is not None
    assert found.sureness == "memory"
    assert "from memory" in found.source


@pytest.mark.parametrize("name", ["", "cloth", "class J", "TXL2", "unknown"])
def test_an_unknown_name_has_no_class(name: str) -> None:
    assert insulation.temperature_class(name) is None


def test_every_name_is_found_under_itself() -> None:
    for name in insulation.names():
        found = insulation.temperature_class(name)
        assert found is not None, name
        assert found.name == name
        assert 40 <= found.max_c <= 300
