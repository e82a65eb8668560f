"""Which variants of a harness are read."""

import pytest

from harness_studio.base.errors import InputError
from harness_studio.intake.kbl import MODULES_HELP, Imported, read_kbl
from tests.unit.intake.kbl_files import (
    connection,
    connector,
    harness,
    housing,
    kbl,
    module,
    part,
    refs,
    tag,
    text,
    wire,
    wire_part,
)  # fmt: skip


def variants(*more: str) -> bytes:
    """Return a harness with a basic module (X1 to X2), and two radios that exclude each other (X1 to X3, X4 to X3)."""
    return kbl(
        housing("h", "12"),
        wire_part("w", "1", "sw"),
        harness(
            connector("x1", "X1", "h", 2) + connector("x2", "X2", "h", 2) + connector("x3", "X3", "h", 2)
            + connector("x4", "X4", "h", 2),
            wire("a", "1", "w") + wire("b", "2", "w") + wire("c", "3", "w"),
            connection("ca", "a", "x1_p1", "x2_p1") + connection("cb", "b", "x1_p2", "x3_p1")
            + connection("cc", "c", "x4_p1", "x3_p2"),
            module("m0", "BASE", "x2", "a", "ca", about="everything else")
            + module("m1", "R-1", "b", "cb", condition="+radio1", family="fam")
            + module("m2", "R-2", "c", "cc", "x4", condition="+radio2", family="fam"),
            tag("Module_families", "fam", text("Id", "radios")),
            *more,
        ),
    )  # fmt: skip


def configuration(xml_id: str, number: str, *modules: str) -> str:
    return part(
        "Harness_configuration", xml_id, text("Car_classification_level_2", "/NULL"), text("Model_year", "/NULL"),
        refs("Modules", *modules), number=number,
    )  # fmt: skip


def read(modules: str, *more: str) -> Imported:
    return read_kbl(variants(*more), "f", modules)


@pytest.mark.parametrize(
    ("modules", "halves", "wires", "chosen"),
    [
        ("all", {"X1", "X2", "X3", "X4"}, {"W1", "W2", "W3"}, ["BASE", "R-1", "R-2"]),
        ("base", {"X1", "X2", "X3"}, {"W1"}, ["BASE"]),
        ("R-1", {"X1", "X3"}, {"W2"}, ["R-1"]),
        ("m2", {"X1", "X3", "X4"}, {"W3"}, ["R-2"]),
        ("base,R-2", {"X1", "X2", "X3", "X4"}, {"W1", "W3"}, ["BASE", "R-2"]),
        (" base , R-1 ", {"X1", "X2", "X3"}, {"W1", "W2"}, ["BASE", "R-1"]),
    ],
)
def test_what_each_choice_reads(modules: str, halves: set[str], wires: set[str], chosen: list[str]) -> None:
    result = read(modules)
    assert set(result.harness.halves) == halves
    assert set(result.harness.wires) == wires
    assert [m.part_number for m in result.modules_chosen] == chosen
    assert [m.part_number for m in result.modules_in_file] == ["BASE", "R-1", "R-2"]


def test_what_was_chosen_is_said() -> None:
    said = [w.what for w in read("base,R-1").warnings]
    assert "modules 'base,R-1': 2 of 3 are read: BASE (everything else), R-1" in said


def test_variants_that_may_exclude_each_other_are_told() -> None:
    assert "family radios: 2 modules are read together (R-1, R-2); they may exclude each other" in [
        w.what for w in read("all").warnings
    ]
    assert not any("family" in w.what for w in read("base,R-1").warnings)


def test_a_wire_whose_connector_is_not_chosen_keeps_an_open_end_that_says_where_it_would_go() -> None:
    file = variants().replace(b" cc x4</Cont", b" cc</Cont").replace(b"x2 a ca", b"x2 x4 a ca")
    ends = read_kbl(file, "f", "R-2").harness.wires["W3"].ends
    assert [end.what for end in ends] == ["words", "point"]
    assert ends[0].text == "x4_p1, not in what was read"


def test_a_module_that_every_configuration_names_is_basic() -> None:
    conditional = [
        configuration("k1", "HC-1", "m0", "m1"),
        configuration("k2", "HC-2", "m0", "m2"),
    ]
    file = variants("".join(conditional)).replace(b"everything else", b"x")
    file = file.replace(b"<Logistic_control_information>/NULL<", b"<Logistic_control_information>+always<")
    assert [m.part_number for m in read_kbl(file, "f", "base").modules_chosen] == ["BASE"]
    without = file.replace(b">m0 m1<", b">m1<")
    assert read_kbl(without, "f", "base").modules_chosen == ()


def test_a_configuration_names_its_modules() -> None:
    result = read("HC-1", configuration("k1", "HC-1", "m0", "m1"))
    assert [m.part_number for m in result.modules_chosen] == ["BASE", "R-1"]


def test_the_only_module_of_a_file_is_basic() -> None:
    file = kbl(
        housing("h", "1"), harness(connector("x", "X1", "h", 1), module("m", "M", "x", condition="+only"))
    )
    assert set(read_kbl(file, "f", "base").harness.halves) == {"X1"}


def test_a_module_that_is_not_there_is_refused_with_those_that_are() -> None:
    with pytest.raises(InputError) as caught:
        read("R-3")
    line = str(caught.value)
    assert line.startswith("f: there is no module 'R-3' (nearest is 'R-")
    assert line.endswith("; the file has BASE (everything else), R-1, R-2")
    with pytest.raises(InputError, match="there is no module 'M': the file has none"):
        read_kbl(kbl(harness()), "f", "M")


def test_a_module_that_controls_what_is_not_there() -> None:
    file = kbl(harness(module("m", "M", "ghost")))
    assert "<Module 'm'> controls 'ghost', which is nowhere in the file" in [
        w.what for w in read_kbl(file).warnings
    ]


@pytest.mark.parametrize("word", ["all", "base", "ID,..."])
def test_the_help_defines_each_choice(word: str) -> None:
    assert f"\n  {word} " in MODULES_HELP
