"""What holds for each kind of sheet, of harnesses that are easy and hard to print."""

import io
import re
from collections.abc import Callable

import pypdf
import pytest

from harness_studio.base.errors import HarnessError
from harness_studio.sheets.catalogue import SHEETS
from tests.sheets import reading

PAPERS = {"A4": (210, 297), "A3": (297, 420), "Letter": (215.9, 279.4), "Tabloid": (279.4, 431.8)}
"""Sizes in mm: ISO 216, ANSI/ASME Y14.1."""
HARNESSES = (
    "first",
    "one_connector",
    "large_connector",
    "long_names",
    pytest.param("medium", marks=pytest.mark.slow),
)
TURNED = ("Diagram", "Build board")
"""Sheets that turn the paper so that the drawing is largest on it."""


def content(printed: Callable[..., bytes], *args: str, **how: object) -> bytes:
    try:
        return printed(*args, **how)
    except HarnessError as error:
        if "nothing to print" not in str(error):
            raise
        pytest.skip("this harness has nothing for this sheet")


@pytest.mark.parametrize("sheet", SHEETS)
@pytest.mark.parametrize("name", HARNESSES)
@pytest.mark.parametrize("size", ["A4", "Letter"])
def test_texts_lie_on_the_page_apart_and_legible(printed, name: str, sheet: str, size: str) -> None:
    done = content(printed, sheet, name=name, size=size)
    for number, page in enumerate(reading.pages(done), 1):
        assert page.runs, number
        assert reading.outside(page) == [], number
        assert reading.overlapping(page) == [], number
        # 6 pt is the size of the type, rounded to 1/1200 inch.
        assert min(r.size_pt for r in page.runs) >= 6 - 0.04, number


@pytest.mark.parametrize("size", PAPERS)
@pytest.mark.parametrize("landscape", [False, True])
def test_pages_have_the_size_of_the_paper(printed, size: str, landscape: bool) -> None:
    short, long = PAPERS[size]
    asked = (long, short) if landscape else (short, long)
    stickers = PAPERS["A4"] if size in ("A4", "A3") else PAPERS["Letter"]
    for page in reading.pages(printed(size=size, landscape=landscape)):
        if not re.search(r"page \d+ of", page.text):
            allowed = [stickers]
        elif any(title in page.text for title in TURNED):
            allowed = [asked, asked[::-1]]
        else:
            allowed = [asked]
        assert any((page.width, page.height) == pytest.approx(s, abs=0.05) for s in allowed)
        assert reading.outside(page) == []
        assert reading.overlapping(page) == []


@pytest.mark.parametrize("sheet", SHEETS)
def test_every_font_is_in_the_file(printed, sheet: str) -> None:
    found = reading.fonts(content(printed, sheet))
    assert found
    assert all(found.values())
    assert all("SourceSans3" in name for name in found)


@pytest.mark.parametrize("name", ["first", pytest.param("medium", marks=pytest.mark.slow)])
def test_pages_are_numbered(printed, name: str) -> None:
    pages = reading.texts(printed(name=name))
    framed = [(number, text) for number, text in enumerate(pages, 1) if "printed 2026-03-02" in text]
    assert len(framed) > len(pages) / 2
    for number, text in framed:
        assert f"page {number} of {len(pages)}" in text


def test_pages_say_what_is_in_force(printed) -> None:
    first = reading.texts(printed())[0]
    assert "page 1 of" in first
    assert "revision A of 2026-03-02" in first
    assert "limits: road workshop" in first
    assert "Braking" in first


def test_the_cover_says_where_each_sheet_begins(printed) -> None:
    pages = reading.pages(printed())
    contents = re.findall(r"(?:^| )([A-Z][A-Za-z ,-]+?) (\d+)(?= |$)", pages[0].text.split("Contents")[1])
    listed = {title: int(page) for title, page in contents if title not in ("Sheet Page",)}
    assert listed["Ground list"] > 1
    for title in ("Ground list", "Cut list", "Test sheet"):
        assert title in pages[listed[title] - 1].text


def test_each_sheet_has_a_bookmark(printed) -> None:
    outline = pypdf.PdfReader(io.BytesIO(printed())).outline
    titles = [item["/Title"] for item in outline if not isinstance(item, list)]
    assert len(titles) == len(set(titles)) > 0


def test_an_empty_harness_prints_or_says_that_there_is_nothing(printed) -> None:
    done = content(printed, name="empty")
    for page in reading.pages(done):
        assert reading.outside(page) == []
        assert reading.overlapping(page) == []
