"""Numbers are written with their unit, a true minus, and no more digits than mean anything."""

import pytest

from harness_studio.diagram import words


@pytest.mark.parametrize(
    ("said", "text"),
    [
        (words.amperes(31.04), "31.0 A"),
        (words.amperes(6.5), "6.5 A"),
        (words.amperes(0.041), "0.04 A"),
        (words.amperes(0.004), "0.004 A"),
        (words.amperes(-6.5), "−6.5 A"),
        (words.amperes(140.4), "140 A"),
        (words.amperes(1e-9), "0 A"),
        (words.volts(13.86), "13.9 V"),
        (words.volts(0.018), "0.02 V"),
        (words.volts(-0.001), "0.00 V"),
        (words.millivolts(1800.4), "1800 mV"),
        (words.millivolts(-0.3), "−0.3 mV"),
        (words.millivolts(0.01), "0 mV"),
        (words.per_cent(1.0), "100 %"),
        (words.per_cent(-0.483), "48 %"),
        (words.per_cent(0.004), "< 1 %"),
        (words.per_cent(0.0), "0 %"),
        (words.counted(1, "wire"), "1 wire"),
        (words.counted(3, "wire"), "3 wires"),
        (words.counted(0, "connector half", "connector halves"), "0 connector halves"),
    ],
)
def test_numbers(said: str, text: str) -> None:
    assert said == text
