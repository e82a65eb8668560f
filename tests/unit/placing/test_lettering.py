"""Widths of text against the font's own table of advance widths (`hmtx`, OpenType 1.9), read with fontTools."""

from pathlib import Path

import pytest

from harness_studio.placing.lettering import TITLE_MM, fitted, lines, width_mm


@pytest.fixture(scope="module")
def advances() -> dict[str, float]:
    """Return the advance width of each sign of Source Sans 3 SemiBold over its size."""
    tt_font = pytest.importorskip("fontTools.ttLib").TTFont
    instancer = pytest.importorskip("fontTools.varLib.instancer")
    package = pytest.importorskip("fontpkg_source_sans_3")
    files = sorted(Path(package.__path__[0]).rglob("SourceSans3[[]wght[]].ttf"))
    font = instancer.instantiateVariableFont(tt_font(files[0]), {"wght": 600})
    table, units = font["hmtx"], font["head"].unitsPerEm
    return {chr(code): table[name][0] / units for code, name in font.getBestCmap().items()}


@pytest.mark.parametrize(
    "text",
    [
        "GP2 bed left rear corner",
        "X7 · X8 Bed loom",
        "W100",
        "MWMW illi",
        "11.9 V · 65 %",
        "180 mΩ",
        "(E5) rear_lamp-left",
    ],
)
def test_the_estimate_is_near_the_font_and_not_below_it(text: str, advances: dict[str, float]) -> None:
    true = sum(advances[sign] for sign in text) * TITLE_MM
    assert 0.985 * true <= width_mm(text, TITLE_MM) <= 1.12 * true


def test_width_grows_with_size_and_letters() -> None:
    assert width_mm("GP2", 8.0) == pytest.approx(2 * width_mm("GP2", 4.0))
    assert width_mm("", 4.0) == 0.0
    assert width_mm("漢字", 4.0) == pytest.approx(8.0)  # a sign that fills a square is as wide as its size


def test_a_long_text_is_cut_with_an_ellipsis() -> None:
    assert fitted("short", 4.0, 40.0) == "short"
    cut = fitted("a title that is far too long for its room", 4.0, 30.0)
    assert cut.endswith("…")
    assert width_mm(cut, 4.0) <= 30.0


def test_lines_break_at_spaces_and_the_last_is_cut() -> None:
    assert lines("one two", 4.0, 100.0) == ("one two",)
    broken = lines("connector of the rear loom behind the left seat under the carpet", 4.0, 40.0)
    assert len(broken) == 2
    assert broken[1].endswith("…")
    assert all(width_mm(line, 4.0) <= 40.0 for line in broken)
    assert lines("Kraftstoffabschaltventilstecker", 4.0, 20.0)[0].endswith("…")
