"""A click means the joint that a person would say is there."""

import pytest

from harness_studio.diagram.joints import joint_of, joint_of_thing
from harness_studio.diagram.scene import Hit
from harness_studio.model.harness import Harness


def symbol(member: str, point: str | None = None) -> Hit:
    return Hit("symbol", member, member, point)


@pytest.mark.parametrize(
    ("hit", "chosen", "joint"),
    [
        (symbol("GP2"), None, "GP2"),
        (symbol("GP2", "GP2/W40"), None, "GP2"),  # the first click is the stud
        (symbol("GP2", "GP2/W40"), "GP2", "GP2/W40"),  # the next one a ring of it
        (symbol("GP2", "GP2/W31"), "GP2/W40", "GP2/W31"),
        (symbol("GP2", "GP2/W40"), "GP2/W40", "GP2"),
        (symbol("GP2", "GP2/W40"), "GP1", "GP2"),
        (symbol("SP3", "SP3"), None, "SP3"),
        (symbol("F4", "F4.in"), None, "F4"),
        (symbol("X7", "X7.3"), None, "X7.3"),
        (symbol("X7", "X7.2"), None, None),  # nothing is in that cavity
        (symbol("X9", "X9.2"), None, "X9.2"),
        (symbol("B1", "B1.31"), None, "B1.31@shell.bed_rear"),
        (symbol("B1", "B1.1"), None, None),
        (symbol("E5", "E5.31"), None, None),
        (symbol("shell"), None, None),
        (Hit("wire", "W40", "W40"), None, None),
    ],
)
def test_joint_of_a_click(harness: Harness, hit: Hit, chosen: str | None, joint: str | None) -> None:
    assert joint_of(harness, hit, chosen) == joint


def test_joint_of_a_thing(harness: Harness) -> None:
    assert [joint_of_thing(harness, t) for t in ("GP2", "SP3", "F4", "W40")] == ["GP2", "SP3", "F4", "W40"]
    assert [joint_of_thing(harness, t) for t in ("M2", "X7", "shell", "nothing")] == [None] * 4
