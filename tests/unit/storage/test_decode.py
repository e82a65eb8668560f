"""Forms → readers: each takes what it should, notes everything else and goes on."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

import pytest

from harness_studio.model.forms import Choice, Fixed, Flag, Form, ListOf, Maybe, Number, Record, TableOf, Text
from harness_studio.storage.decode import decoder_of
from harness_studio.storage.nodes import Table, compose
from harness_studio.storage.reading import BAD, Reader


@dataclass(frozen=True)
class Bulb:
    rated_w: float
    note: str | None = None
    spares: tuple[int, ...] = ()
    pins: Mapping[str, str] = field(default_factory=dict)


def read(form: Form, text: str) -> tuple[Any, list[str]]:
    root, _ = compose(f"k: {text}\n")
    assert isinstance(root, Table)
    node = root.get("k")
    assert node is not None
    reader = Reader("")
    reader.path = ["k"]
    return decoder_of(form)(node, reader), [p.what for p in sorted(reader.problems)]


@pytest.mark.parametrize(
    ("form", "text", "value"),
    [
        (Text(), "NO", "NO"),
        (Text(), "'~'", "~"),
        (Text("awg"), "00", "2/0"),
        (Number(), "-1.5e3", -1500.0),
        (Number("mohm"), "open", float("inf")),
        (Number("", whole=True), "7", 7),
        (Flag(), "true", True),
        (Choice(("at hand", "unplug")), "at hand", "at hand"),
        (ListOf(Number()), "[1, 2]", (1.0, 2.0)),
        (ListOf(Number()), "", ()),
        (ListOf(Number(), or_one=True), "90", (90.0,)),
        (Fixed((Number(), Text())), "[1, 1]", (1.0, "1")),
        (TableOf(Number(), Text()), "{0.5: 1/2, 1: F}", {0.5: "1/2", 1.0: "F"}),
        (TableOf(Text(), Text()), "~", {}),
        (Maybe(Number()), "~", None),
        (Maybe(Number()), "", None),
        (Record(Bulb), "{rated_w: 5, spares: [1]}", Bulb(5.0, spares=(1,))),
    ],
)
def test_what_is_taken(form: Form, text: str, value: Any) -> None:
    assert read(form, text) == (value, [])


@pytest.mark.parametrize(
    ("form", "text", "told"),
    [
        (Text(), "~", "k: found nothing; wanted a text"),
        (Text(), "[a]", "k: found a list; wanted a text"),
        (Text("name"), "a.b", "k: found 'a.b'; wanted a name without spaces and without . @ / : , [ ] { }"),
        (Number("positive", "V"), "0", "k: found '0'; wanted a number above 0 (V)"),
        (
            Number("", "mm"),
            "42 cm",
            "k: found '42 cm'; wanted a number (mm); write 42 alone, the unit is in the key",
        ),
        (Number(), "'1,5'", "k: found '1,5'; wanted a number; write 1.5"),
        (Number(), "", "k: found nothing; wanted a number"),
        (Number("", whole=True), "1.5", "k: found '1.5'; wanted a whole number"),
        (Flag(), "yes", "k: found 'yes'; wanted true or false"),
        (
            Choice(("crimp", "weld")),
            "crump",
            "k: found 'crump'; wanted one of: crimp, weld; nearest known: crimp",
        ),
        (ListOf(Number()), "1", "k: found '1'; wanted a list in brackets: [..., ...]"),
        (Fixed((Number(), Number())), "[1]", "k: found a list of 1; wanted a list of 2: [..., ...]"),
        (TableOf(Number(), Text()), "{1: a, 1.0: b}", "k: '1.0' stands here a second time"),
        (Record(Bulb), "{note: x}", "k: the key 'rated_w' is missing"),
        (Record(Bulb), "{rated_w: 5, nota: x}", "k: unknown key 'nota'; nearest known: note"),
        (
            Record(Bulb),
            "{rated_w: 5, zzz: x}",
            "k: unknown key 'zzz'; known here: rated_w, note, spares, pins",
        ),
        (Record(Bulb), "5", "k: found '5'; wanted keys and values: {rated_w: ...}"),
    ],
)
def test_what_is_told(form: Form, text: str, told: str) -> None:
    assert read(form, text) == (BAD, [told])


def test_reading_goes_on_after_a_mistake() -> None:
    _, told = read(Record(Bulb), "{rated_w: x, spares: [a, 1, b], pins: {1: ~}}")
    assert told == [
        "k rated_w: found 'x'; wanted a number (W)",
        "k spares: found 'a'; wanted a whole number",
        "k spares: found 'b'; wanted a whole number",
        "k pins 1: found nothing; wanted a text",
    ]
