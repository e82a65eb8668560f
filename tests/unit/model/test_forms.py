"""Type hints → forms."""

from collections.abc import Mapping
from typing import Any

import pytest

from harness_studio.model.entities import Body, Half, Settings, Wire
from harness_studio.model.forms import (
    Choice,
    Fixed,
    Flag,
    ListOf,
    Maybe,
    Number,
    Record,
    Special,
    TableOf,
    Text,
    form_of,
    keys_of,
    per_class,
    unit_in,
)
from harness_studio.model.harness import SECTIONS
from harness_studio.model.kinds import KINDS
from harness_studio.model.kinds.gauges import Gauge
from harness_studio.model.parts import Part
from harness_studio.model.values import Contact


def test_forms_of_keys() -> None:
    wire = keys_of(Wire)
    assert wire["ends"].form == Fixed((Special("end"), Special("end")))
    assert wire["ends"].required
    assert wire["area_mm2"].form == Maybe(Number("positive", "mm²"))
    assert wire["awg"].form == Maybe(Text("awg"))
    assert isinstance(wire["done"].form, ListOf)
    assert wire["material"].default == "copper"
    assert "id" not in wire
    half = keys_of(Half)
    assert (half["at"].form, half["mates"].form, half["sealed"].form) == (
        Maybe(Special("spot")),
        Special("mates"),
        Flag(),
    )
    assert half["contact"].form == Maybe(Record(Contact))
    assert keys_of(Body)["places_mohm"].form == TableOf(Text("name"), Number("mohm", "mΩ"))
    assert keys_of(Settings)["grounded"].form == Choice(("negative", "positive"))
    assert keys_of(Gauge)["coil_ohm"].form == ListOf(Number("", "Ω"), or_one=True)
    assert "ratings" not in keys_of(Part)


@pytest.mark.parametrize("cls", [*SECTIONS.values(), *{k.ratings: 0 for k in KINDS.values()}])
def test_every_entity_has_forms(cls: type[Any]) -> None:
    assert all(key.name == name for name, key in keys_of(cls).items())
    assert keys_of(cls) is keys_of(cls)


@pytest.mark.parametrize(
    "hint", [set[str], list[str], int | str, object, Mapping[tuple[int, int], str], bytes]
)
def test_a_hint_without_a_form_is_told(hint: Any) -> None:
    with pytest.raises(TypeError, match="cannot"):
        form_of(hint)


@pytest.mark.parametrize(
    ("name", "unit"),
    [("area_mm2", "mm²"), ("length_mm", "mm"), ("rated_a", "A"), ("full_ma", "mA"), ("mohm", "mΩ"), ("ohm", "Ω"),
     ("ambient_c", "°C"), ("tempco_per_k", "1/K"), ("mm_per_px", "mm per pixel"), ("odometer_km", "km"),
     ("over_s", "s"), ("awg", ""), ("known_as", ""), ("a", ""), ("title", "")],
)  # fmt: skip
def test_units_are_in_the_names(name: str, unit: str) -> None:
    assert unit_in(name) == unit


def test_work_is_done_once_per_class() -> None:
    done: list[type[Any]] = []

    @per_class
    def note(cls: type[Any]) -> int:
        done.append(cls)
        return len(done)

    assert [note(int), note(str), note(int)] == [1, 2, 1]
