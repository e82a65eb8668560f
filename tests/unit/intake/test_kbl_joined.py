"""Which ring terminals are taken as grounds. Terminal numbers are those of DIN 72552; the rule itself is our own."""

import pytest

from harness_studio.intake.kbl import Imported, read_kbl
from harness_studio.intake.kbl_joined import Joined, is_fed
from harness_studio.model.entities import Body
from tests.unit.intake.big_file import box, box_part, fitted_fuse, fuse
from tests.unit.intake.kbl_files import (
    cavity,
    connection,
    connector,
    fitted_slot,
    harness,
    housing,
    kbl,
    pump,
    tag,
    text,
    wire,
    wire_part,
)  # fmt: skip
from tests.unit.intake.kbl_files import contact as contact_point


@pytest.mark.parametrize(
    "text",
    [
        "30",
        "V.30.main",
        "KL30",
        "Kl. 30",
        "30a",
        "T_30",
        "15",
        "V.15B.x",
        "50 starter",
        "B+",
        "alternator D+",
        "87a out",
    ],
)
def test_signals_that_are_fed(text: str) -> None:
    assert is_fed(text)


@pytest.mark.parametrize(
    "text",
    [
        "",
        None,
        "31",
        "M.31.S1030",
        "GND",
        "130",
        "301",
        "A30",
        "W15x7",
        "3015",
        "31 of 30",
        "B-",
        "sensor",
        "V.4.coil",
    ],
)
def test_signals_that_are_not(text: str | None) -> None:
    assert not is_fed(text)


def test_points_that_are_joined() -> None:
    joined = Joined()
    for a, b in (("a", "b"), ("c", "d"), ("b", "c"), ("x", "y")):
        joined.join(a, b)
    assert len({joined.group(p) for p in "abcd"}) == 1
    assert joined.group("x") == joined.group("y") != joined.group("a")
    assert joined.group("alone") == "alone"


def test_a_ring_on_a_return_becomes_a_ground_on_a_body_of_which_nothing_is_known() -> None:
    result = read_kbl(pump(signal="31 pump"))
    ground = result.harness.grounds["GP_1"]
    assert (ground.place, ground.assumed, ground.known_as, ground.stack) == (
        "unknown.GP_1",
        True,
        "GP.1",
        (("W7",),),
    )
    body = result.harness.bodies["unknown"]
    assert body == Body("unknown", body.title, {"GP_1": 0.0}, assumed=True, note=body.note)
    assert result.harness.wires["W7"].ends[1].text == "GP_1"
    assert result.rows[0].b == ("GP.1", "1")


def test_a_ring_on_battery_positive_stays_a_half() -> None:
    result = read_kbl(pump(signal="30 pump"))
    half = result.harness.halves["GP_1"]
    assert half.note == "ring terminal on a feed, not a ground"
    assert tuple(half.cavities) == ("1",)
    assert result.harness.wires["W7"].ends[1].text == "GP_1.1"
    assert (result.harness.grounds, result.harness.bodies) == ({}, {})
    assert (result.totals.halves, result.totals.rings_kept, result.totals.grounds) == (2, 1, 0)


def through_a_splice(signal: str) -> Imported:
    return read_kbl(
        kbl(
            housing("h", "1"), wire_part("w", "1", "sw"),
            harness(
                connector("a", "GP1", "h", 1, usage="ring terminal") + connector("s", "S1", "h", 1, usage="splice")
                + connector("x", "X1", "h", 1) + connector("b", "GP2", "h", 1, usage="ring terminal"),
                wire("wa", "1", "w") + wire("wb", "2", "w"),
                connection("ca", "wa", "a_p1", "s_p1") + connection("cb", "wb", "s_p1", "x_p1", signal=signal),
            ),
        )
    )  # fmt: skip


def test_what_feeds_a_ring_may_be_behind_a_splice() -> None:
    assert set(through_a_splice("30").harness.grounds) == {"GP2"}
    assert set(through_a_splice("horn").harness.grounds) == {"GP1", "GP2"}


@pytest.mark.parametrize(("contact", "grounds"), [("bo_p1", set()), ("bo_p2", set()), ("bo_p4", {"GP1"})])
def test_a_ring_behind_a_fuse_stays_a_half(contact: str, grounds: set[str]) -> None:
    # A fourth cavity of the box is joined to nothing inside.
    hole, fitted_hole = tag("Cavities", "bx_s_c4", text("Cavity_number", "4")), cavity("boc4", "bx_s_c4")
    part = box_part().replace('<Cavities id="bx_s_c3">', f'{hole}<Cavities id="bx_s_c3">')
    fitted = box().replace('<Cavities id="boc1">', f'{fitted_hole}<Cavities id="boc1">')
    point = contact_point("bo_p4", "boc4")
    fitted = fitted.replace('<Contact_points id="bo_p1">', f'{point}<Contact_points id="bo_p1">')
    result = read_kbl(
        kbl(
            part, fuse("f10", "fuse", "10"), housing("h", "1"), wire_part("w", "1", "sw"),
            harness(
                fitted, fitted_fuse("fo", "F1", "f10", "bo_f1"), connector("a", "GP1", "h", 1, usage="ring terminal"),
                wire("wa", "1", "w"), connection("ca", "wa", "a_p1", contact),
            ),
        )
    )  # fmt: skip
    assert set(result.harness.grounds) == grounds


def test_two_wires_in_one_ring_and_one_in_another() -> None:
    ground = tag(
        "Connector_occurrence", "g", text("Id", "GP1"), text("Usage", "ring terminal"), text("Part", "h"),
        contact_point("g1", "gc") + contact_point("g2", "gc"), fitted_slot("go", "h_s", cavity("gc", "h_s_c1")),
    )  # fmt: skip
    result = read_kbl(
        kbl(
            housing("h", "1"), housing("h3", "123"), wire_part("w", "1", "br"),
            harness(
                ground + connector("x", "X1", "h3", 3), wire("a", "1", "w") + wire("b", "2", "w") + wire("c", "3", "w"),
                connection("ca", "a", "x_p1", "g1") + connection("cb", "b", "x_p2", "g2")
                + connection("cc", "c", "x_p3", "g1"),
            ),
        )
    )  # fmt: skip
    assert result.harness.grounds["GP1"].stack == (("W1", "W3"), ("W2",))
