"""Single texts and numbers, by marker."""

import math

import pytest

from harness_studio.model.forms import Number, Text
from harness_studio.model.texts import Wrong, number_reader, text_reader, wanted_number, wanted_text

GOOD = {
    "": ["", "any: text", "~"],
    "id": ["W31", "a-b_1", "9", "unknown"],
    "name": ["B+", "010", "10A", "in"],
    "point": ["X7.3", "SP3", "shell.bed_rear", "W40@GP2", "W40@X9.2"],
    "joint": [
        "W40@GP2",
        "GP2/W40",
        "GP2",
        "X7.3",
        "S1.30:54",
        "F4.in:clip",
        "B1.31@shell.bed_rear",
        "SP3/W31",
    ],
    "element": ["P1", "E5/tail"],
    "date": ["2026-03-02", "2024-02-29"],
    "file": ["photos/rear.png", "a.png", "a b/ü.jpg", "a..b.png"],
}
BAD = {
    "id": ["", "a b", "a.b", "cut", "ü"],
    "name": ["", "a b", "a.b", "a/b", "a:b", "a@b", "[a"],
    "point": ["", "a b", "cut", "unknown", "X7.", ".3", "X7.3.1", "a/b"],
    "joint": ["", "a b", "/a", "a//b", "ü"],
    "element": ["", "a b", "E5/", "/tail", "E5/a/b", "E5.1"],
    "awg": ["", "14.5", "5/0", "-1", "x", "123"],
    "date": ["", "2026-3-2", "2026-02-30", "20260302", "2026-03-02T10:00", "today", "2026-W10-1"],
    "file": [
        "",
        "/etc/passwd",
        "../a.png",
        "a/../../b",
        "C:\\a.png",
        "C:/a.png",
        "\\\\host\\a",
        "a\\b.png",
        "a\0b",
    ],
}


@pytest.mark.parametrize(("marker", "text"), [(m, t) for m, texts in GOOD.items() for t in texts])
def test_good_texts_stay(marker: str, text: str) -> None:
    assert text_reader(Text(marker))(text) == text


@pytest.mark.parametrize(("marker", "text"), [(m, t) for m, texts in BAD.items() for t in texts])
def test_bad_texts_are_refused(marker: str, text: str) -> None:
    with pytest.raises(Wrong):
        text_reader(Text(marker))(text)
    assert wanted_text(Text(marker))


@pytest.mark.parametrize(
    ("text", "normal"), [("14", "14"), ("00", "2/0"), ("0000", "4/0"), ("1/0", "0"), ("2/0", "2/0")]
)
def test_awg_numbers_have_one_form(text: str, normal: str) -> None:
    assert text_reader(Text("awg"))(text) == normal


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("0", 0.0),
        ("1.5", 1.5),
        ("-2", -2.0),
        ("+3", 3.0),
        (".5", 0.5),
        ("5.", 5.0),
        ("1e3", 1000.0),
        ("1E-7", 1e-7),
    ],
)
def test_numbers(text: str, value: float) -> None:
    assert number_reader(Number())(text) == value


@pytest.mark.parametrize(
    ("text", "advice"),
    [
        ("1,5", "write 1.5"), ("42 cm", "write 42 alone, the unit is in the key"), ("5mm", "write 5 alone"),
        ("nan", "NaN and infinity"), (".inf", "NaN and infinity"), ("-.INF", "NaN and infinity"), ("Infinity", "NaN"),
        ("1e999", "too large"), ("", ""), ("ten", ""), ("1_000", ""), ("0x10", ""), ("1 2", ""), ("open", ""),
        ("१", ""),
    ],
)  # fmt: skip
def test_what_is_no_number(text: str, advice: str) -> None:
    with pytest.raises(Wrong) as caught:
        number_reader(Number())(text)
    assert advice in str(caught.value)


def test_ranges() -> None:
    assert number_reader(Number("mohm"))("open") == math.inf
    assert number_reader(Number("not_negative"))("0") == 0.0
    for form, text in ((Number("positive"), "0"), (Number("not_negative"), "-1"), (Number("mohm"), "-0.1")):
        with pytest.raises(Wrong):
            number_reader(form)(text)
    assert number_reader(Number(whole=True))("-7") == -7
    for text in ("1.0", "", "1e3", "9" * 16):
        with pytest.raises(Wrong):
            number_reader(Number(whole=True))(text)


def test_what_is_wanted_in_words() -> None:
    assert wanted_number(Number("positive", "mm²")) == "a number above 0 (mm²)"
    assert wanted_number(Number(whole=True)) == "a whole number"
    assert wanted_number(Number("mohm", "mΩ")) == "a number, 0 or more, or the word open (mΩ)"
