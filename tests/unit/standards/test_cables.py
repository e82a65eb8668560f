"""Diameters of cables by size and insulation."""

import math

import pytest

from harness_studio.standards import cables, insulation, tables, wires


@pytest.mark.parametrize(("area_mm2", "mm"), [(1, 1.5), (1.5, 1.8), (2.5, 2.2), (10, 4.5), (120, 16.5)])
def test_conductor_diameters_of_the_table(area_mm2: float, mm: float) -> None:
    # DIN ISO 6722 part 3, tabulated in an automotive handbook (seen1)
    found = cables.conductor(area_mm2)
    assert (found.value_mm, found.sureness, found.method, found.note) == (mm, "seen1", "table", "")


@pytest.mark.parametrize(
    ("insulation", "area_mm2", "mm"),
    [
        ("FLY", 1, 2.7),  # DIN ISO 6722 part 3, thick wall (seen1)
        ("FLY", 35, 11.6),
        ("FLRY-B", 0.5, 1.7),  # thin wall, trade figure (seen1)
        ("txl", 6, 4.3),
        ("GXL", wires.area_from_awg_mm2("16"), 3.0),  # SAE J1128 GXL, trade figure (seen1)
        ("gxl", wires.area_from_awg_mm2("8"), 5.9),
    ],
)
def test_outer_diameters_of_the_tables(insulation: str, area_mm2: float, mm: float) -> None:
    found = cables.outer(area_mm2, insulation)
    assert (found.value_mm, found.sureness, found.method, found.note) == (mm, "seen1", "table", "")
    assert cables.outer_mm(area_mm2, insulation) == mm


def test_a_small_size_says_that_it_is_from_memory() -> None:
    found = cables.conductor(0.35)
    assert found.sureness == "memory"
    assert "from memory" in found.source


def test_between_two_sizes_the_line_is_straight_in_log_log_paper() -> None:
    found = cables.conductor(math.sqrt(1.5 * 2.5))
    assert found.value_mm == pytest.approx(math.sqrt(1.8 * 2.2))
    assert found.method == "computed"
    assert "between" in found.note


def test_a_line_between_a_seen_and_a_remembered_size_is_remembered() -> None:
    found = cables.outer(12, "FLRY")
    assert found.sureness == "memory"
    assert "seen on a supplier's page" in found.source
    assert "from memory" in found.source


def test_beyond_the_table_the_line_goes_on_and_says_so() -> None:
    found = cables.outer(240, "FLY")
    assert found.value_mm > 19.7
    assert "beyond" in found.note


@pytest.mark.parametrize("name", [None, "cloth", "PVC", "ETFE"])
def test_an_unknown_wall_is_taken_as_thin(name: str | None) -> None:
    found = cables.outer(2.5, name)
    assert found.value_mm == 3.0
    assert "thin wall taken" in found.note


def test_sxl_says_whose_wall_it_takes() -> None:
    assert "GXL wall" in cables.outer(2.5, "SXL").note


@pytest.mark.parametrize("name", [None, "FLRY", "FLY", "GXL"])
def test_a_cable_is_thicker_than_its_conductor_and_grows_with_its_size(name: str | None) -> None:
    areas = [0.05 * 1.1**i for i in range(100)]
    conductors = [cables.conductor_mm(a) for a in areas]
    outers = [cables.outer_mm(a, name) for a in areas]
    assert conductors == sorted(conductors)
    assert outers == sorted(outers)
    assert all(outer > inner for inner, outer in zip(conductors, outers, strict=True))
    assert all(math.pi / 4 * inner**2 > area for inner, area in zip(conductors, areas, strict=True))


def test_walls_are_those_of_insulation_names() -> None:
    walls = tables.load("cable_sizes.yaml")["walls"]
    named = [name for wall in walls.values() for name in wall["names"]]
    assert len(named) == len(set(named))
    assert set(named) <= set(insulation.names())


@pytest.mark.parametrize("area_mm2", [0.0, -1.0, math.nan, math.inf])
def test_no_area_no_diameter(area_mm2: float) -> None:
    with pytest.raises(ValueError, match="above 0"):
        cables.conductor(area_mm2)
    with pytest.raises(ValueError, match="above 0"):
        cables.outer(area_mm2, "FLY")
