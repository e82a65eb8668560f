"""Colours can be told apart and text can be read."""

import pytest
from coloraide import Color
from PySide6.QtGui import QColor

from harness_studio.drawing.theme import DARK_ROLES, FADE, LIGHT_ROLES, Theme, dark, light, theme
from harness_studio.standards import colours


def contrast(a: QColor, b: QColor) -> float:
    """Return the contrast ratio of two colours as coloraide computes it: WCAG 2.1 (W3C, 2018), 'contrast ratio'."""
    return float(Color(a.name()).contrast(Color(b.name()), method="wcag21"))


@pytest.mark.parametrize("paper", [light(), dark()], ids=["light", "dark"])
@pytest.mark.parametrize("ground", ["paper", "panel", "card"])
@pytest.mark.parametrize("ink", ["ink", "accent", "stop"])
def test_text_can_be_read(paper: Theme, ground: str, ink: str) -> None:
    # WCAG 2.1, success criterion 1.4.3: at least 4.5 to 1 for text.
    assert contrast(paper.colour(ink), paper.colour(ground)) >= 4.5


@pytest.mark.parametrize("paper", [light(), dark()], ids=["light", "dark"])
@pytest.mark.parametrize("ground", ["paper", "card"])
def test_quiet_text_can_be_read_on_paper(paper: Theme, ground: str) -> None:
    assert contrast(paper.colour("muted"), paper.colour(ground)) >= 4.5


@pytest.mark.parametrize("paper", [light(), dark()], ids=["light", "dark"])
@pytest.mark.parametrize("code", colours.codes())
def test_every_wire_stands_out_from_the_paper_by_its_colour_or_its_outline(paper: Theme, code: str) -> None:
    # WCAG 2.1, success criterion 1.4.11: at least 3 to 1 for what must be seen to understand a drawing.
    best = max(contrast(paper.colour(name), paper.colour("paper")) for name in (code, f"{code}|"))
    assert best >= 3.0


@pytest.mark.parametrize("paper", [light(), dark()], ids=["light", "dark"])
@pytest.mark.parametrize("code", colours.codes())
def test_a_number_can_be_read_on_every_wire_colour(paper: Theme, code: str) -> None:
    assert contrast(paper.colour(f"{code}!"), paper.colour(code)) >= 3.0


def test_both_papers_know_the_same_roles() -> None:
    assert LIGHT_ROLES.keys() == DARK_ROLES.keys()


def test_the_look_has_its_colours() -> None:
    assert light().colour("paper").name() == "#fbfaf7"
    assert light().colour("accent").name() == "#0b6e75"
    assert dark().colour("paper").name() == "#171a1c"
    assert dark().colour("accent").name() == "#4fb3b8"


def test_what_stands_back_keeps_a_sixth_of_its_colour() -> None:
    full, paper = light().colour("ink"), light().colour("paper")
    faded = light().faded(FADE).colour("ink")
    share = (paper.redF() - faded.redF()) / (paper.redF() - full.redF())
    assert share == pytest.approx(0.16, abs=0.01)
    assert light().faded(FADE).colour("paper").name() == paper.name()


def test_themes_and_pens_are_made_once() -> None:
    assert light().faded(0.5) is light().faded(0.501)
    assert light().faded(1.0) is light()
    assert theme("light") is light()
    assert light().pen("ink", 0.5) is light().pen("ink", 0.5)


def test_an_unknown_name_is_no_colour() -> None:
    with pytest.raises(ValueError, match="IEC 60757"):
        light().colour("nothing")


def test_a_colour_that_somebody_thins_stays_what_it_is_for_others() -> None:
    theme = light()
    wash = theme.colour("paper")
    wash.setAlphaF(0.5)
    assert theme.colour("paper").alphaF() == 1.0
