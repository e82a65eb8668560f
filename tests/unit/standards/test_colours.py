"""Colours as people write them."""

import itertools
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from harness_studio.standards import colours

#: Spellings that name no single colour.
NOT_ONE_COLOUR = {"white or red, R5"}


@pytest.mark.parametrize(
    ("text", "codes"),
    [
        ("BN", ("BN",)),
        ("bn", ("BN",)),
        ("BN/WH", ("BN", "WH")),
        ("BNWH", ("BN", "WH")),
        ("BN-WH", ("BN", "WH")),
        ("BN WH", ("BN", "WH")),
        ("bn/wh", ("BN", "WH")),
        ("br/ws", ("BN", "WH")),
        ("BRWS", ("BN", "WH")),
        ("brown with white", ("BN", "WH")),
        ("brown w/ white stripe", ("BN", "WH")),
        ("brown and white", ("BN", "WH")),
        ("brown/ws", ("BN", "WH")),
        ("BRN/WHT", ("BN", "WH")),
        ("RDBU", ("RD", "BU")),
        ("GNYE", ("GNYE",)),
        ("GN/YE", ("GN", "YE")),
        ("YE/GN", ("YE", "GN")),
        ("GNYE/BK", ("GNYE", "BK")),
        ("BK/WH/RD", ("BK", "WH", "RD")),
        ("dark green", ("GN",)),
        ("LT BLU", ("BU",)),
        ("dkgrn", ("GN",)),
        ("grey", ("GY",)),
        ("gray", ("GY",)),
        ("purple", ("VT",)),
        ("rosa/white", ("PK", "WH")),
        ("black W4", ("BK",)),
        ("red W3, sliced for MAP", ("RD",)),
        ("red go to relay", ("RD",)),
        ("red?", ("RD",)),
        ("(red)", ("RD",)),
        ("OR", ("OG",)),
        ("ws/or/rt", ("WH", "OG", "RD")),
        ("RDOR", ("RD", "OG")),
        ("sw/sw", ("BK",)),
    ],
)
def test_what_is_read(text: str, codes: tuple[str, ...]) -> None:
    assert colours.parse(text) == codes


@pytest.mark.parametrize(
    "text",
    [
        "",
        "   ",
        "dark",
        "W",
        "beige",
        "no idea",
        "white or red",
        "ws or rt",
        "white or red, R5",
        "red ? blue",
        "red, next to the blue one",
        "BNW",
        "BK/WH/RD/GN",
        "NotDefined",
        "/NULL",
    ],
)
def test_what_is_no_single_colour_of_the_standard(text: str) -> None:
    assert colours.parse(text) is None


def test_what_the_codes_do_not_hold_is_reported() -> None:
    found = colours.read("light blue right")
    assert found is not None
    assert found.codes == ("BU",)
    assert found.ignored == ("light", "right")


@pytest.mark.parametrize(
    ("text", "codes"),
    [
        ("sw", ("BK",)),
        ("bl", ("BU",)),
        ("br/ws", ("BN", "WH")),
        ("brws", ("BN", "WH")),
        ("SW-GE", ("BK", "YE")),
        ("gnge", ("GNYE",)),
        ("hellblau", ("BU",)),
        ("dgn", ("GN",)),
        ("weiß", ("WH",)),
        ("schwarz", ("BK",)),
        ("or", ("OG",)),
        ("or/sw", ("OG", "BK")),
        ("NotDefined", None),
        ("/NULL", None),
        ("", None),
    ],
)
def test_german_harness_files(text: str, codes: tuple[str, ...] | None) -> None:
    assert colours.german(text) == codes


@given(st.lists(st.sampled_from(colours.codes()), min_size=1, max_size=3, unique=True))
def test_codes_survive_being_written(codes: list[str]) -> None:
    assert colours.parse(colours.text(codes)) == tuple(codes)


@given(st.lists(st.sampled_from(colours.codes()[:-1]), min_size=1, max_size=3, unique=True))
def test_codes_survive_being_spelled_out(codes: list[str]) -> None:
    assert colours.parse(colours.words(codes)) == tuple(codes)


@given(st.text(max_size=40))
def test_any_text_is_read_or_refused(text: str) -> None:
    found = colours.parse(text)
    assert found is None or (1 <= len(found) <= 3 and set(found) <= set(colours.codes()))


@pytest.mark.parametrize(
    ("codes", "words"),
    [
        (("BN",), "brown"),
        (("BN", "WH"), "brown with white tracer"),
        (("BN", "WH", "RD"), "brown with white and red tracers"),
        (("GNYE",), "green and yellow"),
    ],
)
def test_words(codes: tuple[str, ...], words: str) -> None:
    assert colours.words(codes) == words


def test_green_and_yellow_is_drawn_with_both() -> None:
    assert colours.stripes("GNYE") == ("GN", "YE")
    assert colours.stripes("BK") == ("BK",)


def test_an_unknown_code_is_named() -> None:
    for call in (colours.srgb, colours.stripes, lambda code: colours.words([code])):
        with pytest.raises(ValueError, match="XX"):
            call("XX")


def _lab(code: str, paper: colours.Paper) -> tuple[float, float, float]:
    """CIE 1976 L*a*b* of a drawing colour (sRGB of IEC 61966-2-1, white D65)."""
    channels = [int(colours.srgb(code, paper=paper)[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    r, g, b = (c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in channels)
    xyz = (
        (0.4124 * r + 0.3576 * g + 0.1805 * b) / 0.95047,
        0.2126 * r + 0.7152 * g + 0.0722 * b,
        (0.0193 * r + 0.1192 * g + 0.9505 * b) / 1.08883,
    )
    x, y, z = (t ** (1 / 3) if t > (6 / 29) ** 3 else t / (3 * (6 / 29) ** 2) + 4 / 29 for t in xyz)
    return 116 * y - 16, 500 * (x - y), 200 * (y - z)


@pytest.mark.parametrize("paper", ["light", "dark"])
def test_drawn_colours_can_be_told_apart(paper: colours.Paper) -> None:
    labs = {code: _lab(code, paper) for code in colours.codes() if len(colours.stripes(code)) == 1}
    for (one, a), (other, b) in itertools.combinations(labs.items(), 2):
        distance = sum((p - q) ** 2 for p, q in zip(a, b, strict=True)) ** 0.5
        assert distance > 15, (one, other, distance)  # CIE 76; 2.3 is a just noticeable difference


def test_every_spelling_that_people_really_used(samples_dir: Path) -> None:
    lines = (samples_dir / "tables" / "colour_spellings.txt").read_text(encoding="utf-8").splitlines()
    spellings = {line.split("\t", 1)[1] for line in lines if line and not line.startswith("#")}
    assert len(spellings) > 30
    assert {text for text in spellings if colours.parse(text) is None} == NOT_ONE_COLOUR
