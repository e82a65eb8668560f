"""Reading the handbook tables: rows, columns, air, bundles, and what a table cannot say."""

import pytest

from harness_studio.standards import ampacity, wires
from harness_studio.standards.figures import Figure, NotJudged


def figure(*args: float | str, **named: float) -> Figure:
    found = ampacity.rating(*args, **named)  # type: ignore[arg-type]
    assert isinstance(found, Figure), found
    return found


def why(*args: float | str, **named: float) -> str:
    found = ampacity.rating(*args, **named)  # type: ignore[arg-type]
    assert isinstance(found, NotJudged), found
    return found.why


def test_a_size_between_two_rows_counts_as_the_smaller() -> None:
    found = figure("cfr_33_183_425", 2.5, 105.0)
    assert found.value == 35
    assert "taken as AWG 14, the next smaller row" in found.note


def test_a_gauge_written_in_rounded_mm2_is_that_gauge() -> None:
    assert figure("cfr_33_183_425", 2.08, 105.0).note == figure(
        "cfr_33_183_425", wires.area_from_awg_mm2("14"), 105.0
    ).note == "105 °C column"  # fmt: skip


def test_a_size_above_the_table_counts_as_its_last_row() -> None:
    found = figure("iso_6722", 240.0, 70.0)
    assert found.value == 344
    assert "the last row" in found.note


def test_the_column_is_the_highest_class_that_the_insulation_reaches() -> None:
    assert figure("cfr_33_183_425", 2.5, 104.0).value == 30
    assert figure("cfr_33_183_425", 2.5, 124.0).value == 35
    assert figure("cfr_33_183_425", 2.5, 260.0).value == 45


@pytest.mark.parametrize(
    ("table", "area_mm2", "limit_c", "ambient_c", "said"),
    [
        ("iso_6722", 0.5, 70.0, 20.0, "begins at 1 mm²"),
        ("cfr_33_183_425", 0.5, 105.0, 20.0, "begins at AWG 18"),
        ("ac_43_13_1b_11_9", 2.5, 85.0, 20.0, "begins at 105 °C insulation"),
        ("iso_6722", 2.5, 105.0, 70.0, "leaves nothing of its 70 °C column"),
    ],
)
def test_what_a_table_cannot_say(
    table: str, area_mm2: float, limit_c: float, ambient_c: float, said: str
) -> None:
    assert said in why(table, area_mm2, limit_c, ambient_c)


def test_cooler_air_adds_nothing() -> None:
    assert figure("cfr_33_183_425", 2.5, 105.0, -20.0).value == 35


def test_warmer_air_is_corrected_and_less_sure() -> None:
    found = figure("cfr_33_183_425", 2.5, 105.0, 80.0)
    assert found.value == pytest.approx(35 * (25 / 75) ** 0.5)
    assert found.sureness == "memory"
    assert "corrected from 30 to 80 °C" in found.note


def test_guide_currents_in_a_bundle_take_the_curve() -> None:
    found = figure("iso_6722", 2.5, 70.0, 30.0, in_run=8, share=0.6)
    assert found.value == pytest.approx(32 * 0.595)
    assert found.sureness == "seen1"
    assert "not judged by the curve" in why("iso_6722", 2.5, 70.0, 30.0, in_run=30, share=0.6)


@pytest.mark.parametrize(
    ("area_mm2", "in_run", "share", "judged"),
    [
        (2.5, 1, 1.0, True),
        (2.5, 9, 0.6, True),  # the curve leaves 0.575, more than the 0.52 of the table's bundle
        (2.5, 12, 0.6, False),  # 0.515
        (2.5, 60, 0.2, True),
        (2.5, 60, 0.21, False),
        (10.0, 9, 0.2, True),
        (10.0, 10, 0.2, False),
        (10.0, 60, 0.2, False),
    ],
)
def test_the_bundle_table_is_for_no_harsher_bundle_than_its_own(
    area_mm2: float, in_run: int, share: float, judged: bool
) -> None:
    found = ampacity.rating("ac_43_13_1b_11_9", area_mm2, 105.0, 70.0, in_run, share)
    assert isinstance(found, Figure) is judged


def test_order_of_the_tables() -> None:
    assert ampacity.table_names()[0] == "ac_43_13_1b_11_9"
    assert ampacity.table_names(bundled=False)[-1] == "ac_43_13_1b_11_9"
    assert set(ampacity.table_names()) == set(ampacity.table_names(bundled=False))


def test_altitudes_the_tables_allow_for() -> None:
    assert ampacity.altitude_m("ac_43_13_1b_11_9") == pytest.approx(60_000 * 0.3048)
    assert ampacity.altitude_m("iso_6722") == 0


def test_an_unknown_table_is_named_with_the_nearest() -> None:
    with pytest.raises(ValueError, match="did you mean iso_6722"):
        ampacity.rating("iso_6721", 1.0, 70.0)
    with pytest.raises(ValueError, match="known: "):
        ampacity.altitude_m("x")


@pytest.mark.parametrize("area_mm2", [0.0, -1.0, float("nan"), float("inf")])
def test_no_area_no_ampacity(area_mm2: float) -> None:
    with pytest.raises(ValueError, match="above 0"):
        ampacity.rating("iso_6722", area_mm2, 70.0)
