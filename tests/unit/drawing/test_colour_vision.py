"""Overlays and wire colours for eyes that miss a kind of cone, on both papers, as coloraide computes them.

Simulation: Viénot, Brettel and Mollon, 'Digital video colourmaps for checking the legibility of displays by
dichromats', Color Research and Application 24 (1999) 243, for eyes without long or middle cones; Brettel, Viénot and
Mollon, Journal of the Optical Society of America A 14 (1997) 2647, for eyes without short ones. Difference: CIE 1976
L*a*b* (CIE 15), D65; about 2.3 is what an eye just notices (Mahy, Van Eycken and Oosterlinck, 1994).
"""

import itertools

import pytest
from coloraide import Color

from harness_studio.diagram.overlays import CIVIDIS, STEPS
from harness_studio.drawing.theme import Theme, dark, light
from harness_studio.standards import colours

RGB = tuple[int, int, int]
EYES = {"all cones": None, "no long cones": "protan", "no middle cones": "deutan", "no short cones": "tritan"}
NOTICED = 2.3


def seen(srgb: RGB, eye: str) -> Color:
    """Return a colour as an eye takes it."""
    colour = Color("srgb", [part / 255.0 for part in srgb])
    missing = EYES[eye]
    if missing is None:
        return colour
    method = "brettel" if missing == "tritan" else "vienot"
    return colour.filter(missing, method=method).clip("srgb")


def apart(a: RGB, b: RGB, eye: str) -> float:
    return float(seen(a, eye).delta_e(seen(b, eye), method="76"))


def rgb(theme: Theme, name: str) -> RGB:
    colour = theme.colour(name)
    return colour.red(), colour.green(), colour.blue()


@pytest.mark.parametrize("eye", EYES)
@pytest.mark.parametrize("grey", [0, 90, 180, 255])
def test_greys_stay_as_they_are(eye: str, grey: int) -> None:
    shown = seen((grey,) * 3, eye).convert("srgb").coords()
    assert shown == pytest.approx([grey / 255.0] * 3, abs=0.02)


def test_red_and_green_fall_together_without_middle_cones() -> None:
    red, green = (200, 60, 60), (105, 130, 60)
    assert apart(red, green, "no middle cones") < 0.45 * apart(red, green, "all cones")


@pytest.mark.parametrize("eye", EYES)
def test_neighbouring_steps_of_the_wash_can_be_told_apart(eye):
    for first, second in itertools.pairwise(CIVIDIS):
        assert apart(first, second, eye) >= 2 * NOTICED
    assert len(CIVIDIS) == STEPS


@pytest.mark.parametrize("eye", EYES)
def test_the_wash_is_even_for_every_eye(eye):
    steps = [apart(a, b, eye) for a, b in itertools.pairwise(CIVIDIS)]
    assert max(steps) < 4 * min(steps)


@pytest.mark.parametrize("eye", EYES)
@pytest.mark.parametrize("paper", [light(), dark()], ids=["light", "dark"])
@pytest.mark.parametrize(
    "pair", [("accent", "stop"), ("accent", "muted"), ("ink", "muted"), ("stop", "muted")]
)
def test_marks_of_plots_and_needles_differ_for_every_eye(paper, eye, pair):
    """A needle now (stop) against clean (muted), a line now (accent) against clean (muted).

    Accent and muted come nearest, 5.1 without long cones: such lines differ in dash and width as well.
    """
    assert apart(rgb(paper, pair[0]), rgb(paper, pair[1]), eye) >= 2 * NOTICED


@pytest.mark.parametrize("eye", EYES)
@pytest.mark.parametrize("paper", [light(), dark()], ids=["light", "dark"])
@pytest.mark.parametrize("code", colours.codes())
def test_every_wire_stands_out_from_the_paper_for_every_eye(paper, eye, code):
    best = max(apart(rgb(paper, name), rgb(paper, "paper"), eye) for name in (code, f"{code}|"))
    assert best >= 10 * NOTICED
