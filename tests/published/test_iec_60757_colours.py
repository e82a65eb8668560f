"""IEC 60757, letter codes for colours, and DIN 47002 (withdrawn), the older German ones.

Both columns as printed side by side in an encyclopaedia's table and on a reference page; gold and silver have no code
in DIN 47002. IEC 60757:2021, 5.1: red and blue together are RDBU; green and yellow together are GNYE.
"""

import pytest

from harness_studio.standards import colours

PRINTED = [
    ("black", "BK", "sw"),
    ("brown", "BN", "br"),
    ("red", "RD", "rt"),
    ("orange", "OG", "or"),
    ("yellow", "YE", "ge"),
    ("green", "GN", "gn"),
    ("blue", "BU", "bl"),
    ("violet", "VT", "vi"),
    ("grey", "GY", "gr"),
    ("white", "WH", "ws"),
    ("pink", "PK", "rs"),
    ("turquoise", "TQ", "tk"),
    ("gold", "GD", None),
    ("silver", "SR", None),
]


@pytest.mark.parametrize(("word", "iec", "din"), PRINTED)
def test_codes(word: str, iec: str, din: str | None) -> None:
    assert colours.words([iec]) == word
    assert colours.parse(iec) == colours.parse(word) == (iec,)
    if din:
        assert colours.german(din) == colours.german(din.upper()) == (iec,)


def test_there_are_no_others() -> None:
    assert set(colours.codes()) == {iec for _, iec, _ in PRINTED} | {"GNYE"}


def test_combinations() -> None:
    assert colours.parse("RDBU") == ("RD", "BU")
    assert colours.parse("GNYE") == ("GNYE",)
    assert colours.german("gnge") == ("GNYE",)


def test_no_code_means_different_colours_in_the_two_lists() -> None:
    iec = {code: word for word, code, _ in PRINTED}
    for word, _, din in PRINTED:
        if din and din.upper() in iec:
            assert iec[din.upper()] == word
