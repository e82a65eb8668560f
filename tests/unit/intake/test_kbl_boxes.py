"""Fuse boxes, fuses in their slots, and components that are mounted on connectors."""

import pytest

from harness_studio.intake.kbl import Imported, read_kbl
from harness_studio.model.kinds.control import Box, Device
from harness_studio.model.kinds.protection import Fuse
from harness_studio.model.kinds.switching import Relay
from tests.unit.intake.big_file import box, box_part, fitted_fuse, fuse
from tests.unit.intake.kbl_files import (
    amount,
    connection,
    connector,
    harness,
    housing,
    kbl,
    part,
    refs,
    tag,
    text,
    wire,
    wire_part,
)  # fmt: skip


def read(*things: str, parts: str = "") -> Imported:
    """Return the harness of a fuse box with contacts bo_p1 (feed), bo_p2 and bo_p3, and what else is given."""
    return read_kbl(
        kbl(
            box_part(), fuse("f10", "fuse 10 A", "10") + parts, housing("h", "123"), wire_part("w", "1", "rt"),
            harness(box(), *things),
        ),
        "f",
    )  # fmt: skip


def said(result: Imported) -> list[str]:
    return [w.what for w in result.warnings]


BY_CAVITIES = fitted_fuse("fo1", "F1", "f10", "bo_f1_1", "bo_f1_2")
BY_SLOT = fitted_fuse("fo2", "F2", "f10", "bo_f2")


def test_a_box_holds_its_fuses_and_joins_what_it_joins_inside() -> None:
    parts = read(BY_CAVITIES + BY_SLOT).harness.parts
    assert parts["A1"].kind == "box"
    assert parts["A1"].title == "fuse box"
    assert parts["A1"].ratings == Box(
        holds=("F1", "F2"),
        buses=(("A1.P-1", "F1.in", "F2.in", "A1.F3-1"), ("A1.P-2", "F1.out"), ("A1.P-3", "F2.out")),
    )


def test_an_empty_box_keeps_the_places_for_fuses() -> None:
    ratings = read().harness.parts["A1"].ratings
    assert ratings.holds == ()
    assert ratings.buses == (
        ("A1.P-1", "A1.F1-1", "A1.F2-1", "A1.F3-1"),
        ("A1.P-2", "A1.F1-2"),
        ("A1.P-3", "A1.F2-2"),
    )


def test_a_connector_of_a_box_is_a_half_that_plugs_onto_it() -> None:
    result = read(BY_CAVITIES)
    half = result.harness.halves["A1_P"]
    assert (half.part, half.known_as, half.title) == ("A1", "A1.P", "P of A1")
    assert {name: c.terminal for name, c in half.cavities.items()} == {"1": "P-1", "2": "P-2", "3": "P-3"}
    assert (result.totals.halves, result.totals.box_halves, result.totals.cavities) == (1, 1, 3)


def test_wires_end_in_the_cavities_of_a_box() -> None:
    result = read(
        connector("x", "X1", "h", 3),
        wire("wi", "1", "w"),
        connection("c", "wi", "bo_p2", "x_p1"),
        BY_CAVITIES,
    )
    assert [e.text for e in result.harness.wires["W1"].ends] == ["A1_P.2", "X1.1"]
    assert result.rows[0].a == ("A1.P", "2")


def test_a_fuse_has_its_rating_its_type_and_what_it_feeds() -> None:
    consumer = tag("AttachedConsumers", "ac", text("Id", "M1"), text("Description", "horn"))
    fed = BY_CAVITIES.replace("</Component_occurrence>", f"{consumer}</Component_occurrence>")
    found = read(fed).harness.parts["F1"]
    assert (found.kind, found.ratings) == ("fuse", Fuse(rated_a=10.0))
    assert (found.circuit, found.note, found.part_number) == ("horn", "fuse type medium of ours", "P-f10")


def test_a_rating_whose_unit_is_not_sure_is_noted() -> None:
    volts = part("Component", "fv", amount("Nominal_current", "n", "10", "u_mm"), kind="Fuse")
    found = read(fitted_fuse("fo", "F9", "fv", "bo_f1"), parts=volts).harness.parts["F9"]
    assert found.ratings.rated_a is None
    assert found.note == "rated 10 millimetre, as the file says"


def test_two_fuses_in_one_slot() -> None:
    result = read(BY_CAVITIES + fitted_fuse("fo9", "F9", "f10", "bo_f1"))
    assert "F9 is in a slot that another component fills" in said(result)
    assert result.harness.parts["A1"].ratings.buses[0] == ("A1.P-1", "F1.in", "A1.F2-1", "A1.F3-1")


def test_a_fuse_that_is_mounted_nowhere() -> None:
    result = read(fitted_fuse("fo", "F9", "f10"))
    assert result.harness.parts["F9"].kind == "fuse"
    assert "F9 is mounted on nothing that is read; no wire reaches it" in said(result)


def component(xml_id: str, name: str, of: str, *mounting: str, pins: str = "") -> str:
    return tag(
        "Component_occurrence", xml_id, text("Id", name), refs("Mounting", *mounting), text("Part", of), pins
    )


def test_a_fuse_by_its_name_where_the_file_has_no_type_for_it() -> None:
    result = read(component("co", "F1", "cp", "bo_f1"), parts=part("Component", "cp", about="Sicherung 10A"))
    assert result.harness.parts["F1"].kind == "fuse"
    assert any("is taken as a fuse for its name ('Sicherung 10A')" in what for what in said(result))
    holder = read(
        component("co", "F1", "cp", "bo_f1"), parts=part("Component", "cp", about="Sicherungshalter")
    )
    assert holder.harness.parts["F1"].kind == "device"


def test_a_component_alone_on_a_connector_is_what_it_plugs_onto() -> None:
    result = read(
        connector("x", "X1", "h", 3),
        component("co", "B7", "cp", "x"),
        parts=part("Component", "cp", about="oil sender"),
    )
    half, found = result.harness.halves["X1"], result.harness.parts["B7"]
    assert half.part == "B7"
    assert {n: c.terminal for n, c in half.cavities.items()} == {"1": "1", "2": "2", "3": "3"}
    assert (found.kind, found.title, found.ratings) == ("device", "oil sender", Device(("1", "2", "3")))


def test_a_component_whose_pins_are_mapped() -> None:
    pins = "".join(
        tag("Component_pin_maps", f"pm{p}", text("Component_pin_number", p), text("Cavity_number", c))
        for p, c in (("A", "3"), ("K", "1"))
    )
    result = read(
        connector("x", "X1", "h", 3),
        component("co", "R1", "cp", "x", pins=pins),
        parts=part("Component", "cp"),
    )
    assert result.harness.parts["R1"].ratings == Device(("A", "K"))
    assert {n: c.terminal for n, c in result.harness.halves["X1"].cavities.items()} == {
        "1": "K",
        "2": None,
        "3": "A",
    }


@pytest.mark.parametrize(
    ("numbers", "contacts"),
    [(("30", "85", "86", "87"), "make"), (("85", "86", "30", "87", "87a"), "changeover")],
)
def test_a_relay_by_its_name_and_its_terminals(numbers: tuple[str, ...], contacts: str) -> None:
    result = read(
        connector("x", "K1.S", "hk", len(numbers)),
        component("co", "K1", "cp", "x"),
        parts=part("Component", "cp", about="pump relay"),
    )
    assert result.harness.parts["K1"].kind == "device"  # its socket is not in the file
    there = read_kbl(
        kbl(
            housing("hk", numbers), part("Component", "cp", about="pump relay"),
            harness(connector("x", "K1.S", "hk", len(numbers)), component("co", "K1", "cp", "x")),
        )
    )  # fmt: skip
    assert there.harness.parts["K1"].ratings == Relay(contacts=contacts)  # type: ignore[arg-type]
    assert there.harness.halves["K1_S"].cavities["85"].terminal == "85"


def test_several_fuses_on_one_connector_are_held_by_a_box_behind_it() -> None:
    fuses = fitted_fuse("a", "F1", "f10", "x_c1", "x_c2") + fitted_fuse("b", "F2", "f10", "x_c2", "x_c3")
    result = read(connector("x", "X1", "h", 3), fuses)
    half, carrier = result.harness.halves["X1"], result.harness.parts["X1_box"]
    assert half.part == "X1_box"
    assert carrier.ratings == Box(
        holds=("F1", "F2"),
        buses=(("X1_box.1", "F1.in"), ("X1_box.2", "F1.out", "F2.in"), ("X1_box.3", "F2.out")),
    )


def test_a_component_on_a_splice_is_not_carried() -> None:
    result = read(
        connector("s", "S1", "h", 3, usage="splice"),
        component("co", "D1", "cp", "s"),
        parts=part("Component", "cp"),
    )
    assert "D1 is mounted on S1, which cannot carry it" in said(result)


def test_a_box_in_a_box() -> None:
    inner = tag("Component_box_occurrence", "in", text("Id", "A2"), text("Part", "bp"))
    outer = box().replace(
        "</Component_box_connectors>",
        '<Slots xsi:type="kbl:Modular_slot_occurrence" id="ms"><Part>bx_s</Part><Used_insets>in</Used_insets></Slots>'
        "</Component_box_connectors>",
    )
    result = read_kbl(kbl(box_part(), harness(outer + inner)))
    assert result.harness.parts["A1"].ratings.holds == ("A2",)
