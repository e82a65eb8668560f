"""Units are what the file defines. 1 inch = 25.4 mm exactly (international inch, 1959); SI prefixes are ISO 80000-1."""

import pytest

from harness_studio.intake.kbl import Imported, read_kbl
from tests.unit.intake.kbl_files import (
    amount,
    connection,
    connector,
    harness,
    housing,
    kbl,
    length,
    node,
    segment,
    unit,
    wire,
    wire_part,
)  # fmt: skip


def imported(units: str, *, mm: str = "u", area: str = "a", value: str = "2", size: str = "1.5") -> Imported:
    """Return a harness of one wire whose length is `value` in unit `mm` and whose size is `size` in unit `area`."""
    return read_kbl(
        kbl(
            housing("h", "12"),
            wire_part("w", size, "sw", unit=area),
            harness(
                connector("x", "X1", "h", 2),
                wire("wi", "1", "w", lengths=length("l", value, unit=mm)),
                connection("c", "wi", "x_p1", "x_p2"),
            ),
            units=units,
        ),
        "f",
    )


def lines(result: Imported) -> str:
    return "\n".join(str(w) for w in result.warnings)


SQUARE_MM = unit("a", si="metre", prefix="milli", dimension="square")
MM = unit("u", si="metre", prefix="milli")


@pytest.mark.parametrize(
    ("definition", "length_mm"),
    [
        (unit("u", si="metre", prefix="milli"), 2.0),
        (unit("u", si="metre", prefix="centi"), 20.0),
        (unit("u", si="metre"), 2000.0),
        (unit("u", si="metre", prefix="kilo"), 2_000_000.0),
        (unit("u", si="metre", prefix="micro"), 0.002),
        (unit("u", "mm"), 2.0),
        (unit("u", "Millimetre"), 2.0),
        (unit("u", "m"), 2000.0),
        (unit("u", "inch"), 50.8),
        (unit("u", "Inches"), 50.8),
        (unit("u", "ft"), 609.6),
        (unit("u", "mm", si="metre", prefix="milli"), 2.0),
        (unit("u", "our length", si="metre", prefix="centi"), 20.0),
    ],
)
def test_lengths(definition: str, length_mm: float) -> None:
    result = imported(definition + SQUARE_MM)
    assert result.harness.wires["W1"].length_mm == pytest.approx(length_mm, rel=1e-12)
    assert "unit" not in lines(result)


@pytest.mark.parametrize(
    "definition",
    [
        unit("u", "parsec"),
        unit("u", "mm", si="metre"),  # called millimetre, defined as metre
        unit("u", si="metre", prefix="mega"),
        unit("u", si="gram"),
        unit("u", si="metre", dimension="cubic"),
        unit("u"),
        "",
    ],
)
def test_a_length_whose_unit_is_not_sure_is_only_noted(definition: str) -> None:
    result = imported(definition + SQUARE_MM)
    wire_ = result.harness.wires["W1"]
    assert wire_.length_mm is None
    assert "length 2" in (wire_.note or "")
    assert any(w.line and "unit" in w.what for w in result.warnings)
    assert result.totals.wire_length_m == 0.0


@pytest.mark.parametrize(
    ("definition", "area_mm2"),
    [
        (SQUARE_MM, 1.5),
        (unit("a", si="metre", prefix="centi", dimension="square"), 150.0),
        (unit("a", "mm2"), 1.5),
        (unit("a", "mm²"), 1.5),
        (unit("a", "SquareMilliMetre"), 1.5),
        (unit("a", si="square metre", prefix="milli"), 1.5),
        (unit("a", "sq in"), 967.74),
    ],
)
def test_cross_sections(definition: str, area_mm2: float) -> None:
    assert imported(definition + MM).harness.wires["W1"].area_mm2 == pytest.approx(area_mm2, rel=1e-12)


def test_millimetres_for_a_cross_section_are_read_as_square_millimetres_and_said_so() -> None:
    result = imported(unit("a", si="metre", prefix="milli") + MM)
    assert result.harness.wires["W1"].area_mm2 == 1.5
    assert "it is read as mm²" in lines(result)


def test_other_lengths_for_a_cross_section_are_not_guessed() -> None:
    result = imported(unit("a", si="metre") + MM)
    assert result.harness.wires["W1"].area_mm2 is None
    assert "cross section 1.5 metre in the file" in (result.harness.wires["W1"].note or "")


@pytest.mark.parametrize(("size", "awg"), [("14", "14"), ("00", "2/0"), ("4/0", "4/0")])
def test_wire_gauges(size: str, awg: str) -> None:
    found = imported(unit("a", "AWG") + MM, size=size).harness.wires["W1"]
    assert (found.awg, found.area_mm2) == (awg, None)


def test_a_gauge_that_is_none() -> None:
    result = imported(unit("a", "AWG") + MM, size="thick")
    assert result.harness.wires["W1"].awg is None
    assert "'thick' is not an AWG number" in lines(result)


@pytest.mark.parametrize("value", ["NaN", "INF", "-3", "long", "1e999"])
def test_lengths_that_are_no_lengths(value: str) -> None:
    result = imported(MM + SQUARE_MM, value=value)
    assert result.harness.wires["W1"].length_mm is None
    assert any(value in w.what and w.line for w in result.warnings)


def test_a_comma_may_stand_for_the_point() -> None:
    assert imported(MM + SQUARE_MM, value="12,5").harness.wires["W1"].length_mm == 12.5


def test_a_cross_section_of_nothing_is_left_out() -> None:
    result = imported(MM + SQUARE_MM, size="0")
    assert result.harness.wires["W1"].area_mm2 is None
    assert "wanted is one above 0" in lines(result)


def test_inches_and_metres_in_one_file() -> None:
    data = kbl(
        node("n1", "A") + node("n2", "B"),
        segment("s", "run", "n1", "n2").replace(
            "<End_node>", amount("Virtual_length", "v", "10", "i") + "<End_node>"
        ),
        harness(),
        units=unit("i", "inch"),
    )
    assert read_kbl(data).harness.runs["run"].length_mm == pytest.approx(254.0)
