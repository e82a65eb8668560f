"""Figures that the chapter on numbers tells are those that the program computes with."""

import re

import pytest

from harness_studio.base import resources
from harness_studio.casebook import access, before_after, likelihood, next_reading
from harness_studio.electrics import scales
from harness_studio.electrics.laws import curves, discrete
from harness_studio.network import conductors, fixtures, wires


def text() -> str:
    return " ".join(resources.text("guide", "numbers.md").split())


def per_cent(part: float) -> str:
    return f"{part * 100:g} %"


@pytest.mark.parametrize(
    "words",
    [
        f"current goes with volts to the power {curves.RERATING:g}, light with the power {curves.LIGHT:g}",
        f"the stops lie {per_cent(scales.END_STOP)} past both ends",
        f"An unknown length counts as {wires.ASSUMED_LENGTH_MM / 1000:g} m, an unknown size as "
        f"{wires.ASSUMED_AREA_MM2:g} mm², an unknown fuse as {fixtures.ASSUMED_FUSE_A:g} A",
        f"pulls in at {per_cent(discrete.PULL_IN_V / 12)} and drops out at {per_cent(discrete.DROP_OUT_V / 12)}",
        "Effort counts {at hand:g} at hand, {cover off:g} with a cover off, {under the vehicle:g} under the vehicle, "
        "{unplug:g} to unplug, {dismantle:g} to dismantle".format(**access.EFFORT),
        f"and {next_reading.SAME_POST:g} of it where one tip stays",
        f"with {per_cent(likelihood.LAPSE)} for a person who misses or imagines",
        f"Where nothing is said, it is {conductors.AMBIENT_C:g} °C",
        f"at most {per_cent(before_after.CLEAN_PART)} of the excess is left. *Better*: at most "
        f"{per_cent(before_after.BETTER_PART)}",
    ],
)
def test_what_it_says_is_what_is_computed_with(words: str) -> None:
    assert words in text()


def test_a_clear_group_is_nine_tenths() -> None:
    assert next_reading.CLEAR == 0.9
    assert "One group at nine tenths is clear" in text()


def test_every_source_it_names_stands_in_a_table_or_in_the_code() -> None:
    """A citation of the chapter is one that the program itself carries beside its figures."""
    root = resources.path("guide").parents[1]
    carried = "".join(
        path.read_text(encoding="utf-8")
        for folder, ending in (
            ("resources/standards", "*.yaml"),
            ("resources/limits", "*.yaml"),
            ("harness_studio", "*.py"),
        )
        for path in (root / folder).rglob(ending)
    )
    named = set(re.findall(r"\b(?:IEC|ISO|DIN VDE|UL|AC|SAE) ?J?\d[\d.-]*\w*", text()))
    assert len(named) >= 8
    plain = re.sub(r"[\s-]", "", carried)
    assert [name for name in sorted(named) if re.sub(r"[\s-]", "", name).rstrip(".") not in plain] == []
