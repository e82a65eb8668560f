"""What a wire's entry says about how it looks."""

import pytest

from harness_studio.drawing import looks
from harness_studio.model.entities import Wire
from harness_studio.model.values import End

ENDS = (End("cut"), End("unknown"))


def wire(**fields: object) -> Wire:
    return Wire("W1", ENDS, **fields)


def test_codes() -> None:
    assert looks.codes(wire(colour="BN/WH")) == ("BN", "WH")
    assert looks.codes(wire(colour="GNYE")) == ("GN", "YE")
    assert looks.codes(wire()) == ()


def test_words() -> None:
    assert looks.colour_words(wire(colour="BN/WH")) == "brown with white tracer (BN/WH)"
    assert looks.colour_words(wire()) == "colour not known"
    assert looks.size_words(wire(area_mm2=1.5)) == "1.5 mm²"
    assert looks.size_words(wire(awg="14")) == "AWG 14"
    assert looks.size_words(wire()) == "size not known"


def test_a_thicker_wire_is_drawn_broader_within_limits() -> None:
    widths = [looks.width_mm(wire(area_mm2=a)) for a in (0.1, 0.5, 1.5, 6.0, 25.0, 400.0)]
    assert widths == sorted(widths)
    assert widths[0] == pytest.approx(looks.LEAST_PX / 3)
    assert widths[-1] == pytest.approx(looks.MOST_PX / 3)


def test_a_gauge_number_is_as_broad_as_its_area() -> None:
    # AWG 14 is 2.08 mm² (ASTM B258, diameter 1.628 mm).
    assert looks.area_mm2(wire(awg="14")) == pytest.approx(2.08, abs=0.01)
    assert looks.area_mm2(wire()) is None
