"""Connectors, cavities, splices, what is crimped and plugged, and which halves meet."""

import pytest

from harness_studio.intake.kbl import Imported, read_kbl
from harness_studio.model.values import Cavity, Contact, Spot
from tests.unit.intake.kbl_files import (
    cavity,
    connection,
    connector,
    contact,
    fitted_slot,
    harness,
    housing,
    kbl,
    node,
    occurrence,
    part,
    slot,
    tag,
    text,
    wire,
    wire_part,
)  # fmt: skip


def read(*elements: str, **options: str) -> Imported:
    return read_kbl(kbl(*elements, **options), "f")


def said(result: Imported) -> list[str]:
    return [w.what for w in result.warnings]


@pytest.mark.parametrize(
    ("usage", "section"),
    [
        ("", "halves"), ("no end", "halves"), ("dangler", "halves"), ("splice", "splices"), ("Splice", "splices"),
        ("ring terminal", "grounds"), ("ring_terminal", "grounds"),
    ],
)  # fmt: skip
def test_usage_says_what_a_connector_is(usage: str, section: str) -> None:
    result = read(housing("h", "1"), harness(connector("x", "X1", "h", 1, usage=usage)))
    assert "X1" in result.harness.tables[section]
    totals = result.totals
    assert totals.halves + totals.splices + totals.grounds == totals.cavities == 1


def test_an_open_usage_is_noted() -> None:
    result = read(
        housing("h", "1", about="bare"), harness(connector("x", "X1", "h", 1, usage="no end", about="spare"))
    )
    assert result.harness.halves["X1"].note == "no end; bare"


def test_titles_come_from_the_occurrence_then_from_the_part() -> None:
    result = read(
        housing("h", "1", about="one-way"),
        harness(connector("x", "X1", "h", 1, about="horn") + connector("y", "X2", "h", 1, about="/NULL")),
    )
    first, second = result.harness.halves["X1"], result.harness.halves["X2"]
    assert (first.title, first.note, first.part_number) == ("horn", "one-way", "P-h")
    assert (second.title, second.note) == ("one-way", None)


def test_cavity_names_are_kept_as_they_are() -> None:
    result = read(housing("h", ["10A", "010", "10", "B+"]), harness(connector("x", "X1", "h", 4)))
    assert tuple(result.harness.halves["X1"].cavities) == ("10A", "010", "10", "B+")
    assert result.warnings == ()


def test_cavities_without_a_number_and_with_the_same_one() -> None:
    result = read(housing("h", ["1", "1", "/NULL"]), harness(connector("x", "X1", "h", 3)))
    assert tuple(result.harness.halves["X1"].cavities) == ("1", "1_2", "3")
    assert "cavity '1' of X1 is called '1_2', to be told apart" in said(result)
    assert "a cavity of X1 has no number; it is called 3" in said(result)


def test_slots_that_repeat_numbers_put_their_name_before_them() -> None:
    two = part("Connector_housing", "h", slot("s1", "12", label="A"), slot("s2", "12", label="B"))
    fitted = tag(
        "Connector_occurrence", "x", text("Id", "X1"), text("Part", "h"),
        fitted_slot("o1", "s1", cavity("k1", "s1_c1"), cavity("k2", "s1_c2")),
        fitted_slot("o2", "s2", cavity("k3", "s2_c1"), cavity("k4", "s2_c2")),
    )  # fmt: skip
    assert tuple(read(two, harness(fitted)).harness.halves["X1"].cavities) == ("A-1", "A-2", "B-1", "B-2")


def test_cavities_that_only_the_part_lists_are_there_too() -> None:
    bare = tag("Connector_occurrence", "x", text("Id", "X1"), text("Part", "h"))
    result = read(housing("h", "123"), harness(bare))
    assert tuple(result.harness.halves["X1"].cavities) == ("1", "2", "3")
    assert result.totals.cavities == 3


def test_seals_plugs_and_contacts() -> None:
    terminal = part(
        "General_terminal", "t", text("Plating_material", "sn"),
        tag("Cross_section_area", "cs", text("Unit_component", "u_mm2"), text("Minimum", "0.5"), text("Maximum", "1")),
        number="T-1",
    )  # fmt: skip
    result = read(
        housing("h", "123"),
        terminal,
        part("General_terminal", "t2", text("Plating_material", "ag")),
        part("Cavity_seal", "s", number="S-1"),
        part("Cavity_plug", "p", number="CP-1"),
        wire_part("w", "0.5", "sw"),
        harness(
            occurrence("Terminal_occurrence", "to", "t") + occurrence("Terminal_occurrence", "to2", "t2"),
            occurrence("Cavity_seal_occurrence", "so", "s"),
            occurrence("Cavity_plug_occurrence", "po", "p")
            + occurrence("Cavity_plug_occurrence", "po2", "p"),
            connector(
                "x", "X1", "h", 3, used=(1, 2), crimped={1: "to so", 2: "to2"}, plugs={2: "po", 3: "po2"}
            ),
            wire("wi", "1", "w"),
            connection("c", "wi", "x_p1", "x_p2"),
        ),
    )
    half = result.harness.halves["X1"]
    assert half.sealed
    assert half.cavities == {
        "1": Cavity(seal="S-1", contact=Contact(plating="tin", part_number="T-1", crimp_mm2=(0.5, 1.0))),
        "2": Cavity(contact=Contact(plating="silver", part_number="P-t2")),
        "3": Cavity(plug="fitted", note="plug CP-1"),
    }
    assert "1 cavities have both a plug and a wire; the wire is taken (connectors X1)" in said(result)


def test_contacts_that_are_all_the_same_are_said_once() -> None:
    result = read(
        housing("h", "12"),
        part("General_terminal", "t", number="T-1"),
        harness(
            occurrence("Terminal_occurrence", "to", "t"),
            connector("x", "X1", "h", 2, crimped={1: "to", 2: "to"}),
        ),
    )
    half = result.harness.halves["X1"]
    assert half.contact == Contact(part_number="T-1")
    assert all(c.contact is None for c in half.cavities.values())


def test_connectors_sit_at_the_nodes_that_refer_to_them() -> None:
    result = read(
        housing("h", "1"),
        harness(connector("x", "X1", "h", 1) + connector("s", "S1", "h", 1, usage="splice")),
        node("n", "N1", "x")
        + node("m", "N2").replace("</Node>", "<Referenced_cavities>s_c1</Referenced_cavities></Node>"),
    )
    assert result.harness.halves["X1"].at == Spot(breakout="N1")
    assert result.harness.splices["S1"].at == Spot(breakout="N2")


def test_two_connectors_of_one_name_are_both_kept() -> None:
    result = read(housing("h", "1"), harness(connector("x", "X.1", "h", 1) + connector("y", "X.1", "h", 1)))
    assert {k: h.known_as for k, h in result.harness.halves.items()} == {"X_1": "X.1", "X_1_2": "X.1"}
    assert any("the connector 'X.1' is there twice, first in line" in what for what in said(result))


def test_two_elements_of_one_xml_id_are_both_kept() -> None:
    result = read(housing("h", "1"), harness(connector("x", "X1", "h", 1) + connector("x", "X2", "h", 1)))
    assert set(result.harness.halves) == {"X1", "X2"}
    assert any("the id 'x' of <Connector_occurrence 'x'> is already that of" in what for what in said(result))


def test_a_contact_whose_cavity_is_not_there_is_put_somewhere_and_said() -> None:
    lost = tag("Connector_occurrence", "x", text("Id", "X1"), text("Part", "h"), contact("p", "nowhere"))
    result = read(housing("h", "12"), harness(lost))
    assert tuple(result.harness.halves["X1"].cavities) == ("1", "2", "3")
    assert "<Contact_points 'p'> of X1 names no cavity; it is put into 3" in said(result)


def test_a_contact_in_two_cavities_takes_the_first() -> None:
    file = kbl(housing("h", "12"), harness(connector("x", "X1", "h", 2))).replace(
        b"<Contacted_cavity>x_c1<", b"<Contacted_cavity>x_c1 x_c2<"
    )
    assert any(
        "reaches into 2 cavities (X1 1, X1 2); the first is taken" in w.what for w in read_kbl(file).warnings
    )


# ----- halves that meet


def mated(**options: object) -> Imported:
    first = connector("x", "X1", "h", 2, **options)  # type: ignore[arg-type]
    return read(
        housing("h", "12"), harness(first + connector("y", "X2", "h", 2) + connector("z", "X3", "h", 2))
    )


def test_slots_that_mate_meet_by_number() -> None:
    assert mated(mates="y_o").harness.halves["X1"].mates == {"X2": None}


def test_cavities_that_mate_meet_as_they_say() -> None:
    result = mated(mated={1: "y_c2", 2: "z_c1"})
    assert result.harness.halves["X1"].mates == {"X2": {"1": "2"}, "X3": {"2": "1"}}


def test_both_sides_may_say_it() -> None:
    both = connector("x", "X1", "h", 2, mates="y_o") + connector("y", "X2", "h", 2, mates="x_o")
    result = read(housing("h", "12"), harness(both))
    assert [dict(h.mates) for h in result.harness.halves.values()] == [{"X2": None}, {}]
    assert result.warnings == ()


def test_a_cavity_meets_one_other() -> None:
    result = mated(mated={1: "y_c1", 2: "y_c1"})
    assert result.harness.halves["X1"].mates == {"X2": {"1": "1"}}
    assert "X1 2 and X2 1 mate, but one of them meets another cavity already; left out" in said(result)


def test_a_half_does_not_mate_itself_nor_a_splice() -> None:
    assert "X1 1 and X1 2 cannot mate: wanted are cavities of two connector halves" in said(
        mated(mated={1: "x_c2"})
    )
    splice = connector("s", "S1", "h", 2, usage="splice") + connector("x", "X1", "h", 2, mated={1: "s_c1"})
    result = read(housing("h", "12"), harness(splice))
    assert not result.harness.halves["X1"].mates
    assert any("cannot mate" in what for what in said(result))
