"""What each rule must find and must not find, written down by hand before the rules ran. Harnesses are invented."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from harness_studio.checks.finding import Finding
from harness_studio.model.harness import Harness
from harness_studio.model.kinds.control import UnitTerminal
from harness_studio.model.values import Contact
from tests.unit.checks import harnesses as h

Change = Callable[[Harness], None]
Expected = frozenset[tuple[str, str, str]]


@dataclass(frozen=True)
class Case:
    """A way to spoil the sound harness, and all that one rule finds then: (finding's rule, grade, first id)."""

    rule: str
    name: str
    change: Change
    expected: Expected
    says: tuple[str, ...] = ()

    def content(self, found: Sequence[Finding]) -> bool:
        """Tell whether the findings of the rule are those expected, and say what is expected of them."""
        told = "\n".join(_told(f) for f in found)
        return {(f.rule, f.grade, f.ids[0] if f.ids else "") for f in found} == self.expected and all(
            words in told for words in self.says
        )


def _told(found: Finding) -> str:
    numbers = [
        f"{word} {value:.3g} {found.unit}"
        for word, value in (("found", found.value), ("limit", found.limit))
        if value is not None
    ]
    return f"{found.sentence} | {', '.join(numbers)} | {found.remedy} | {' '.join(found.ids)}"


W1 = ("fuse_missing", "note", "W1")
CASES: list[Case] = []


def case(
    rule: str, *expected: tuple[str, str, str], says: tuple[str, ...] = ()
) -> Callable[[Change], Change]:
    """Take a function that spoils a harness as a case of a rule; without `expected` the rule stays content.

    `says` are words of the findings: of the sentence, the numbers ('found 4 A, limit 3 A'), the remedy, the ids.
    """

    def add(change: Change) -> Change:
        CASES.append(Case(rule, change.__name__, change, frozenset(expected), says))
        return change

    return add


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


@case("path_drop", ("feed_drop", "mend", "E1"), ("path_drop", "mend", "E1"), ("path_percent", "mend", "E1"))
def eight_metres_of_thin_feed(x: Harness) -> None:
    h.wire(x, "W3", area_mm2=0.35, length_mm=8000.0)


@case(
    "path_drop", ("return_drop", "mend", "E1"), ("return_drop", "mend", "M1"), ("return_drop", "mend", "K1")
)
def a_stud_on_paint(x: Harness) -> None:
    # About 8 A · 50 mΩ = 0.4 V for all that return there.
    h.joint(x, "GP1", 50.0)


@case("path_drop")
def a_stud_of_five_milliohms(x: Harness) -> None:
    h.joint(x, "GP1", 5.0)


@case("path_drop", ("feed_drop", "mend", "M9"), ("path_drop", "mend", "M9"))
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


@case("joint_poor", ("joint_poor", "mend", "GP1"), says=("was found 45 mΩ",))
def a_stud_of_forty_five_milliohms(x: Harness) -> None:
    # A clean M6 stud has 0.1 to 0.3 mΩ.
    h.joint(x, "GP1", 45.0)


@case("joint_poor", ("joint_poor", "mend", "X1.1"), says=("joint X1.1 was found open",))
def an_open_contact(x: Harness) -> None:
    h.joint(x, "X1.1", float("inf"))


@case("joint_poor")
def a_stud_of_one_milliohm(x: Harness) -> None:
    h.joint(x, "GP1", 1.0)


# --- fuses --------------------------------------------------------------------------------------------------------


@case(
    "fuse_load",
    ("fuse_load", "mend", "F4"),
    says=(
        "and will blow in time",
        "limit 8 A",
        "15 A",
    ),
)
def twelve_amperes_on_a_ten_ampere_fuse(x: Harness) -> None:
    h.part(x, "M1", rated_a=12.0, stall_a=36.0)


@case("fuse_load")
def six_amperes_on_a_ten_ampere_fuse(x: Harness) -> None:
    h.part(x, "M1", rated_a=6.0, stall_a=18.0)


@case(
    "fuse_inrush",
    ("fuse_inrush", "mend", "F4"),
    says=(
        "M1 starts",
        "0.02 s only",
    ),
)
def a_motor_that_starts_with_sixty_amperes(x: Harness) -> None:
    h.part(x, "M1", stall_a=60.0)


@case("fuse_inrush", ("fuse_inrush", "mend", "F2"), says=("its lamps come on cold together",))
def a_lamp_on_a_fuse_of_its_own_current(x: Harness) -> None:
    # About 4 A · 10 on 5 A: 800 % of its rating for 25 ms; sure to hold 600 % for 20 ms only.
    h.part(x, "F2", rated_a=5.0)


@case(
    "fuse_wire",
    ("fuse_wire", "stop", "W4"),
    says=(
        "found 15 A",
        "a fuse of at most",
    ),
)
def thin_wire_behind_fifteen_amperes(x: Harness) -> None:
    # 0.22 mm² cross-linked carries less than 11 A in air of 30 °C.
    h.wire(x, "W4", area_mm2=0.22)


@case(
    "fuse_wire",
    ("fuse_wire", "mend", "W4"),
    says=(
        "among 10 wires of its run",
        "a fuse of at most 10 A",
    ),
)
def wire_in_company_behind_fifteen_amperes(x: Harness) -> None:
    # 0.5 mm² carries 15 A alone; among ten wires the curve leaves at most 0.755 of it.
    company(x, "W4", 9)
    h.wire(x, "W4", area_mm2=0.5)


def company(x: Harness, name: str, others: int) -> None:
    """Lay a wire in a run with others."""
    s = h.grown(x)
    s.breakout("bk1", "rear")
    s.breakout("bk2", "rear")
    s.run("run1", "bk1", "bk2", 500.0)
    h.wire(x, name, runs=("run1",))
    for number in range(others):
        first = s.splice(f"SPX{number}")
        h.extra(x, first, "unknown", 0.5, 500.0, f"WX{number}", runs=("run1",))


@case("fuse_withstand", ("fuse_withstand", "stop", "W4"))
def wire_that_goes_before_its_fuse(x: Harness) -> None:
    h.wire(x, "W4", area_mm2=0.22)


@case("fuse_short", ("fuse_short", "stop", "W4"), says=("need never clear",))
def forty_metres_to_the_short(x: Harness) -> None:
    # 0.35 mm²: 54 mΩ/m · 40 m = 2.2 Ω, 6 A: 40 % of the rating.
    h.wire(x, "W4", area_mm2=0.35, length_mm=40000.0)


@case("fuse_short", ("fuse_short", "mend", "W4"), says=("limit 5 s",))
def twelve_metres_to_the_short(x: Harness) -> None:
    # 0.5 mm²: 37 mΩ/m · 12 m = 0.45 Ω and some more: 26 A, 170 % of 15 A: 5 to 50 s.
    h.wire(x, "W4", area_mm2=0.5, length_mm=12000.0)


@case("fuse_breaking", ("fuse_breaking", "note", "F1"), says=("limit 1e+03 A",))
def a_strong_battery_beside_the_fuse(x: Harness) -> None:
    # 5 mΩ and some 4 mΩ of lead, clips and fuse: about 1,400 A.
    h.part(x, "GB1", internal_mohm=5.0)


@case("fuse_bypassed", ("fuse_bypassed", "stop", "F2"))
def a_wire_around_a_fuse(x: Harness) -> None:
    h.extra(x, "F2.in", "S1.30", 1.0, 300.0, "W60")


@case("fuse_bypassed", ("fuse_parallel", "mend", "F2"), says=("F2 and F4 feed the same wires",))
def two_fuses_on_one_stretch(x: Harness) -> None:
    h.extra(x, "F4.out", "S1.30", 1.0, 300.0, "W60")


@case("fuse_bypassed")
def a_changeover_relay_between_two_fuses(x: Harness) -> None:
    # Its two throws are never closed at once.
    s = h.grown(x)
    s.part("K9", "relay", coil_ohm=90.0, pull_in_v=7.2, drop_out_v=2.4, contacts="changeover")
    s.wire("F2.out", "K9.87", 1.0, 300.0, name="W60", insulation="TXL")
    s.wire("F4.out", "K9.87a", 1.0, 300.0, name="W61", insulation="TXL")
    s.part("E9", "lamp", rated_v=13.5, rated_w=5.0)
    s.wire("K9.30", "E9.1", 1.0, 300.0, name="W62", insulation="TXL")
    s.wire("E9.31", "GP1", 1.0, 300.0, name="W63", insulation="TXL")


@case("link_size", ("link_size", "mend", "W71"))
def a_link_as_thick_as_its_wire(x: Harness) -> None:
    link(x, 2.5)


@case("link_size")
def a_link_two_numbers_thinner(x: Harness) -> None:
    link(x, 1.0)


def link(x: Harness, area_mm2: float, **fields: str) -> None:
    """Add a lamp behind a fusible link."""
    s = h.grown(x)
    s.part("F8", "link", area_mm2=area_mm2, length_mm=150.0, **fields)
    s.part("E9", "lamp", rated_v=13.5, rated_w=5.0)
    s.wire("GB1.30", "F8.in", 6.0, 200.0, name="W70", insulation="TXL")
    s.wire("F8.out", "E9.1", 2.5, 300.0, name="W71", insulation="TXL")
    s.wire("E9.31", "GP1", 2.5, 300.0, name="W72", insulation="TXL")


@case(
    "fuse_rating",
    ("fuse_rating", "note", "F4"),
    says=("no blade_medium fuse of 12 A is made; the nearest are 10 A and 15 A",),
)
def a_fuse_that_is_not_made(x: Harness) -> None:
    h.part(x, "F4", rated_a=12.0)


@case("fuse_not_judged", ("fuse_not_judged", "note", "F4"), says=("rating not known",))
def a_fuse_of_unknown_rating(x: Harness) -> None:
    h.part(x, "F4", rated_a=None)


@case("fuse_not_judged", ("fuse_not_judged", "note", "F4"), says=("style not known, so no time band",))
def a_fuse_of_unknown_style(x: Harness) -> None:
    h.part(x, "F4", style=None)


@case("fuse_not_judged", ("fuse_not_judged", "note", "F4"), says=("no time band is known for style torpedo",))
def a_style_without_a_time_band(x: Harness) -> None:
    h.part(x, "F4", style="torpedo", rated_a=8.0)


@case("fuse_not_judged", ("fuse_not_judged", "note", "F4"), says=("style 'blade_mediun' has no time band",))
def a_style_misspelt(x: Harness) -> None:
    h.part(x, "F4", style="blade_mediun")


@case("fuse_not_judged", ("fuse_not_judged", "note", "F8"))
def a_link_without_figures(x: Harness) -> None:
    link(x, 1.0)
    h.part(x, "F8", area_mm2=None)


@case(
    "fuse_missing",
    ("fuse_missing", "mend", "W1"),
    says=(
        "600 mm long",
        "limit 300 mm",
        "a fuse or link at the battery",
    ),
)
def a_long_lead_to_the_first_fuse(x: Harness) -> None:
    h.wire(x, "W1", length_mm=600.0)


@case(
    "fuse_missing",
    ("fuse_missing", "mend", "W1"),
    says=(
        "of unknown length",
        "measure it",
    ),
)
def a_lead_of_unknown_length(x: Harness) -> None:
    h.wire(x, "W1", length_mm=None)


@case("fuse_missing", W1, ("fuse_missing", "stop", "W70"), says=("feeds M5 from the battery without a fuse",))
def a_winch_straight_on_the_battery(x: Harness) -> None:
    s = h.grown(x)
    s.part("M5", "motor", rated_v=12.0, rated_a=60.0, stall_a=300.0)
    s.wire("GB1.30", "M5.15", 25.0, 400.0, name="W70", insulation="TXL")
    s.wire("M5.31", "GP1", 25.0, 400.0, name="W71", insulation="TXL")


@case("fuse_missing", W1, ("fuse_missing", "stop", "W70"), ("fuse_missing", "stop", "W71"))
def a_fan_on_the_battery_through_a_switch(x: Harness) -> None:
    s = h.grown(x)
    s.part("M5", "motor", rated_v=13.5, rated_a=20.0, stall_a=60.0)
    s.switch("S5", off=(), on=(("1", "2"),))
    s.wire("GB1.30", "S5.1", 4.0, 200.0, name="W70", insulation="TXL")
    s.wire("S5.2", "M5.15", 4.0, 200.0, name="W71", insulation="TXL")
    s.wire("M5.31", "GP1", 4.0, 400.0, name="W72", insulation="TXL")


@case(
    "fuse_missing",
    W1,
    ("fuse_missing", "note", "W80"),
    says=("exempt as a short starter cable, booted at both ends",),
)
def a_short_starter_cable(x: Harness) -> None:
    h.with_starter(x)


@case("fuse_missing", W1, ("fuse_missing", "mend", "W80"))
def a_long_starter_cable(x: Harness) -> None:
    h.with_starter(x, 2500.0)


@case("fuse_missing", W1, ("fuse_missing", "mend", "W80"))
def a_starter_cable_of_unknown_length(x: Harness) -> None:
    h.with_starter(x, None)


@case("fuse_missing", W1, ("fuse_missing", "mend", "W93"), ("fuse_missing", "note", "W90"))
def a_charging_wire_without_a_fuse(x: Harness) -> None:
    h.with_generator(x)
    h.extra(x, "GB1.30", "G1.S", 1.0, 900.0, "W93")


@case(
    "fuse_missing",
    W1,
    ("fuse_missing", "stop", "W70"),
    says=(
        "one end of it is loose",
        "insulate the end",
    ),
)
def a_live_loose_wire(x: Harness) -> None:
    h.extra(x, "GB1.30", "cut", 2.5, 400.0, "W70")


@case("fuse_missing", W1, ("fuse_missing", "mend", "W70"), says=("leads to nothing that is recorded",))
def a_live_wire_to_an_unknown_device(x: Harness) -> None:
    h.grown(x).part("A9", "device", terminals=("1",))
    h.extra(x, "GB1.30", "A9.1", 2.5, 400.0, "W70")


@case(
    "link_in_cabin",
    ("link_in_cabin", "stop", "F8"),
    says=("judged by the word 'dash' in its zone 'z1 Behind the dash'",),
)
def a_link_behind_the_dash(x: Harness) -> None:
    h.grown(x).zone("z1", title="Behind the dash")
    link(x, 1.0, zone="z1")


@case("link_in_cabin")
def a_link_in_the_engine_bay(x: Harness) -> None:
    link(x, 1.0, zone="bay")


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
        "limit 1 ways",
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


# --- safety -------------------------------------------------------------------------------------------------------


@case("fuel_pump_runs_on", ("fuel_pump_runs_on", "stop", "M1"), says=("its title says 'Fuel pump'",))
def a_pump_on_the_key_alone(x: Harness) -> None:
    h.with_generator(x)
    h.about(x, "M1", title="Fuel pump", circuit="Pump")


@case("fuel_pump_runs_on", ("fuel_pump_runs_on", "stop", "M1"), says=("its circuit says 'Petrol pump'",))
def a_pump_named_by_its_circuit(x: Harness) -> None:
    h.with_generator(x)
    h.about(x, "M1", circuit="Petrol pump")


@case("fuel_pump_runs_on")
def a_blower(x: Harness) -> None:
    h.with_generator(x)


@case("fuel_pump_runs_on")
def a_washer_pump(x: Harness) -> None:
    h.with_generator(x)
    h.about(x, "M1", title="Washer pump")


@case("fuel_pump_runs_on")
def a_pump_behind_an_inertia_switch(x: Harness) -> None:
    h.with_generator(x)
    h.about(x, "M1", title="Fuel pump")
    s = h.grown(x)
    s.switch("S7", closed=(("1", "2"),), tripped=())
    h.about(x, "S7", title="Inertia switch")
    h.ends(x, "W7", "S0.15", "S7.1")
    h.extra(x, "S7.2", "M1.15", 2.5, 300.0, "W60")


@case("fuel_pump_runs_on", ("fuel_pump_runs_on", "stop", "M1"))
def an_inertia_switch_in_another_feed(x: Harness) -> None:
    h.with_generator(x)
    h.about(x, "M1", title="Fuel pump")
    s = h.grown(x)
    s.switch("S7", closed=(("1", "2"),), tripped=())
    h.about(x, "S7", title="Inertia switch")
    h.ends(x, "W2", "F2.out", "S7.1")
    h.extra(x, "S7.2", "S1.30", 2.5, 300.0, "W60")


@case("fuel_pump_runs_on")
def a_pump_whose_relay_a_control_unit_holds(x: Harness) -> None:
    pump_relay(x)
    does = {**x.parts["A2"].ratings.terminals, "3": UnitTerminal("low_side", to="31", ohm=0.1)}
    h.part(x, "A2", terminals=does)
    h.extra(x, "K7.85", "A2.3", 0.5, 300.0, "W62")


@case("fuel_pump_runs_on", ("fuel_pump_runs_on", "stop", "M1"))
def a_pump_whose_relay_the_key_holds(x: Harness) -> None:
    pump_relay(x)
    h.extra(x, "K7.85", "GP1", 0.5, 300.0, "W62")


@case("fuel_pump_runs_on")
def a_pump_whose_relay_an_oil_pressure_switch_holds(x: Harness) -> None:
    pump_relay(x)
    s = h.grown(x)
    s.switch("S7", pressure=(("1", "2"),), none=())
    h.about(x, "S7", title="Oil pressure switch")
    h.extra(x, "K7.85", "S7.1", 0.5, 300.0, "W62")
    h.extra(x, "S7.2", "GP1", 0.5, 300.0, "W63")


def pump_relay(x: Harness) -> None:
    """Feed the pump by a relay whose coil the key feeds; its other end is left to be joined."""
    h.with_generator(x)
    h.about(x, "M1", title="Fuel pump")
    h.grown(x).part("K7", "relay", coil_ohm=90.0, pull_in_v=7.2, drop_out_v=2.4, rated_a=30.0)
    h.ends(x, "W7", "F4.out", "K7.30")
    h.extra(x, "K7.87", "M1.15", 2.5, 300.0, "W60")
    h.extra(x, "S0.15", "K7.86", 0.5, 300.0, "W61")


def cut_off(x: Harness, generator_on_battery: bool) -> None:
    """Put a cut-off between the battery and the fuse box; the generator on its one side or the other."""
    h.with_generator(x)
    h.grown(x).switch("Q1", "cut_off", on=(("1", "2"),), off=())
    h.ends(x, "W1", "GB1.30", "Q1.1")
    h.extra(x, "Q1.2", "F1.in", 10.0, 200.0, "W60")
    if not generator_on_battery:
        h.ends(x, "W90", "Q1.2", "F9.in")


@case(
    "cut_off_leaves_engine",
    ("cut_off_leaves_engine", "stop", "Q1"),
    says=(
        "in position 'off'",
        "A2",
    ),
)
def an_alternator_behind_the_cut_off(x: Harness) -> None:
    cut_off(x, generator_on_battery=False)


@case("cut_off_leaves_engine")
def an_alternator_on_the_battery(x: Harness) -> None:
    cut_off(x, generator_on_battery=True)


@case("cut_off_leaves_engine", ("cut_off_not_judged", "note", "Q1"), says=("none of its positions opens it",))
def a_cut_off_that_never_opens(x: Harness) -> None:
    cut_off(x, generator_on_battery=True)
    h.part(x, "Q1", positions={"on": (("1", "2"),)})


@case(
    "on_with_key_off",
    ("on_with_key_off", "stop", "E1"),
    ("key_off_drain", "mend", "GB1"),
    says=(
        "S0 joins nothing",
        "limit 0.05 A",
    ),
)
def a_lamp_that_the_key_does_not_switch(x: Harness) -> None:
    x.modes["parked"] = h.replace(x.modes["parked"], set={"S0": "off", "S1": "on"})


@case("on_with_key_off")
def a_clock_that_takes_ten_milliamperes(x: Harness) -> None:
    s = h.grown(x)
    s.part("P9", "current_load", rated_a=0.01, rated_v=13.5)
    s.wire("F2.out", "P9.15", 0.5, 300.0, name="W60", insulation="TXL")
    s.wire("P9.31", "GP1", 0.5, 300.0, name="W61", insulation="TXL")


# --- bookkeeping --------------------------------------------------------------------------------------------------


@case("end_open", ("end_open", "mend", "W60"), says=("W60 is live and has an open end: unknown",))
def a_live_end_in_the_tape(x: Harness) -> None:
    h.extra(x, "S1.30", "unknown", 1.0, 300.0, "W60")


@case("end_open", ("end_open", "note", "W60"), says=("W60 has an open end: 'into the tape'",))
def a_dead_end_in_the_tape(x: Harness) -> None:
    h.extra(x, "GP1", "unknown", 1.0, 300.0, "W60")
    h.open_end(x, "W60", 1, "words")


@case("end_open")
def a_wire_that_is_recorded_as_dead(x: Harness) -> None:
    h.extra(x, "GP1", "cut", 1.0, 300.0, "W60", status="dead")


@case("found_differs", ("found_differs", "note", "W3"), says=("colour BK instead of RD/YE",))
def another_colour_than_designed(x: Harness) -> None:
    h.found(x, "W3", colour="BK")


@case("found_differs", ("found_differs", "mend", "W3"), says=("size 1 mm² instead of 2.5 mm²",))
def a_thinner_wire_than_designed(x: Harness) -> None:
    h.found(x, "W3", area_mm2=1.0)


@case("found_differs")
def found_as_designed(x: Harness) -> None:
    h.found(x, "W3", colour="RD/YE", area_mm2=2.5)


@case("designator_twice", ("designator_twice", "note", "S1"))
def a_leading_zero(x: Harness) -> None:
    h.grown(x).switch("S01", off=(), on=(("1", "2"),))


@case("designator_twice", ("mark_twice", "note", "W3"))
def one_mark_on_two_circuits(x: Harness) -> None:
    h.wire(x, "W3", marked="7")
    h.wire(x, "W7", marked="7")


@case("designator_twice")
def one_mark_along_a_circuit(x: Harness) -> None:
    h.wire(x, "W3", marked="7")
    h.wire(x, "W4", marked="7")


@case("wire_dead", ("wire_dead", "note", "W60"))
def a_wire_recorded_as_dead(x: Harness) -> None:
    h.extra(x, "GP1", "GP2", 1.0, 300.0, "W60", status="dead")


@case("wire_dead", ("wire_dead", "note", "W60"))
def a_wire_to_a_cavity_with_nothing_beyond(x: Harness) -> None:
    h.extra(x, "GP1", "X1.2", 1.0, 300.0, "W60")


@case("wire_dead", ("wire_dead", "note", "W60"))
def a_wire_to_a_splice_of_its_own(x: Harness) -> None:
    h.grown(x).splice("SP9")
    h.extra(x, "GP1", "SP9", 1.0, 300.0, "W60")


@case("length_zero", ("length_zero", "note", "W3"))
def a_wire_of_no_length(x: Harness) -> None:
    h.wire(x, "W3", length_mm=0.0)


@case("assumed", ("assumed", "note", "W3"))
def a_length_not_known(x: Harness) -> None:
    h.wire(x, "W3", length_mm=None)


@case("assumed", ("assumed", "note", "W3"))
def a_size_not_known(x: Harness) -> None:
    h.wire(x, "W3", area_mm2=None)


@case("assumed", ("assumed", "note", "F4"))
def a_rating_not_known(x: Harness) -> None:
    h.part(x, "F4", rated_a=None)


@case("no_way_to_ground", ("no_way_to_ground", "note", "SP8"), says=("floating",))
def two_splices_far_from_everything(x: Harness) -> None:
    s = h.grown(x)
    s.splice("SP8")
    s.splice("SP9")
    s.wire("SP8", "SP9", 1.0, 300.0, name="W60", insulation="TXL")


@case(
    "mode_not_judged",
    ("mode_not_judged", "mend", "parked"),
    ("mode_not_judged", "mend", "driving"),
    says=(
        "mode parked has no solution",
        "no figures for conductor material",
    ),
)
def a_metal_without_figures(x: Harness) -> None:
    h.wire(x, "W3", material="unobtainium")


@case(
    "limit_unknown",
    ("limit_unknown", "mend", ""),
    says=(
        "there is no limit 'rise_sensor_ground'; nearest is 'rise_sensor_ground_v', so it changes nothing",
    ),
)
def a_limit_misspelt(x: Harness) -> None:
    h.limit(x, "rise_sensor_ground", 0.08)


@case(
    "limit_unknown",
    ("limit_unknown", "mend", ""),
    says=("there is no limit set 'road_worksop'; nearest is 'road_workshop', road_workshop is used instead",),
)
def a_limit_set_misspelt(x: Harness) -> None:
    h.limits_of(x, "road_worksop")
