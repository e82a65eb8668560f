"""Cases of the rules, written down by hand before the rules ran. Harnesses are invented."""

from harness_studio.model.harness import Harness
from harness_studio.model.values import Contact
from tests.unit.checks import harnesses as h
from tests.unit.checks.case_book import case

# --- contacts -----------------------------------------------------------------------------------------------------


@case("contact_current", ("contact_current", "stop", "X1.1"), says=("limit 3 A",))
def four_amperes_on_a_small_contact(x: Harness) -> None:
    # 0.64 mm tab: 3 A (trade figure)
    h.half(x, "X1", contact=Contact(tab_mm=0.64, plating="tin"))


@case("contact_current", ("contact_current", "stop", "X1.1"), says=("limit 3.5 A",))
def a_contact_of_its_own_rating(x: Harness) -> None:
    h.cavity(x, "X2", "1", contact=Contact(tab_mm=2.8, plating="tin", rated_a=3.5))


@case("contact_current")
def a_contact_of_ten_amperes(x: Harness) -> None:
    h.half(x, "X1", contact=Contact(tab_mm=1.5, plating="tin"))


@case(
    "crimp_range",
    ("crimp_range", "mend", "X1.1"),
    says=(
        "found 4 mm², limit 2.5 mm²",
        "the contact takes 0.35 to 2.5 mm²",
    ),
)
def four_squares_in_a_small_crimp(x: Harness) -> None:
    h.wire(x, "W3", area_mm2=4.0)


@case("crimp_range", ("crimp_range", "mend", "X2.1"), says=("limit 0.35 mm²",))
def a_thread_in_a_crimp(x: Harness) -> None:
    h.wire(x, "W4", area_mm2=0.22)


@case("crimp_range", ("crimp_range", "mend", "X1.1"))
def two_wires_too_many_for_a_crimp(x: Harness) -> None:
    h.extra(x, "X1.1", "unknown", 1.0, 300.0, "W60")


@case("crimp_range")
def a_crimp_range_of_its_own(x: Harness) -> None:
    h.wire(x, "W3", area_mm2=4.0)
    h.cavity(x, "X1", "1", contact=Contact(tab_mm=2.8, crimp_mm2=(2.5, 4.0)))


@case("plating_mixed", ("plating_mixed", "mend", "X1.1"), says=("X1.1 is tin, X2.1 is gold",))
def gold_on_tin(x: Harness) -> None:
    h.half(x, "X2", contact=Contact(tab_mm=2.8, plating="Gold"))


@case("plating_mixed")
def plating_not_said(x: Harness) -> None:
    h.half(x, "X2", contact=Contact(tab_mm=2.8))


@case("seal_missing", ("seal_missing", "note", "X1.1"))
def a_seal_not_recorded(x: Harness) -> None:
    h.cavity(x, "X1", "1", seal=None)


@case("seal_missing", ("seal_missing", "mend", "X2.1"))
def a_seal_that_is_lost(x: Harness) -> None:
    h.cavity(x, "X2", "1", seal="missing")


@case("seal_missing", ("plug_missing", "mend", "X1.2"))
def a_plug_that_is_missing(x: Harness) -> None:
    h.cavity(x, "X1", "2", plug="missing")


@case("seal_missing", ("plug_missing", "note", "X1.2"))
def a_plug_not_recorded(x: Harness) -> None:
    h.cavity(x, "X1", "2", plug=None)


@case("seal_missing")
def an_open_half_needs_no_seals(x: Harness) -> None:
    h.half(x, "X1", sealed=False)
    h.cavity(x, "X1", "1", seal=None)
    h.cavity(x, "X1", "2", plug=None)


@case(
    "cavity_shared",
    ("cavity_shared", "note", "X1.1"),
    says=(
        "2 wires in cavity X1.1: W3 and W60",
        "limit 1 wires",
    ),
)
def two_wires_in_a_cavity(x: Harness) -> None:
    h.extra(x, "X1.1", "unknown", 1.0, 300.0, "W60")


@case("cavity_shared", ("cavity_shared", "mend", "X1.1"), says=("limit 2 wires",))
def three_wires_in_a_cavity(x: Harness) -> None:
    h.extra(x, "X1.1", "unknown", 1.0, 300.0, "W60")
    h.extra(x, "X1.1", "unknown", 1.0, 300.0, "W61")


@case("cavity_shared", ("cavity_twice", "mend", "X5.1"))
def two_cavities_on_one_terminal(x: Harness) -> None:
    h.grown(x).half("X5", ("1", "2"), part="E1", terminals={"1": "1", "2": "1"})


@case("colour_change", ("colour_change", "note", "W3"), says=("W3 is RD/YE, W4 is RD",))
def yellow_lost_at_the_connector(x: Harness) -> None:
    h.wire(x, "W4", colour="RD")


# --- grounds ------------------------------------------------------------------------------------------------------


@case(
    "ground_rise",
    ("ground_rise", "mend", "GP1"),
    says=(
        "limit 0.1 V",
        "its own joint 0.",
    ),
)
def a_stud_that_rises(x: Harness) -> None:
    h.joint(x, "GP1", 50.0)


@case("ground_rise")
def a_stud_that_hardly_rises(x: Harness) -> None:
    h.joint(x, "GP1", 8.0)


@case("sensor_rise", ("sensor_rise", "mend", "B1"), says=("above that of P1",))
def a_senders_poor_ground(x: Harness) -> None:
    # About 45 mA through 2 Ω more than the gauge's ground has.
    h.joint(x, "W17@GP2", 2000.0)


@case("sensor_rise")
def a_sender_on_the_gauges_ground(x: Harness) -> None:
    # Both rise together, and nobody is misled.
    h.joint(x, "GP2", 1000.0)


@case("unit_rise", ("unit_rise", "mend", "A2"))
def a_units_poor_ground(x: Harness) -> None:
    # 0.1 A · 0.6 Ω = 0.06 V
    h.joint(x, "W18@GP2", 600.0)


@case(
    "unit_rise",
    ("unit_grounds", "mend", "A2"),
    says=(
        "returns by 2 ways: GP",
        " apart",
    ),
)
def a_unit_on_two_studs(x: Harness) -> None:
    h.extra(x, "A2.31", "GP1", 1.0, 300.0, "W60")


@case(
    "mixed_returns",
    ("mixed_returns", "mend", "GP1"),
    says=(
        "sensor B1 returns on GP1 beside",
        "which moves it by",
    ),
)
def a_sender_beside_a_lamp(x: Harness) -> None:
    h.ends(x, "W17", "B1.31", "GP1")


@case("mixed_returns")
def a_sensor_on_its_units_ground(x: Harness) -> None:
    # The unit's own ground rises with it: it returns to the unit, not to the stud.
    h.ends(x, "W18", "A2.31", "GP1")
    h.ends(x, "W20", "B2.2", "A2.31")


@case("ground_path", ("ground_path", "mend", "GP1"), ("ground_path", "mend", "GP2"))
def nine_tenths_of_a_milliohm(x: Harness) -> None:
    # GP0: the battery's cable and its ends, about 0.6 mΩ; GP1 and GP2 add two places of the body and two studs.
    h.limit(x, "ground_path_mohm", 0.9)


@case("ground_path")
def off_on_the_road(x: Harness) -> None:
    h.joint(x, "GP1", 20.0)


@case("body_return", ("body_return", "mend", "shell.front"), ("body_return", "mend", "shell.rear"))
def five_amperes_through_the_body(x: Harness) -> None:
    h.limit(x, "body_return_a", 5.0)


@case("body_return")
def the_body_as_return(x: Harness) -> None:
    h.part(x, "M1", rated_a=8.0, stall_a=24.0)


@case("stud_rings", ("stud_rings", "mend", "GP1"), says=("holds 5 ring terminals",))
def five_rings(x: Harness) -> None:
    h.extra(x, "GP1", "unknown", 1.0, 300.0, "W60")
    h.extra(x, "GP1", "unknown", 1.0, 300.0, "W61")


@case("stud_rings")
def four_rings(x: Harness) -> None:
    h.extra(x, "GP1", "unknown", 1.0, 300.0, "W60")


@case("stud_rings")
def five_wires_in_four_rings(x: Harness) -> None:
    h.extra(x, "GP1", "unknown", 1.0, 300.0, "W60")
    h.extra(x, "GP1", "unknown", 1.0, 300.0, "W61")
    h.stack(x, "GP1", [("W60", "W61")])


@case("stack_order", ("stack_order", "note", "GP1"), says=("W5 (2.5 mm²) lies outside W14 (1 mm²)",))
def the_thinnest_next_to_the_metal(x: Harness) -> None:
    h.stack(x, "GP1", [("W14",), ("W5",), ("W8",)])


@case("stack_order")
def the_thickest_next_to_the_metal(x: Harness) -> None:
    h.stack(x, "GP1", [("W5",), ("W8",), ("W14",)])


@case("shield_both_ends", ("shield_both_ends", "mend", "W60"))
def a_shield_on_two_studs(x: Harness) -> None:
    h.extra(x, "GP2", "GP1", 0.5, 700.0, "W60")
    h.shield(x, "W60", "W16")


@case("shield_both_ends")
def a_shield_on_one_stud(x: Harness) -> None:
    h.extra(x, "GP2", "cut", 0.5, 700.0, "W60")
    h.shield(x, "W60", "W16")


def trailer(x: Harness, three: str, eleven: str, thirteen: str) -> None:
    """Add a 13-contact socket with its three returns."""
    h.grown(x).half("X20", [str(n) for n in range(1, 14)], title="Trailer socket", tab_mm=None)
    for cavity, to in (("3", three), ("11", eleven), ("13", thirteen)):
        h.extra(x, f"X20.{cavity}", to, 2.5, 500.0, f"W6{cavity}")


@case(
    "trailer_returns",
    ("trailer_returns", "mend", "X20"),
    says=(
        "returns 3, 11 and 13 of X20 Trailer socket",
        "before they reach metal",
    ),
)
def returns_on_one_splice(x: Harness) -> None:
    h.grown(x).splice("SP9")
    trailer(x, "SP9", "SP9", "SP9")
    h.extra(x, "SP9", "GP1", 4.0, 300.0, "W69")


@case(
    "trailer_returns",
    ("trailer_returns", "note", "X20"),
    says=(
        "returns 3 and 11 of",
        "on stud GP1: allowed in the towing vehicle",
    ),
)
def returns_on_one_stud(x: Harness) -> None:
    trailer(x, "GP1", "GP1", "GP0")


@case("trailer_returns")
def returns_on_studs_of_their_own(x: Harness) -> None:
    trailer(x, "GP0", "GP1", "GP2")
