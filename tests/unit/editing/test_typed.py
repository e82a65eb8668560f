"""Values as people type them. Conversions: 1 in = 25.4 mm exactly (ISO 31 / BIPM); AWG areas by ASTM B258."""

import math
from pathlib import Path
from typing import Any

import pytest

from harness_studio.editing.fields import fields_of, value_at, with_value
from harness_studio.editing.quantities import Refused
from harness_studio.editing.typed import SizeForm, read, show
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
    keys_of,
)
from harness_studio.model.harness import Harness
from harness_studio.model.kinds.gauges import Scale
from harness_studio.model.values import End, Mount, Spot
from harness_studio.storage.project_file import read_project

MM = Number("not_negative", "mm")
MOHM = Number("mohm", "mΩ")


@pytest.mark.parametrize(
    ("form", "text", "value"),
    [
        (MM, "2 m", 2000.0),
        (MM, "1,2 m", 1200.0),
        (MM, '40"', 1016.0),
        (MM, "3/4 in", 19.05),
        (MM, "1 1/2 in", 38.1),
        (MM, "3' 4\"", 1016.0),
        (MOHM, "0.5 ohm", 500.0),
        (MOHM, "0,18 Ω", 180.0),
        (MOHM, "180", 180.0),
        (MOHM, "open", math.inf),
        (Number("positive", "Ω"), "1.2 kΩ", 1200.0),
        (Number("positive", "Ω"), "2 MΩ", 2e6),
        (Number("positive", "Ω"), "20 mΩ", 0.02),
        (Number("positive", "A"), "200 mA", 0.2),
        (Number("positive", "A"), "7,5 A", 7.5),
        (Number("", "°C"), "185 °F", 85.0),
        (Number("", "°C"), "-20 C", -20.0),
        (Number("positive", "mm²"), "1,5 mm²", 1.5),
        (Number("positive", "mm²"), "10 AWG", 5.261),
        (SizeForm(), "18 AWG", (None, "18")),
        (SizeForm(), "awg 00", (None, "2/0")),
        (SizeForm(), "1,5 mm²", (1.5, None)),
        (SizeForm(), "0.75", (0.75, None)),
        (SizeForm(), "", (None, None)),
        (Text("colour"), "brown with white", "BN/WH"),
        (Text("colour"), "br/ws", "BN/WH"),
        (Maybe(Text("date")), "2.3.2026", "2026-03-02"),
        (Choice(("factory", "previous owner", "us")), "Prev", "previous owner"),
        (Flag(), "x", True),
        (Flag(), "", False),
        (Special("end"), "", End("unknown")),
        (Special("end"), "X7.3", End("point", "X7.3")),
        (Special("end"), "'tape'", End("words", "tape")),
        (Special("end"), "behind the seat", End("words", "behind the seat")),
        (Special("spot"), "bed_left 1.18 m", Spot(run="bed_left", mm=1180.0)),
        (Special("spot"), "bk2", Spot(breakout="bk2")),
        (Record(Mount), "B- on engine.block", Mount("B-", "engine.block")),
        (ListOf(Text("id")), "a,b", ("a", "b")),
        (ListOf(ListOf(Text("id"))), "metal, W31, W40 with W41", (("W31",), ("W40", "W41"))),
        (Fixed((MM, MM)), "12 cm; 9,5 cm", (120.0, 95.0)),
        (TableOf(Text("name"), MOHM), "dash: 0,2, rear: 1 ohm", {"dash": 0.2, "rear": 1000.0}),
        (Special("mates"), "X8", {"X8": None}),
        (Special("mates"), "X8: {1: 1, 2: 3}", {"X8": {"1": "1", "2": "3"}}),
    ],
)  # fmt: skip
def test_what_is_typed_is_read(form: Any, text: str, value: object) -> None:
    assert read(form, text) == value


@pytest.mark.parametrize(
    ("form", "text", "why"),
    [
        (SizeForm(), "18", "write 1.5 mm² or 14 AWG"),
        (MM, "long", "is not a length"),
        (MM, "-3", "below 0"),
        (Number("positive", "A"), "0", "not above 0"),
        (Number("positive", "A"), "3 kg", "not a number in A"),
        (Text("colour"), "mud", "is no colour"),
        (Text("colour"), "black W4", "BK has no place for 'w4'"),
        (Choice(("cut", "crimped")), "c", "is not one of: cut, crimped"),
        (Fixed((MM, MM)), "120,90", "put ; between them"),
        (Maybe(Text("date")), "3/2/2026", "year-month-day"),
    ],
)
def test_what_cannot_be_read_is_refused_in_one_line(form: Any, text: str, why: str) -> None:
    with pytest.raises(Refused) as refused:
        read(form, text)
    assert why in str(refused.value)
    assert "\n" not in str(refused.value)


def harness_of(path: Path) -> Harness:
    return read_project(path).harness


def test_every_field_of_the_samples_reads_back_as_it_is_shown(sample_projects_dir: Path) -> None:
    seen = 0
    for path in sorted(sample_projects_dir.glob("*.yaml")):
        for table in harness_of(path).tables.values():
            for entity in table.values():
                for field in fields_of(entity):
                    value = value_at(entity, field.path)
                    if value is None:
                        continue
                    assert read(field.form, show(field.form, value)) == value, (entity.id, field.path)
                    assert with_value(entity, field.path, value) == entity
                    seen += 1
    assert seen > 5000


def test_a_table_by_ohms_has_its_unit_with_the_ohms() -> None:
    form = keys_of(Scale)["ohm"].form
    assert show(form, {240.0: 0.0, 33.0: 1.0}) == "240 Ω: 0, 33 Ω: 1"
    assert read(form, "240 Ω: 0, 33: 1") == {240.0: 0.0, 33.0: 1.0}
