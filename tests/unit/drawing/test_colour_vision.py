"""Overlays and wire colours for eyes that miss a kind of cone, on both papers.

Simulation: Viénot, Brettel and Mollon, 'Digital video colourmaps for checking the legibility of displays by
dichromats', Color Research and Application 24 (1999) 243: linear RGB to cone responses, the missing one replaced by a
plane through white and two primaries. The matrices are those of that paper as widely reprinted (from memory); two
properties that it states hold them: greys stay as they are, and red and green of one lightness fall together.
Difference: CIE 1976 L*a*b* (CIE 15), D65; about 2.3 is what an eye just notices (Mahy, Van Eycken and Oosterlinck,
1994).
"""

import itertools

import numpy as np
import pytest

from harness_studio.diagram.overlays import CIVIDIS, STEPS
from harness_studio.drawing.theme import Theme, dark, light
from harness_studio.standards import colours

RGB_TO_LMS = np.array(
    [[17.8824, 43.5161, 4.11935], [3.45565, 27.1554, 3.86714], [0.0299566, 0.184309, 1.46709]]
)
PROTAN = np.array([[0.0, 2.02344, -2.52581], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0]])
DEUTAN = np.array([[1.0, 0.0, 0.0], [0.494207, 0.0, 1.24827], [0.0, 0.0, 1.0]])
EYES = {"all cones": None, "no long cones": PROTAN, "no middle cones": DEUTAN}
NOTICED = 2.3


def linear(srgb: tuple[int, int, int]) -> np.ndarray:
    part = np.array(srgb) / 255.0
    return np.where(part <= 0.04045, part / 12.92, ((part + 0.055) / 1.055) ** 2.4)


def seen(srgb: tuple[int, int, int], eye: str) -> np.ndarray:
    """Return linear RGB as an eye takes it."""
    found = linear(srgb)
    missing = EYES[eye]
    if missing is None:
        return found
    lms = RGB_TO_LMS @ found
    return np.clip(np.linalg.inv(RGB_TO_LMS) @ (missing @ lms), 0.0, 1.0)


def lab(rgb: np.ndarray) -> np.ndarray:
    to_xyz = np.array([[0.4124, 0.3576, 0.1805], [0.2126, 0.7152, 0.0722], [0.0193, 0.1192, 0.9505]])
    xyz = (to_xyz @ rgb) / np.array([0.9505, 1.0, 1.089])
    f = np.where(xyz > (6 / 29) ** 3, np.cbrt(xyz), xyz / (3 * (6 / 29) ** 2) + 4 / 29)
    return np.array([116 * f[1] - 16, 500 * (f[0] - f[1]), 200 * (f[1] - f[2])])


def apart(a: tuple[int, int, int], b: tuple[int, int, int], eye: str) -> float:
    return float(np.linalg.norm(lab(seen(a, eye)) - lab(seen(b, eye))))


def rgb(theme: Theme, name: str) -> tuple[int, int, int]:
    colour = theme.colour(name)
    return colour.red(), colour.green(), colour.blue()


@pytest.mark.parametrize("eye", ["no long cones", "no middle cones"])
@pytest.mark.parametrize("grey", [0, 90, 180, 255])
def test_greys_stay_as_they_are(eye, grey):
    assert apart((grey,) * 3, (grey,) * 3, eye) == 0.0
    assert np.abs(seen((grey,) * 3, eye) - linear((grey,) * 3)).max() < 0.02


def test_red_and_green_fall_together_without_middle_cones():
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
