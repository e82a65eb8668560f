"""The program's own font is there, in its weights, with the signs that a harness needs."""

from importlib import metadata
from pathlib import Path

import pytest
from PySide6.QtGui import QFontMetricsF, QRawFont

from harness_studio.drawing import fonts


def test_family_and_file() -> None:
    assert fonts.family() == "Source Sans 3"
    assert fonts.font_file().is_file()


@pytest.mark.parametrize("sign", "Ω²µ≥−·±×…ÄÖÜäöüß")
def test_signs_are_in_the_font(sign: str) -> None:
    assert QRawFont.fromFont(fonts.font(13)).supportsCharacter(ord(sign))


def test_figures_line_up() -> None:
    metrics = QFontMetricsF(fonts.font(13))
    assert len({metrics.horizontalAdvance(digit) for digit in "0123456789"}) == 1


def test_weights_differ() -> None:
    widths = [QFontMetricsF(fonts.font(40, w)).horizontalAdvance("fuel pump") for w in (400, 600, 700)]
    assert widths == sorted(set(widths))


def test_a_missing_package_is_told_in_one_line(monkeypatch: pytest.MonkeyPatch) -> None:
    def nothing(_: str) -> None:
        raise metadata.PackageNotFoundError

    monkeypatch.setattr(metadata, "files", nothing)
    with pytest.raises(fonts.FontMissing, match="pip install fontpkg-source-sans-3"):
        fonts.font_file()


def test_a_missing_file_is_told_in_one_line(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setattr(metadata, "files", lambda _: [])
    with pytest.raises(fonts.FontMissing, match="install it again"):
        fonts.font_file()
