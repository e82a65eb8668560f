"""The diagram looks as it did when somebody looked at it: small soft pictures, compared with tolerance."""

from functools import partial

import numpy as np
import pytest
from PySide6.QtGui import QFont

from harness_studio.drawing import fonts
from harness_studio.drawing.theme import dark, light
from tests.desktop import pictures


@pytest.mark.parametrize("name", pictures.CASES)
def test_the_diagram_looks_as_it_did(qapp, name):
    do, theme = pictures.CASES[name]
    assert not pictures.apart(pictures.picture(do, theme()), pictures.reference(name)), (
        f"{name} looks different: look at it, then run python -m tests.desktop.pictures"
    )


@pytest.mark.parametrize("other", ["GP1", "GP5"])
def test_another_ground_is_told_apart(qapp, other):
    made = pictures.picture(partial(pictures.chosen, ground=other), light())
    assert pictures.apart(made, pictures.reference("ground"))


@pytest.mark.parametrize("ohm", [0.05, 0.3])
def test_another_place_of_the_dial_is_told_apart(qapp, ohm):
    made = pictures.picture(partial(pictures.dialled, ground="GP2", ohm=ohm), light())
    assert pictures.apart(made, pictures.reference("dial_150"))


def test_another_overlay_and_theme_are_told_apart(qapp):
    made = pictures.picture(partial(pictures.overlaid, kind="warmth", ground="GP2"), dark())
    assert pictures.apart(made, pictures.reference("lost_dark"))
    for name in pictures.CASES:
        for other in pictures.CASES:
            assert name == other or pictures.apart(pictures.reference(name), pictures.reference(other))


def test_a_colour_or_a_few_pixels_aside_are_told_apart():
    kept = pictures.reference("ground")
    assert pictures.apart(np.roll(kept, 2, axis=1), kept)
    assert pictures.apart(kept[:, :, ::-1], kept)
    assert not pictures.apart(np.clip(kept + 0.5, 0, 255), kept)


@pytest.mark.parametrize("hinting", ["PreferNoHinting", "PreferFullHinting"])
@pytest.mark.parametrize("name", ["ground", "dial_500", "lost_dark"])
def test_how_fonts_are_rendered_hardly_shows(qapp, monkeypatch, hinting, name):
    plain = fonts.font

    def otherwise(*given, **named):
        font = QFont(plain(*given, **named))
        font.setHintingPreference(QFont.HintingPreference[hinting])
        font.setStyleStrategy(QFont.StyleStrategy.NoAntialias)
        return font

    monkeypatch.setattr(fonts, "font", otherwise)
    do, theme = pictures.CASES[name]
    assert not pictures.apart(pictures.picture(do, theme()), pictures.reference(name))
