"""``import``: a project from a KBL file, its totals and its warnings."""

import json
from pathlib import Path

import pytest

from harness_studio.storage.project_file import read_project
from tests.unit.app.conftest import Run

# The least that holds two ring terminals, one wire, and two modules. Written for this test from the published schema.
KBL = """\
<?xml version="1.0" encoding="UTF-8"?>
<kbl:KBL_container xmlns:kbl="http://www.prostep.org/Car_electrical_container/KBL2.4/KBLSchema" id="id_0"
    version_id="2.4">
  <Unit id="u_mm"><Unit_name>millimetre</Unit_name><Si_unit_name>metre</Si_unit_name><Si_prefix>milli</Si_prefix></Unit>
  <Unit id="u_mm2"><Unit_name>square millimetre</Unit_name>
    <Si_unit_name>metre</Si_unit_name><Si_prefix>milli</Si_prefix>
    <Si_dimension>square</Si_dimension></Unit>
  <General_wire id="gw"><Part_number>GW-1</Part_number><Cross_section_area><Unit_component>u_mm2</Unit_component>
    <Value_component>1.5</Value_component></Cross_section_area>
    <Cover_colour id="cc"><Colour_type>Base</Colour_type><Colour_value>br</Colour_value></Cover_colour></General_wire>
  <Connector_housing id="ch"><Part_number>CH-1</Part_number><Slots id="s1"><Cavities id="cv1">
    <Cavity_number>10A</Cavity_number></Cavities></Slots></Connector_housing>
  <Harness id="h"><Part_number>H-1</Part_number><Abbreviation>Test loom</Abbreviation>
    <Connector_occurrence id="co1"><Id>X.1</Id><Part>ch</Part><Slots id="so1"><Part>s1</Part>
      <Cavities id="cy1"><Part>cv1</Part></Cavities></Slots>
      <Contact_points id="cp1"><Id>10A</Id><Contacted_cavity>cy1</Contacted_cavity></Contact_points>
    </Connector_occurrence>
    <Connector_occurrence id="co2"><Id>X2</Id><Part>ch</Part><Slots id="so2"><Part>s1</Part>
      <Cavities id="cy2"><Part>cv1</Part></Cavities></Slots>
      <Contact_points id="cp2"><Id>10A</Id><Contacted_cavity>cy2</Contacted_cavity></Contact_points>
    </Connector_occurrence>
    <General_wire_occurrence xmlns:xsi="http://www.w3.org/2001/XMLSchema-instance" xsi:type="kbl:Wire_occurrence"
        id="wo1"><Part>gw</Part><Wire_number>17</Wire_number>
      <Length_information id="li"><Length_type>Production</Length_type><Length_value>
        <Unit_component>u_mm</Unit_component><Value_component>850</Value_component></Length_value></Length_information>
    </General_wire_occurrence>
    <Connection id="c1"><Signal_name>ground</Signal_name><Wire>wo1</Wire>
      <Extremities><Position_on_wire>0</Position_on_wire><Contact_point>cp1</Contact_point></Extremities>
      <Extremities><Position_on_wire>1</Position_on_wire><Contact_point>cp2</Contact_point></Extremities></Connection>
    <Module id="m1"><Part_number>M-1</Part_number><Module_configuration id="mc1">
      <Controlled_components>co1 co2</Controlled_components></Module_configuration></Module>
    <Module id="m2"><Part_number>M-2</Part_number><Module_configuration id="mc2">
      <Logistic_control_information>option 2</Logistic_control_information>
      <Controlled_components>wo1 c1</Controlled_components></Module_configuration></Module>
  </Harness>
</kbl:KBL_container>
"""
KEYS = ["halves", "cavities", "wires", "splices", "grounds", "runs", "wire_length_m", "warnings"]


@pytest.fixture
def loom(tmp_path: Path) -> Path:
    file = tmp_path / "loom.kbl"
    file.write_text(KBL, encoding="utf-8")
    return file


def test_the_json_has_the_totals_and_the_project_holds_them(run: Run, loom: Path, tmp_path: Path) -> None:
    target = tmp_path / "loom.yaml"
    done = run("import", loom, "-o", target, "--json")
    assert (done.code, done.err) == (0, "")
    document = json.loads(done.out)
    assert list(document) == KEYS
    assert document | {"warnings": []} == {
        "halves": 2, "cavities": 2, "wires": 1, "splices": 0, "grounds": 0, "runs": 0, "wire_length_m": 0.85,
        "warnings": [],
    }  # fmt: skip
    harness = read_project(target).harness
    (wire,) = harness.wires.values()
    assert (wire.area_mm2, wire.colour, wire.length_mm) == (1.5, "BN", 850.0)
    assert {end.text for end in wire.ends} == {"X_1.10A", "X2.10A"}
    assert harness.halves["X_1"].known_as == "X.1"
    assert any("X.1" in warning and str(loom) in warning for warning in document["warnings"])


def test_the_modules_read_are_said_and_a_module_left_out_is_not_read(
    run: Run, loom: Path, tmp_path: Path
) -> None:
    target = tmp_path / "loom.yaml"
    done = run("import", loom, "-o", target, "--modules", "base")
    assert (done.code, done.err) == (0, "")
    assert "modules: 1 of 2 read: M-1" in done.out
    assert read_project(target).harness.wires == {}
    done = run("import", loom, "-o", target, "--modules", "M-2,M-1")
    assert "modules: 2 of 2 read: M-1, M-2" in done.out
    assert len(read_project(target).harness.wires) == 1


def test_a_module_that_is_not_there_is_told_and_nothing_is_written(
    run: Run, loom: Path, tmp_path: Path
) -> None:
    target = tmp_path / "loom.yaml"
    done = run("import", loom, "-o", target, "--modules", "M-3")
    assert (done.code, done.out, len(done.complaints)) == (2, "", 1)
    assert "M-3" in done.err
    assert not target.exists()


def test_the_table_says_what_was_read_and_from_where(run: Run, loom: Path, tmp_path: Path) -> None:
    done = run("import", loom, "-o", tmp_path / "loom.yaml")
    lines = done.out.splitlines()
    assert lines[0].startswith(f"{tmp_path / 'loom.yaml'}: ")
    assert lines[0].endswith(f"read from {loom}")
    assert any(line.split() == ["wire", "in", "all", "0.85", "m"] for line in lines)


def test_a_project_that_is_there_is_kept_beside_the_new_one(run: Run, loom: Path, tmp_path: Path) -> None:
    target = tmp_path / "loom.yaml"
    target.write_text("what was there\n")
    assert run("import", loom, "-o", target).code == 0
    assert (tmp_path / "loom.yaml.bak").read_text() == "what was there\n"


def test_the_help_defines_each_choice_of_modules(run: Run) -> None:
    text = run("import", "--help").out
    for choice in (
        "all     everything",
        "base    what every variant has",
        "ID,...  the modules with these ids",
    ):
        assert choice in text


def test_an_import_can_be_asked_for_its_shares(run: Run, samples_dir: Path, tmp_path: Path) -> None:
    target = tmp_path / "engine.yaml"
    document = json.loads(
        run("import", samples_dir / "kbl" / "engine_harness.kbl", "-o", target, "--json").out
    )
    assert (document["wires"], document["cavities"], document["grounds"]) == (18, 31, 2)
    for ground in read_project(target).harness.grounds:
        done = run("shares", target, ground, "--json")
        assert (done.code, done.err) == (0, "")
        rows = json.loads(done.out)["shares"]
        assert rows
        assert all(row["element"] is None and row["side"] == "return" for row in rows)
        assert run("shares", target, ground).code == 0
