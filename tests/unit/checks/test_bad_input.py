"""What cannot be judged is said, never passed in silence: by every method, and by the advice on sizes.

Constructed harnesses; what is said was written by hand. W3 is a feed of 2.5 mm² behind F2, 15 A.
"""

from collections.abc import Callable
from dataclasses import replace

import pytest

from harness_studio.checks.adviser import advise
from harness_studio.checks.how import How
from harness_studio.checks.runner import check
from harness_studio.checks.scope import scope_of
from harness_studio.model.harness import Harness
from harness_studio.model.values import Contact
from harness_studio.standards.figures import NotJudged
from tests.unit.checks import harnesses as h

HOWS = {
    "heat balance": How("heat balance"),
    "handbook": How("handbook table"),
    "one table": How("handbook table", "iso_6722"),
}


def insulation_nobody_knows(x: Harness) -> None:
    h.wire(x, "W3", insulation="bakelite")


def no_insulation(x: Harness) -> None:
    h.wire(x, "W3", insulation=None)


def air_above_the_class(x: Harness) -> None:
    x.zones["rear"] = replace(x.zones["rear"], ambient_c=130.0)


def no_length_at_all(x: Harness) -> None:
    h.wire(x, "W3", length_mm=0.0)


def length_not_known(x: Harness) -> None:
    h.wire(x, "W3", length_mm=None)


def size_not_known(x: Harness) -> None:
    h.wire(x, "W3", area_mm2=None)


def style_without_a_band(x: Harness) -> None:
    h.part(x, "F2", style="torpedo")


def style_not_known(x: Harness) -> None:
    h.part(x, "F2", style=None)


def rating_not_known(x: Harness) -> None:
    h.part(x, "F2", rated_a=None)


def contacts_not_recorded(x: Harness) -> None:
    for name in ("X1", "X2"):
        h.half(x, name, contact=None)


def a_contact_of_no_table(x: Harness) -> None:
    h.half(x, "X1", contact=Contact(tab_mm=3.3))


CASES: list[tuple[Callable[[Harness], None], str, str, str]] = [
    (insulation_nobody_knows, "W3", "heat_not_judged", "insulation 'bakelite'"),
    (no_insulation, "W3", "heat_not_judged", "insulation"),
    (air_above_the_class, "W3", "wire_in_hot_air", "no ampacity is left to judge"),
    (no_length_at_all, "W3", "length_zero", "its drop cannot be judged"),
    (length_not_known, "W3", "assumed", "length not known"),
    (size_not_known, "W3", "assumed", "size not known"),
    (style_without_a_band, "F2", "fuse_not_judged", "time band"),
    (style_not_known, "F2", "fuse_not_judged", "style not known"),
    (rating_not_known, "F2", "fuse_not_judged", "rating not known"),
    (contacts_not_recorded, "X1.1", "contact_not_judged", "neither rating nor tab width"),
    (a_contact_of_no_table, "X1.1", "crimp_not_judged", "no figures for a tab of 3.3 mm"),
]


@pytest.mark.parametrize("how", HOWS)
@pytest.mark.parametrize(
    ("spoil", "thing", "rule", "words"), CASES, ids=lambda v: getattr(v, "__name__", None)
)
def test_it_is_said_what_could_not_be_judged(
    how: str, spoil: Callable[[Harness], None], thing: str, rule: str, words: str
) -> None:
    x = h.sound()
    spoil(x)
    found = check(scope_of(x, how=HOWS[how]))
    assert not [f for f in found if f.rule == "check_failed"]
    told = [f for f in found if f.rule == rule and thing in f.ids]
    assert told, [f.sentence for f in found]
    assert words in told[0].text
    assert told[0].remedy


def test_a_size_below_a_table_is_not_judged_by_it() -> None:
    x = h.sound()
    h.wire(x, "W3", area_mm2=0.02)
    found = check(scope_of(x, how=HOWS["one table"]))
    assert [f.grade for f in found if f.rule == "heat_not_judged" and "W3" in f.ids] == ["note"]


@pytest.mark.parametrize(("area_mm2", "row"), [(5.0, "4 mm²"), (300.0, "120 mm²")])
def test_a_size_between_or_above_the_rows_of_a_table_takes_the_row_below_and_says_so(
    area_mm2: float, row: str
) -> None:
    x = h.sound()
    h.wire(x, "W3", area_mm2=area_mm2)
    may = scope_of(x, how=HOWS["one table"]).least["W3"].may
    assert not isinstance(may, NotJudged)
    assert row in f"{may.figure.note} {' '.join(step.note for step in may.steps)}"


@pytest.mark.parametrize("spoil", [insulation_nobody_knows, no_insulation, length_not_known])
def test_no_size_is_advised_on_what_is_not_known(spoil: Callable[[Harness], None]) -> None:
    x = h.sound()
    spoil(x)
    (row,) = advise(scope_of(x), ["W3"]).wires
    assert row.problem
    assert (row.smallest, row.proposed) == (None, None)


def test_a_wire_without_a_judged_heat_says_that_its_fuse_was_not_judged_either() -> None:
    x = h.sound()
    insulation_nobody_knows(x)
    (told,) = [f for f in check(scope_of(x)) if f.rule == "heat_not_judged"]
    assert "and whether its fuse protects it" in told.text
