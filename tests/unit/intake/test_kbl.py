"""A whole file: what is refused, what is said about it, and that the harness it makes is sound."""

from pathlib import Path

import pytest

from harness_studio.base.changes import Changes
from harness_studio.base.errors import InputError
from harness_studio.intake.kbl import Imported, read_kbl
from harness_studio.model.conflicts import conflicts
from harness_studio.model.edits import check_references
from harness_studio.storage.project_file import parse, render
from tests.unit.intake.big_file import big_file
from tests.unit.intake.kbl_files import (
    cavity,
    connection,
    connector,
    fitted_slot,
    harness,
    housing,
    kbl,
    occurrence,
    part,
    pump,
    refs,
    tag,
    text,
    wire,
    wire_part,
)  # fmt: skip


def refused(data: bytes) -> str:
    with pytest.raises(InputError) as caught:
        read_kbl(data, "f.kbl")
    line = str(caught.value)
    assert "\n" not in line
    return line


def said(result: Imported) -> list[str]:
    return [w.what for w in result.warnings]


@pytest.mark.parametrize("version", ["2.3", "2.3 SR-1", "2.4", "2.4 SR-1", "2.5", "2.5-sr1"])
def test_the_versions_that_are_known(version: str) -> None:
    result = read_kbl(pump(version))
    assert result.version == version
    assert not any("version" in what for what in said(result))
    totals = result.totals
    assert (totals.halves, totals.cavities, totals.wires, totals.grounds, totals.wire_length_m) == (
        1,
        3,
        1,
        1,
        1.2,
    )


@pytest.mark.parametrize("version", ["2.2", "2.6", "3.0", "2.44", "", "latest"])
def test_another_version_is_read_and_said(version: str) -> None:
    result = read_kbl(pump(version), "f")
    assert result.totals.wires == 1
    about = f"the version '{version}' is none of 2.3, 2.4 and 2.5; the file is read as far as it is like them"
    assert f"f:2:1: {about}" in [str(w) for w in result.warnings]


@pytest.mark.parametrize("codec", ["utf-8", "utf-8-sig", "utf-16", "latin-1"])
def test_encodings(codec: str) -> None:
    declared = {"utf-8-sig": "UTF-8", "latin-1": "ISO-8859-1"}.get(codec, codec.upper())
    data = (
        kbl(harness(about="Zündung"), encoding="UTF-8")
        .decode()
        .replace('encoding="UTF-8"', f'encoding="{declared}"')
    )
    assert read_kbl(data.encode(codec)).harness.settings.title == "Zündung"


def test_namespaces_and_prefixes_do_not_matter() -> None:
    plain = pump().replace(b"kbl:KBL_container", b"KBL_container").replace(b"xmlns:kbl", b"xmlns")
    other = pump().replace(b"kbl:", b"k:").replace(b"xmlns:kbl", b"xmlns:k").replace(b"KBL2.3", b"KBL2.9")
    assert read_kbl(plain, "f").harness == read_kbl(other, "f").harness == read_kbl(pump(), "f").harness


@pytest.mark.parametrize(
    ("root", "about"),
    [
        ("svg", "this is no KBL file"),
        ("KBL_schema", "this is a KBL file older than version 2.3"),
        ("VecContent", "this is a VEC file, the format that follows KBL"),
    ],
)
def test_xml_that_is_no_kbl(root: str, about: str) -> None:
    line = refused(f"<?xml version='1.0'?>\n<x:{root} xmlns:x='u'/>".encode())
    assert line == f"f.kbl:2:1: the outermost element is <{root}>, not <KBL_container>: {about}"


def test_what_is_no_xml_has_a_doctype_or_ends_in_the_middle_is_refused() -> None:
    assert refused(b"") == "f.kbl: the file is empty"
    assert "this is not XML but a PDF" in refused(b"%PDF-1.7")
    assert "DOCTYPE" in refused(pump().replace(b"<kbl:KBL_container", b"<!DOCTYPE x><kbl:KBL_container", 1))
    assert "ends in the middle" in refused(pump()[:2000])


def test_a_file_that_cannot_be_read(tmp_path: Path) -> None:
    with pytest.raises(InputError, match=r"gone\.kbl cannot be read: No such file"):
        read_kbl(tmp_path / "gone.kbl")
    with pytest.raises(InputError, match="cannot be read: Is a directory"):
        read_kbl(str(tmp_path))


def test_a_file_is_called_by_its_name(tmp_path: Path) -> None:
    path = tmp_path / "Lichtmaschine ä.kbl"
    path.write_bytes(pump("9"))
    result = read_kbl(path)
    assert str(result.warnings[-1]).startswith("Lichtmaschine ä.kbl:2:1: ")
    assert result.harness.settings.note == "imported from Lichtmaschine ä.kbl, KBL 9, harness HW-7"


def test_texts_of_null_say_nothing() -> None:
    result = read_kbl(
        kbl(
            housing("h", "1"),
            wire_part("w", "1", "/NULL", cable="/NULL"),
            harness(
                connector("x", "X1", "h", 1, about="/NULL", usage="/NULL"),
                wire("wi", "1", "w"),
                connection("c", "wi", "x_p1", "/NULL", signal="/NULL"),
                about="/NULL",
                number="/NULL",
            ),
        ),
        "f.kbl",
    )
    assert result.harness.settings.title == "f.kbl"
    half, found = result.harness.halves["X1"], result.harness.wires["W1"]
    assert (half.title, half.note) == (None, None)
    assert (found.colour, found.insulation, found.circuit) == (None, None, None)
    assert "NULL" not in render(result.harness)


def test_nothing_but_parts() -> None:
    result = read_kbl(kbl(housing("h", "1")))
    assert said(result) == ["the file has no Harness, only parts; there is nothing to draw"]
    assert result.totals.halves == 0


def test_system_volts_come_from_the_circuits() -> None:
    def of(*volts: str) -> Imported:
        links = "".join(connection(f"c{i}", f"w{i}", "x_p1", "x_p2", volts=v) for i, v in enumerate(volts))
        wires = "".join(wire(f"w{i}", str(i), "w") for i in range(len(volts)))
        return read_kbl(
            kbl(
                housing("h", "12"),
                wire_part("w", "1", "sw"),
                harness(connector("x", "X", "h", 2), wires, links),
            )
        )

    assert of("24 V", "24V", "").harness.settings.system_v == 24.0
    assert of("low").harness.settings.system_v == 12.0
    mixed = of("12", "48 V")
    assert mixed.harness.settings.system_v == 12.0
    assert "the file has circuits of 12, 48 V; 12 V is taken for all" in said(mixed)


def test_what_is_not_taken_over_is_counted() -> None:
    things = occurrence("Fixing_occurrence", "f1", "f", label="1") + occurrence(
        "Fixing_occurrence", "f2", "f", label="2"
    )
    result = read_kbl(
        kbl(part("Fixing", "f"), harness(things, occurrence("Accessory_occurrence", "a", "f", label="3")))
    )
    assert "not taken over: 2 fixings, 1 accessories" in said(result)


def test_names_that_had_to_be_changed_are_said_once() -> None:
    assert (
        said(read_kbl(pump())).count(
            "2 names could not be ids as they stand ('GP.1' is GP_1, '7' is W7); the file's are kept in known_as"
        )
        == 1
    )


# ----- assemblies


def assembly(*specified: str) -> Imported:
    """Return the harness of one assembly, an aerial cable, that is fitted twice."""
    cable = part(
        "Assembly_part", "ap",
        connection("ac", "aw", "ax_p1", "ay_p1", signal="aerial"),
        connector("ax", "X1", "h", 1) + connector("ay", "X2", "h", 1),
        wire("aw", "1", "w", "3000"),
    )  # fmt: skip
    fitted = "".join(
        occurrence("Assembly_part_occurrence", f"ao{i}", "ap", label=f"aerial {i}") for i in (1, 2)
    )
    return read_kbl(kbl(housing("h", "1"), wire_part("w", "1", "sw"), cable, harness(fitted, *specified)))


def test_an_assembly_is_there_as_often_as_it_is_fitted() -> None:
    result = assembly()
    assert set(result.harness.halves) == {"X1", "X2", "X1_2", "X2_2"}
    ends = [(w.ends[0].text, w.ends[1].text) for w in result.harness.wires.values()]
    assert ends == [("X1.1", "X2.1"), ("X1_2.1", "X2_2.1")]
    assert result.totals.wire_length_m == 6.0


def test_what_the_harness_says_of_a_thing_in_an_assembly_stands_for_it() -> None:
    own = tag(
        "Connector_occurrence", "sp", text("Id", "X77"), text("Part", "h"),
        fitted_slot("spo", "h_s", cavity("spc", "h_s_c1")),
        refs("Related_assembly", "ao2"), refs("Related_occurrence", "ay"),
        kind="Specified_connector_occurrence",
    )  # fmt: skip
    result = assembly(own)
    assert set(result.harness.halves) == {"X77", "X1", "X2", "X1_2"}
    ends = [(w.ends[0].text, w.ends[1].text) for w in result.harness.wires.values()]
    assert ends == [("X1.1", "X2.1"), ("X1_2.1", "X77.1")]


# ----- everything at once


@pytest.mark.parametrize("modules", ["all", "base", "M-2", "base,M-3"])
def test_the_harness_is_sound_and_can_be_saved(modules: str) -> None:
    result = read_kbl(big_file(), "f", modules)
    check_references(result.harness, Changes(added=frozenset(result.harness.refs())))
    assert list(conflicts(result.harness)) == []
    assert parse(render(result.harness)).harness.tables == result.harness.tables


def test_the_big_file_holds_what_it_should() -> None:
    result = read_kbl(big_file())
    assert {s: len(t) for s, t in result.harness.tables.items() if t} == {
        "settings": 1, "bodies": 1, "breakouts": 4, "runs": 3, "parts": 3, "halves": 5, "splices": 1, "grounds": 1,
        "wires": 10, "multicores": 1,
    }  # fmt: skip
    assert result.totals.wires == 9
    assert result.harness.halves["X_1"].mates == {"X_2": {"3": "10A"}}


def test_reading_twice_gives_the_same() -> None:
    assert read_kbl(big_file(), "f") == read_kbl(big_file(), "f")
