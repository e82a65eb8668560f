"""What is drawn as a line."""

import pytest

from harness_studio.model.values import End
from harness_studio.placing.links import far_ends, keys_by_point, links, owner, thing_of
from tests.support.sketch import Sketch


def made() -> Sketch:
    s = Sketch()
    s.body("shell", rear=0.2)
    s.body("engine", block=0.1)
    s.bond("cable", "engine.block", "shell.rear", 120.0)
    s.part("B1", "sender", mount=("31", "shell.rear"))
    s.part("E1", "lamp")
    s.ground("GP1", "shell.rear")
    s.wire("E1.31", "GP1")
    s.wire("E1.1", "cut")
    s.wire("cut", End("words", "behind the seat"))
    s.wire("B1.1", "W1@GP1")
    return s


def test_wires_bonds_cases_and_studs_are_lines_and_a_wire_open_at_both_ends_is_none() -> None:
    found = {line.id: (line.kind, line.ends) for line in links(made().done())}
    assert found == {
        "W1": ("wire", ("E1.31", "GP1")),
        "W2": ("wire", ("E1.1", None)),
        "W4": ("wire", ("B1.1", "W1@GP1")),
        "cable": ("bond", ("engine.block", "shell.rear")),
        "B1.31@shell.rear": ("mount", ("B1.31", "shell.rear")),
        "GP1": ("stud", ("GP1", "shell.rear")),
    }


def test_each_end_knows_the_other_one() -> None:
    lines = links(made().done())
    far = far_ends(lines)
    assert far["W1", "GP1"] == ("W1", "E1.31")
    assert far["W2", "E1.1"] is None
    assert keys_by_point(lines)["shell.rear"] == [
        ("cable", "shell.rear"), ("B1.31@shell.rear", "shell.rear"), ("GP1", "shell.rear"),
    ]  # fmt: skip


def test_the_owner_of_a_point() -> None:
    assert [owner(p) for p in ("X7.3", "SP3", "W40@GP2", "W40@X7.3", "shell.rear")] == [
        "X7", "SP3", "GP2", "X7", "shell",
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("address", "thing"),
    [
        ("GP2", "GP2"),
        ("GP2/W31", "GP2"),
        ("W31@GP2", "GP2"),
        ("X7.3", "X7"),
        ("W40@X7.3", "X7"),
        ("M2:case", "M2"),
        ("E5/stop", "E5"),
    ],
)
def test_the_thing_of_an_address(address: str, thing: str) -> None:
    assert thing_of(address) == thing
