"""Kinds of part: terminals by the numbers of DIN 72552 (from memory), and words for all."""

import dataclasses

import pytest

from harness_studio.base.ids import is_name
from harness_studio.model.kinds import KINDS, Kind
from harness_studio.model.parts import Part, make_part

# The list of 'Terminals by kind' in the reference page of the project file, typed again.
TERMINALS = {
    "battery": ("30", "31"), "alternator": ("B+", "B-", "D+", "S"), "starter": ("30", "50", "31"),
    "fuse": ("in", "out"), "breaker": ("in", "out"), "link": ("in", "out"),
    "ignition_switch": ("30", "15", "50", "75"), "lamp": ("1", "31"), "motor": ("15", "31"), "heater": ("1", "2"),
    "resistor": ("1", "2"), "gauge": ("15", "S", "31"), "stabiliser": ("15", "out", "31"), "voltmeter": ("1", "2"),
    "ammeter": ("1", "2"), "sender": ("1", "31"), "ntc": ("1", "2"), "flasher": ("49", "49a", "31"),
    "diode": ("A", "K"), "coil": ("15", "1"),
}  # fmt: skip


@pytest.mark.parametrize("kind", TERMINALS)
def test_terminals(kind: str) -> None:
    assert make_part("P1", kind).terminals() == TERMINALS[kind]


@pytest.mark.parametrize("kind", ["switch", "bus_bar", "control_unit", "box", "device", "cut_off"])
def test_parts_that_name_their_terminals_have_any_until_then(kind: str) -> None:
    assert make_part("P1", kind).terminals() is None


@pytest.mark.parametrize(
    ("contacts", "terminals"),
    [("make", {"30", "87"}), ("break", {"30", "87a"}), ("changeover", {"30", "87", "87a"})],
)
def test_a_relay_has_the_terminals_of_its_contacts(contacts: str, terminals: set[str]) -> None:
    assert set(make_part("K1", "relay", contacts=contacts).terminals() or ()) == {"85", "86"} | terminals


def test_a_switch_has_the_terminals_of_its_positions() -> None:
    positions = {"off": (), "park": (("30", "58"),), "head": (("30", "58", "56"),)}
    assert make_part("S1", "switch", positions=positions).terminals() == ("30", "58", "56")


@pytest.mark.parametrize("kind", KINDS.values(), ids=list(KINDS))
def test_every_kind(kind: Kind) -> None:
    ratings = kind.ratings()
    assert dataclasses.is_dataclass(ratings)
    assert all(is_name(name) for name in kind.terminals(ratings) or ())
    assert kind.title
    assert all(letter.isupper() for letter in kind.letter)
    part = make_part("P1", kind.name, common={"title": "T"})
    assert (part.about, part.title, part.kind) == (kind, "T", kind.name)


def test_there_is_no_other_kind() -> None:
    with pytest.raises(KeyError):
        make_part("P1", "lampe")
    assert isinstance(make_part("P1", "lamp"), Part)
