"""Wires, cores, lengths, colours and what ends them."""

import pytest

from harness_studio.intake.kbl import Imported, read_kbl
from harness_studio.model.entities import Multicore
from harness_studio.model.values import End
from tests.unit.intake.kbl_files import (
    connection,
    connector,
    core,
    extremity,
    harness,
    housing,
    kbl,
    length,
    multicore,
    refs,
    tag,
    text,
    wire,
    wire_part,
)  # fmt: skip


def read(*things: str, parts: str = "") -> Imported:
    """Return the harness of two 4-way connectors and `things`; wire part `w` is 0.75 mm² brown."""
    return read_kbl(
        kbl(
            housing("h", "1234"), wire_part("w", "0.75", "br") + parts,
            harness(connector("x", "X1", "h", 4) + connector("y", "X2", "h", 4), *things),
        ),
        "f",
    )  # fmt: skip


def said(result: Imported) -> list[str]:
    return [w.what for w in result.warnings]


def test_a_wire() -> None:
    result = read(wire("wi", "7", "w", "420.5"), connection("c", "wi", "x_p2", "y_p3", signal="horn"))
    found = result.harness.wires["W7"]
    assert found.ends == (End("point", "X1.2"), End("point", "X2.3"))
    assert (found.area_mm2, found.colour, found.length_mm, found.circuit) == (0.75, "BN", 420.5, "horn")
    assert (found.known_as, found.material, found.note) == ("7", "copper", None)
    row = result.rows[0]
    assert (row.number, row.kind, row.csa, row.colour, row.wires) == (
        "7",
        "Wire_occurrence",
        "0.75",
        "br",
        ("W7",),
    )
    assert (row.a, row.b, row.signal) == (("X1", "2"), ("X2", "3"), "horn")


def test_the_first_end_is_the_one_at_position_0() -> None:
    turned = tag(
        "Connection", "c", text("Wire", "wi"), extremity("e1", "1.0", "y_p1"), extremity("e0", "0.0", "x_p1")
    )
    assert read(wire("wi", "7", "w"), turned).harness.wires["W7"].ends[0] == End("point", "X1.1")


@pytest.mark.parametrize(
    ("colours", "code", "note"),
    [
        (("sw",), "BK", None),
        (("br", "ws"), "BN/WH", None),
        (("rt/ge",), "RD/YE", None),
        (("gnge",), "GNYE", None),
        (("BK", "RD"), "BK/RD", None),
        (("bl",), "BU", None),
        (("/NULL",), None, None),
        (("nd",), None, None),
        (("clear",), None, "colour 'clear' in the file"),
    ],
)
def test_colours(colours: tuple[str, ...], code: str | None, note: str | None) -> None:
    result = read(
        wire("wi", "1", "w2"), connection("c", "wi", "x_p1", "y_p1"), parts=wire_part("w2", "1", *colours)
    )
    found = result.harness.wires["W1"]
    assert (found.colour, found.note) == (code, note)
    assert any("is no code that is known" in what for what in said(result)) == bool(note)


def test_the_base_colour_comes_first_wherever_the_file_has_it() -> None:
    part = (
        wire_part("w2", "1", "ws", "br")
        .replace("Base colour", "Kennfarbe")
        .replace("First stripe", "Grundfarbe")
    )
    result = read(wire("wi", "1", "w2"), connection("c", "wi", "x_p1", "y_p1"), parts=part)
    assert result.harness.wires["W1"].colour == "BN/WH"


def test_insulation_and_metal() -> None:
    parts = wire_part("a", "35", "sw", cable="FLALRY") + wire_part(
        "b", "1", "sw", material="Al", cable="FLRY-B"
    )
    parts += wire_part("c", "1", "sw", material="unobtainium")
    wires = wire("wa", "1", "a") + wire("wb", "2", "b") + wire("wc", "3", "c")
    result = read(wires, parts=parts)
    found = result.harness.wires
    assert [(w.insulation, w.material) for w in found.values()] == [
        ("FLALRY", "aluminium"), ("FLRY-B", "aluminium"), (None, "copper"),
    ]  # fmt: skip
    assert any("material 'unobtainium'" in what for what in said(result))


# ----- lengths


@pytest.mark.parametrize(
    ("lengths", "length_mm"),
    [
        ((("DMU", "100"), ("Production", "120")), 120.0),
        ((("Production", "120"), ("DMU", "100")), 120.0),
        ((("supplement", "7"), ("DMU", "100")), 100.0),
        ((("supplement", "7"), ("other", "9")), 7.0),
        ((("Production", "0"), ("DMU", "100")), 100.0),
        ((("/NULL", "5"),), 5.0),
    ],
)
def test_which_of_several_lengths_counts(lengths: tuple[tuple[str, str], ...], length_mm: float) -> None:
    given = "".join(length(f"l{i}", value, kind=kind) for i, (kind, value) in enumerate(lengths))
    result = read(wire("wi", "1", "w", lengths=given), connection("c", "wi", "x_p1", "y_p1"))
    assert result.harness.wires["W1"].length_mm == length_mm
    assert any(what.startswith("wire lengths are those of type ") for what in said(result))


def test_a_bridge_of_length_0_is_kept_and_said() -> None:
    result = read(wire("wi", "1", "w", "0"), connection("c", "wi", "x_p1", "x_p2"))
    assert result.harness.wires["W1"].length_mm == 0.0
    assert "<General_wire_occurrence Wire_occurrence 'wi'> has length 0; it is kept as a bridge" in said(
        result
    )
    assert result.totals.wires == 1


# ----- multicores


CABLE = wire_part(
    "cable", "", "sw", cable="FLR9Y11Y",
    inside=core("k1", "0.5", "ws") + core("k2", "0.5", "br") + core("k3", "0.35", "nd", kind="drain wire"),
)  # fmt: skip


def test_a_multicore_with_a_shield() -> None:
    result = read(
        multicore("mc", "C.1", "cable", "2000", **{"11": "k1", "12": "k2", "13": "k3"}),
        connection("c1", "mc_11", "x_p1", "y_p1") + connection("c2", "mc_12", "x_p2", "y_p2")
        + connection("c3", "mc_13", "x_p3", "y_p3"),
        parts=CABLE,
    )  # fmt: skip
    assert result.harness.multicores["C_1"] == Multicore(
        "C_1", ("W11", "W12"), shield="W13", title="FLR9Y11Y", known_as="C.1"
    )
    wires = result.harness.wires
    assert [(w.area_mm2, w.colour, w.length_mm) for w in wires.values()] == [
        (0.5, "WH", 2000.0), (0.5, "BN", 2000.0), (0.35, None, 2000.0),
    ]  # fmt: skip
    assert [row.kind for row in result.rows] == ["Core_occurrence"] * 3
    assert (result.totals.wires, result.totals.wire_length_m) == (3, 6.0)


def test_a_core_without_a_length_has_that_of_its_cable() -> None:
    cable = multicore("mc", "C1", "cable", "2000", **{"11": "k1", "12": "k2"})
    bare = cable.replace(length("mc_11_l", "2000"), "")
    assert bare != cable
    result = read(bare, connection("c", "mc_11", "x_p1", "y_p1"), parts=CABLE)
    assert result.harness.wires["W11"].length_mm == 2000.0


def test_a_connection_of_a_whole_multicore_is_its_shield() -> None:
    result = read(
        multicore("mc", "C1", "cable", "900", **{"11": "k1", "12": "k2"}),
        connection("c", "mc", "x_p1", "y_p1", signal="screen"),
        parts=CABLE,
    )
    shield = result.harness.multicores["C1"].shield
    assert shield is not None
    assert result.harness.wires[shield].circuit == "screen"
    assert any("connects a whole multicore" in what for what in said(result))


def test_cores_left_unconnected_on_purpose_are_cut_ends() -> None:
    cable = multicore("mc", "C1", "cable", "900", **{"11": "k1", "12": "k2"})
    cable = cable.replace(
        "<Wire_number>12</Wire_number>", "<Wire_number>12</Wire_number><Unconnected>true</Unconnected>"
    )
    result = read(cable, connection("c", "mc_11", "x_p1", "y_p1"), parts=CABLE)
    assert result.harness.wires["W12"].ends == (End("cut"), End("cut"))
    assert not any("is in no connection" in what for what in said(result))


def test_wires_twisted_together() -> None:
    group = tag(
        "Wiring_group", "g", text("Id", "TP1"), text("Type", "twisted pair"), refs("Assigned_wire", "a", "b")
    )
    result = read(wire("a", "1", "w") + wire("b", "2", "w"), group)
    assert result.harness.multicores["TP1"] == Multicore(
        "TP1", ("W1", "W2"), twisted=True, title="twisted pair"
    )


def test_a_group_of_the_cores_of_one_multicore_says_that_they_are_twisted() -> None:
    group = tag(
        "Wiring_group",
        "g",
        text("Id", "TP1"),
        text("Type", "Twisted"),
        refs("Assigned_wire", "mc_11", "mc_12"),
    )
    result = read(multicore("mc", "C1", "cable", "9", **{"11": "k1", "12": "k2"}), group, parts=CABLE)
    assert set(result.harness.multicores) == {"C1"}
    assert result.harness.multicores["C1"].twisted


# ----- ends that are in doubt


def test_a_wire_in_no_connection_has_open_ends() -> None:
    result = read(wire("wi", "1", "w"))
    assert result.harness.wires["W1"].ends == (End("unknown"), End("unknown"))
    assert any("is in no connection" in what for what in said(result))


def test_a_connection_whose_wire_is_not_there_gets_one() -> None:
    result = read(connection("c", "ghost", "x_p1", "y_p1", signal="horn"))
    (found,) = result.harness.wires.values()
    assert found.ends == (End("point", "X1.1"), End("point", "X2.1"))
    assert (found.circuit, found.area_mm2) == ("horn", None)
    assert any("refers to 'ghost', which is nowhere in the file" in what for what in said(result))


def test_a_contact_point_that_is_not_there_leaves_an_open_end() -> None:
    result = read(wire("wi", "1", "w"), connection("c", "wi", "x_p1", "ghost"))
    assert result.harness.wires["W1"].ends == (End("point", "X1.1"), End("unknown"))
    assert any(w.line > 1 and "'ghost'" in w.what for w in result.warnings)


def test_a_connection_with_one_end() -> None:
    one = tag("Connection", "c", text("Wire", "wi"), extremity("e", "0", "x_p1"))
    result = read(wire("wi", "1", "w"), one)
    assert result.harness.wires["W1"].ends == (End("point", "X1.1"), End("unknown"))
    assert "<Connection 'c'> has 1 ends; the missing ones are open" in said(result)


def test_a_wire_that_is_tapped_on_its_way_becomes_wires_in_a_row() -> None:
    result = read(
        wire("wi", "1", "w", "1000"),
        connection("c", "wi", "x_p1", "y_p1", more=extremity("e2", "0.25", "x_p4")),
    )
    wires = result.harness.wires
    assert [(w.ends[0].text, w.ends[1].text, w.length_mm, w.known_as) for w in wires.values()] == [
        ("X1.1", "X1.4", 250.0, "1"), ("X1.4", "X2.1", 750.0, "1"),
    ]  # fmt: skip
    assert result.rows[0].wires == ("W1", "W1_2")
    assert (result.totals.wires, result.totals.wire_length_m) == (1, 1.0)


def test_a_wire_back_to_where_it_began_keeps_an_open_end() -> None:
    result = read(wire("wi", "1", "w"), connection("c", "wi", "x_p1", "x_p1"))
    assert result.harness.wires["W1"].ends == (
        End("point", "X1.1"),
        End("words", "back to X1.1, as the file says"),
    )
    assert "both ends of wire 1 are at X1.1; the second is left open" in said(result)


def test_a_wire_that_two_connections_claim() -> None:
    result = read(
        wire("wi", "1", "w"), connection("c", "wi", "x_p1", "y_p1") + connection("d", "wi", "x_p2", "y_p2")
    )
    assert result.harness.wires["W1"].ends == (End("point", "X1.1"), End("point", "X2.1"))
    assert any("<Connection 'd'> connects" in what and "the first is kept" in what for what in said(result))


def test_positions_that_are_none() -> None:
    odd = connection("c", "wi", "x_p1", "y_p1").replace(">0<", ">middle<").replace(">1<", ">7<")
    result = read(wire("wi", "1", "w"), odd)
    assert [end.text for end in result.harness.wires["W1"].ends] == ["X1.1", "X2.1"]
    assert sum("Position_on_wire" in what for what in said(result)) == 2


def test_wire_numbers_that_are_there_twice_or_not_at_all() -> None:
    wires = wire("a", "1", "w") + wire("b", "1", "w") + wire("c", "/NULL", "w") + wire("d", "LIN-1", "w")
    result = read(wires)
    assert {k: w.known_as for k, w in result.harness.wires.items()} == {
        "W1": "1", "W1_2": "1", "W-1": None, "LIN-1": None,
    }  # fmt: skip


def test_a_circuit_without_a_name_has_that_of_its_plan() -> None:
    plan = tag(
        "Schematic_connection",
        "sc",
        text("Id", "1"),
        text("Signal_name", "horn"),
        refs("Cavities", "x_c1", "y_c1"),
    )
    link = connection("c", "wi", "x_p1", "y_p1").replace(
        "<Wire>", "<Realized_schematic_connection>sc</Realized_schematic_connection><Wire>"
    )
    assert read(plan, wire("wi", "1", "w"), link).harness.wires["W1"].circuit == "horn"
