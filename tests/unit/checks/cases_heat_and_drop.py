"""Cases of the rules, written down by hand before the rules ran. Harnesses are invented."""

from harness_studio.model.harness import Harness
from tests.unit.checks import harnesses as h
from tests.unit.checks.case_book import case

# --- heat ---------------------------------------------------------------------------------------------------------


@case(
    "wire_ampacity",
    ("wire_ampacity", "stop", "W7"),
    says=(
        "heat balance",
        "may carry",
        "it settles at",
        "W7 (1 mm²)",
    ),
)
def forty_amperes_on_one_square(x: Harness) -> None:
    h.part(x, "M1", rated_a=40.0, stall_a=120.0)
    h.wire(x, "W7", area_mm2=1.0)


@case("wire_ampacity")
def forty_amperes_on_six_squares(x: Harness) -> None:
    h.part(x, "M1", rated_a=40.0, stall_a=120.0)
    for name in ("W6", "W7", "W8"):
        h.wire(x, name, area_mm2=6.0)


@case("wire_ampacity")
def a_starter_for_its_time(x: Harness) -> None:
    # 35 mm² carries 150 A for 30 s from cold: its copper alone takes up 3.45 J/(K cm³) · 35 mm² = 120 J/(K m), and
    # 150 A make 150² · 0.53 mΩ = 12 W/m: 3 K in 30 s.
    h.with_starter(x)


@case("wire_ampacity", ("wire_ampacity", "stop", "W80"))
def a_starter_on_two_and_a_half_squares(x: Harness) -> None:
    # 2.5 mm² takes up 8.6 J/(K m), and 100 A make 76 W/m: its 105 K are gone in 12 s.
    h.with_starter(x)
    h.wire(x, "W80", area_mm2=2.5)


@case(
    "wire_temperature",
    ("wire_temperature", "note", "W3"),
    says=(
        "its insulation PVC bears 70 °C",
        "limit 70 °C",
    ),
)
def pvc_near_its_limit(x: Harness) -> None:
    # PVC bears 70 °C (DIN ISO 6722 part 3); air of 64 °C and 4 A leave less than 10 K.
    x.zones["rear"] = h.replace(x.zones["rear"], ambient_c=64.0)
    h.wire(x, "W3", insulation="PVC")


@case("wire_temperature")
def pvc_with_room(x: Harness) -> None:
    x.zones["rear"] = h.replace(x.zones["rear"], ambient_c=50.0)
    h.wire(x, "W3", insulation="PVC")


@case(
    "wire_in_hot_air",
    ("wire_in_hot_air", "stop", "W3"),
    says=(
        "passes air of 80 °C",
        "found 80 °C, limit 70 °C",
    ),
)
def pvc_in_air_above_its_class(x: Harness) -> None:
    x.zones["rear"] = h.replace(x.zones["rear"], ambient_c=80.0)
    h.wire(x, "W3", insulation="PVC")


@case("wire_in_hot_air", ("wire_in_hot_air", "stop", "W3"))
def pvc_in_air_at_its_class(x: Harness) -> None:
    x.zones["rear"] = h.replace(x.zones["rear"], ambient_c=70.0)
    h.wire(x, "W3", insulation="PVC")


@case(
    "heat_not_judged",
    ("heat_not_judged", "note", "W3"),
    says=(
        "insulation 'mystery' is not known",
        "write the insulation's name",
    ),
)
def an_insulation_nobody_knows(x: Harness) -> None:
    h.wire(x, "W3", insulation="mystery")


@case("heat_not_judged", ("heat_not_judged", "note", "W3"))
def no_insulation_said(x: Harness) -> None:
    h.wire(x, "W3", insulation=None)


@case("heat_not_judged")
def a_size_not_said_is_told_elsewhere(x: Harness) -> None:
    h.wire(x, "W3", area_mm2=None)


# --- drop ---------------------------------------------------------------------------------------------------------


@case(
    "wire_drop",
    ("wire_drop", "mend", "W3"),
    says=(
        "limit 0.2 V",
        "at least 2.5 mm²",
    ),
)
def six_metres_of_thin_wire(x: Harness) -> None:
    # 0.35 mm²: 54 mΩ/m · 6 m · about 4 A = 1.3 V
    h.wire(x, "W3", area_mm2=0.35, length_mm=6000.0)


@case("wire_drop")
def six_metres_of_thick_wire(x: Harness) -> None:
    # 2.5 mm²: 7.6 mΩ/m · 6 m · about 4 A = 0.18 V
    h.wire(x, "W3", length_mm=6000.0)


@case("wire_drop", ("wire_drop", "mend", "W80"))
def a_thin_starter_cable(x: Harness) -> None:
    # 6 mm²: 3.1 mΩ/m · 1 m · more than 130 A = more than 0.4 V
    h.with_starter(x, 1000.0)
    h.wire(x, "W80", area_mm2=6.0)


@case("wire_drop")
def a_starter_cable_that_loses_a_quarter_of_a_volt(x: Harness) -> None:
    # 25 mm²: 0.74 mΩ/m · 2 m · 150 A = 0.22 V at 20 °C and about a quarter more in the warm: a starter's cable may
    h.with_starter(x, 2000.0)
    h.wire(x, "W80", area_mm2=25.0)


@case(
    "joint_drop",
    ("joint_drop", "mend", "X1.1"),
    says=(
        "joint X1.1",
        "60 mΩ",
    ),
)
def a_contact_of_sixty_milliohms(x: Harness) -> None:
    h.joint(x, "X1.1", 60.0)


@case("joint_drop")
def a_contact_of_twenty_milliohms(x: Harness) -> None:
    h.joint(x, "X1.1", 20.0)


@case(
    "joint_drop",
    ("contact_drop", "mend", "S1.30:87"),
    says=(
        "contact S1.30:87",
        "let a relay carry the load",
        "limit 0.3 V",
    ),
)
def a_burnt_switch(x: Harness) -> None:
    h.joint(x, "S1.30:87", 100.0)


@case("joint_drop")
def a_switch_of_fifty_milliohms(x: Harness) -> None:
    # 0.2 V: too much for a joint, within what a contact may lose
    h.joint(x, "S1.30:87", 50.0)


@case(
    "path_drop",
    ("feed_drop", "mend", "E1"),
    ("path_drop", "mend", "E1"),
    ("path_percent", "mend", "E1"),
    says=("because wire_drop/W3", "because feed_drop/E1", "because path_drop/E1"),
)
def eight_metres_of_thin_feed(x: Harness) -> None:
    h.wire(x, "W3", area_mm2=0.35, length_mm=8000.0)


@case(
    "path_drop",
    ("return_drop", "mend", "E1"),
    ("return_drop", "mend", "M1"),
    ("return_drop", "mend", "K1"),
    says=("because ground_rise/GP1",),
)
def a_stud_on_paint(x: Harness) -> None:
    # About 8 A · 50 mΩ = 0.4 V for all that return there.
    h.joint(x, "GP1", 50.0)


@case("path_drop")
def a_stud_of_five_milliohms(x: Harness) -> None:
    h.joint(x, "GP1", 5.0)


@case(
    "path_drop",
    ("feed_drop", "mend", "M9"),
    ("path_drop", "mend", "M9"),
    says=("because joint_drop/M9.30/W80", "because feed_drop/M9"),
)
def a_starter_fed_through_a_poor_post(x: Harness) -> None:
    # Six milliohms at about 130 A: 0.8 V, more than 0.5 and 0.7 V.
    h.with_starter(x)
    h.joint(x, "M9.30/W80", 6.0)


@case(
    "charging_drop",
    ("charging_drop", "mend", "G1"),
    says=(
        "to the battery's post",
        "G1.B+",
    ),
)
def a_long_thin_charging_wire(x: Harness) -> None:
    h.with_generator(x, 6000.0, 2.5)


@case("charging_drop")
def a_short_thick_charging_wire(x: Harness) -> None:
    h.with_generator(x, 500.0, 16.0)


@case("joint_poor", ("joint_poor", "mend", "GP1"), says=("was found 45 mΩ", "because ground_rise/GP1"))
def a_stud_of_forty_five_milliohms(x: Harness) -> None:
    # A clean M6 stud has 0.1 to 0.3 mΩ.
    h.joint(x, "GP1", 45.0)


@case("joint_poor", ("joint_poor", "mend", "X1.1"), says=("joint X1.1 was found open",))
def an_open_contact(x: Harness) -> None:
    h.joint(x, "X1.1", float("inf"))


@case("joint_poor")
def a_stud_of_one_milliohm(x: Harness) -> None:
    h.joint(x, "GP1", 1.0)
