"""Millivolts across a fuse into amperes.

Trade figures for ISO 8820-3 fuses, public transcriptions of data sheets (resources/standards/fuse_resistance.yaml):
a type C fuse of 10 A has 7.70 mΩ cold and drops 109 mV at 10 A; a type E fuse of 40 A 1.4 mΩ and 75 mV at 40 A.
Printed to two or three figures, so a per cent is allowed.
"""

import pytest

from harness_studio.electrics.meter_ohms import fuse_amperes


@pytest.mark.parametrize(
    ("style", "rated_a", "mv", "amperes"),
    [("blade_medium", 10.0, 109.0, 10.0), ("blade_high_current", 40.0, 75.0, 40.0)],
)
def test_at_its_rating(style, rated_a, mv, amperes):
    assert fuse_amperes(style, rated_a, mv / 1e3).amperes == pytest.approx(amperes, rel=0.01)


@pytest.mark.parametrize(
    ("rated_a", "cold_mohm"), [(1, 123.0), (5, 17.85), (10, 7.70), (15, 4.80), (30, 1.97)]
)
def test_a_small_current_by_the_cold_resistance(rated_a, cold_mohm):
    amperes = 0.01 * rated_a
    assert fuse_amperes("blade_medium", rated_a, amperes * cold_mohm / 1e3).amperes == pytest.approx(
        amperes, rel=1e-4
    )


def test_the_sign_is_kept_and_an_unknown_style_is_told():
    assert fuse_amperes("blade_medium", 10, -0.0077).amperes == pytest.approx(-1.0, rel=0.01)
    assert "style not known" in fuse_amperes(None, 10, 0.001).note
    with pytest.raises(ValueError, match="no fuse style"):
        fuse_amperes("glass_tub", 10, 0.001)
