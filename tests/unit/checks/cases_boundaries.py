"""Cases of the rules, written down by hand before the rules ran. Harnesses are invented."""

from harness_studio.model.harness import Harness
from harness_studio.model.values import Contact, End
from tests.unit.checks import harnesses as h
from tests.unit.checks.case_book import W1, case
from tests.unit.checks.cases_contacts_and_grounds import trailer
from tests.unit.checks.cases_protection import company, link

WITHOUT_SOURCE = (
    "wire_ampacity", "wire_drop", "path_drop", "charging_drop", "ground_rise", "sensor_rise", "unit_rise",
    "mixed_returns", "ground_path", "fuse_inrush", "fuse_withstand", "fuse_short", "fuse_breaking", "fuse_missing",
    "on_with_key_off", "cut_off_leaves_engine", "fuel_pump_runs_on",
)  # fmt: skip


def without_battery(x: Harness) -> None:
    for name in ("W0", "W1"):
        h.wire(x, name, ends=(End("unknown"), x.wires[name].ends[1]))
    del x.parts["GB1"]


for _rule in WITHOUT_SOURCE:
    case(_rule)(without_battery)


# --- heat ---------------------------------------------------------------------------------------------------------


@case("heat_not_judged")
def hot_air_is_told_by_its_own_rule(x: Harness) -> None:
    x.zones["rear"] = h.replace(x.zones["rear"], ambient_c=80.0)
    h.wire(x, "W3", insulation="PVC")


@case(
    "heat_not_judged",
    ("heat_not_judged", "note", "W3"),
    says=("not judged by the curve", "or a run with fewer wires"),
)
def a_bundle_beyond_curve_and_tables(x: Harness) -> None:
    # 30 wires: the curve is known to 20; PVC of 70 °C: AC 43.13-1B begins at 105 °C, 33 CFR has 60 °C but its rows
    # begin at AWG 18, and the ISO 6722 guide currents at 0.5 mm²; the wire has 0.35.
    company(x, "W3", 29)
    h.wire(x, "W3", area_mm2=0.35, insulation="PVC")


@case(
    "wire_ampacity",
    ("wire_ampacity", "stop", "W7"),
    says=("10 wires in the run", "TXL 125 °C in air of 30 °C"),
)
def too_much_in_company(x: Harness) -> None:
    company(x, "W7", 9)
    h.part(x, "M1", rated_a=40.0, stall_a=120.0)
    h.wire(x, "W7", area_mm2=1.5)


@case(
    "wire_ampacity",
    ("wire_ampacity", "stop", "W7"),
    says=("it settles at no safe temperature, above 225 °C",),
)
def far_too_much(x: Harness) -> None:
    h.part(x, "M1", rated_a=60.0, stall_a=180.0)
    h.wire(x, "W7", area_mm2=0.5)


@case("wire_temperature")
def a_cold_wire_in_warm_air(x: Harness) -> None:
    # No current in the switch's lamp feed: it is as warm as the air, and that is nobody's fault.
    x.zones["rear"] = h.replace(x.zones["rear"], ambient_c=64.0)
    h.wire(x, "W3", insulation="PVC")
    x.modes["driving"] = h.replace(x.modes["driving"], set={"S0": "on", "S1": "off"})


# --- drop ---------------------------------------------------------------------------------------------------------


@case("path_drop", ("path_percent", "mend", "A2"), says=("limit 3 %",))
def three_per_cent_for_a_control_unit_afloat(x: Harness) -> None:
    # 0.1 A through 5 Ω: 0.5 V of 12.5 V.
    h.limits_of(x, "small_craft")
    h.joint(x, "W21@A2.2", 5000.0)


@case("path_drop")
def four_per_cent_for_a_lamp_afloat(x: Harness) -> None:
    h.limits_of(x, "small_craft")
    h.joint(x, "X1.1", 100.0)


@case("path_drop", ("feed_drop", "mend", "E1"), ("path_drop", "mend", "E1"), says=("limit 0.5 V",))
def no_per_cent_in_the_circular(x: Harness) -> None:
    h.limits_of(x, "aviation_circular")
    h.wire(x, "W3", area_mm2=0.35, length_mm=8000.0)


@case("path_drop", ("feed_drop", "mend", "E1"), says=("E1 E1/tail", "E1, tail loses"))
def one_of_two_filaments(x: Harness) -> None:
    from harness_studio.model.kinds.loads import Filament

    h.joint(x, "X1.1", 130.0)
    h.part(x, "E1", rated_v=None, rated_w=None, elements={"tail": Filament(("1", "31"), 13.5, 55.0)})


@case("charging_drop", ("charging_drop", "mend", "G1"), says=("from the grounded post", "G1.B-"))
def a_poor_strap(x: Harness) -> None:
    # About 20 A through 20 mΩ.
    h.with_generator(x, 500.0, 16.0)
    h.joint(x, "GP9", 20.0)


@case("joint_poor")
def a_record_of_a_joint_that_is_gone(x: Harness) -> None:
    h.joint(x, "GP77", 99.0)


@case("joint_poor")
def a_fuse_with_a_resistance_of_its_own(x: Harness) -> None:
    h.joint(x, "F3", 400.0)


# --- fuses --------------------------------------------------------------------------------------------------------


@case("fuse_load", ("fuse_load", "mend", "F4"), says=("and runs warm",))
def nine_amperes_on_a_ten_ampere_fuse(x: Harness) -> None:
    # A fan of 10 A at 13.5 V takes about 9 A at 12.5 V.
    h.part(x, "M1", rated_a=10.0, stall_a=30.0)


@case("fuse_load", ("fuse_load", "mend", "F4"))
def a_fuse_that_the_starters_winding_is_too_much_for(x: Harness) -> None:
    # About 8 A of hold-in winding and 3 A of motor: half as much again as 7.5 A, which it is sure to hold for 0.75 s.
    h.with_starter(x)
    h.part(x, "F4", rated_a=7.5)


@case("fuse_load")
def a_fuse_that_holds_while_the_starter_cranks(x: Harness) -> None:
    # About 8 A of hold-in winding and 3 A of motor: 70 % of 15 A at most.
    h.with_starter(x)
    h.part(x, "F4", rated_a=15.0)
    h.part(x, "M1", rated_a=6.0, stall_a=12.0)


@case("fuse_inrush")
def a_fuse_without_a_style_has_no_band(x: Harness) -> None:
    h.part(x, "M1", stall_a=60.0)
    h.part(x, "F4", style=None)


@case("fuse_inrush")
def a_fuse_without_a_rating_has_no_band(x: Harness) -> None:
    h.part(x, "M1", stall_a=60.0)
    h.part(x, "F4", rated_a=None)


@case("fuse_inrush")
def a_motor_that_stands(x: Harness) -> None:
    h.part(x, "M1", stall_a=60.0)
    x.modes["driving"] = h.replace(x.modes["driving"], loads={"M1": "off"})


@case("fuse_wire")
def a_wire_of_unknown_size_is_told_elsewhere(x: Harness) -> None:
    h.wire(x, "W4", area_mm2=None)


@case("fuse_wire", ("fuse_wire", "stop", "W4"), says=("found 15 A",))
def the_larger_of_two_fuses_counts(x: Harness) -> None:
    h.extra(x, "F3.out", "X2.1", 1.0, 300.0, "W60")
    h.wire(x, "W4", area_mm2=0.22)


@case("fuse_withstand")
def a_wire_of_unknown_size_withstands_nothing(x: Harness) -> None:
    h.wire(x, "W4", area_mm2=None)


@case("fuse_short")
def a_short_at_an_unknown_distance(x: Harness) -> None:
    h.wire(x, "W4", area_mm2=0.35, length_mm=None)


@case("fuse_breaking")
def a_fuse_that_nothing_feeds(x: Harness) -> None:
    h.grown(x).part("F7", "fuse", style="blade_medium", rated_a=10.0)


@case("fuse_rating", ("fuse_rating", "note", "F4"), says=("the nearest are 40 A",))
def a_fuse_larger_than_any_that_is_made(x: Harness) -> None:
    h.part(x, "F4", rated_a=45.0)


@case("fuse_rating")
def no_rating_no_next(x: Harness) -> None:
    h.part(x, "F4", rated_a=None)


@case("fuse_not_judged")
def a_link_of_known_rating(x: Harness) -> None:
    link(x, 1.0)
    h.part(x, "F8", area_mm2=None, rated_a=30.0)


@case("fuse_missing", W1, says=("W1 is live without a fuse: lead to F1, 250 mm",))
def a_lead_in_pieces(x: Harness) -> None:
    h.wire(x, "W1", length_mm=250.0)


@case("link_in_cabin", ("link_in_cabin", "stop", "F8"), says=("the word 'cabin'",))
def a_link_at_a_breakout_in_the_cabin(x: Harness) -> None:
    from harness_studio.model.values import Spot

    s = h.grown(x)
    s.zone("cabin")
    s.breakout("bk9", "cabin")
    link(x, 1.0)
    h.about(x, "F8", at=Spot(breakout="bk9"))


# --- contacts -----------------------------------------------------------------------------------------------------


@case("contact_current", ("contact_not_judged", "note", "X1.1"))
def a_contact_of_unknown_width(x: Harness) -> None:
    for name in ("X1", "X2"):
        h.half(x, name, contact=Contact(plating="tin"))


@case("crimp_range")
def one_of_two_sizes_not_known(x: Harness) -> None:
    h.extra(x, "X1.1", "unknown", None, 300.0, "W60")


@case("crimp_range")
def two_and_a_half_squares_in_a_wide_tab(x: Harness) -> None:
    h.half(x, "X1", contact=Contact(tab_mm=9.5, plating="tin"))


@case("crimp_range", ("crimp_range", "mend", "X1.1"), says=("limit 4 mm²", "takes 4 to 6 mm²"))
def too_thin_for_its_own_range(x: Harness) -> None:
    h.cavity(x, "X1", "1", contact=Contact(tab_mm=2.8, crimp_mm2=(4.0, 6.0)))


@case("colour_change")
def a_colour_not_said(x: Harness) -> None:
    h.wire(x, "W4", colour=None)


@case(
    "seal_missing",
    ("seal_missing", "mend", "X1.1"),
    ("plug_missing", "mend", "X1.2"),
    says=("holds a wire and has no seal", "a cavity plug"),
)
def everything_open(x: Harness) -> None:
    h.cavity(x, "X1", "1", seal="none")
    h.cavity(x, "X1", "2", plug="missing")


# --- grounds ------------------------------------------------------------------------------------------------------


@case("sensor_rise", ("sensor_rise", "mend", "B1"), says=("below that of P1",))
def a_gauges_poor_ground(x: Harness) -> None:
    h.joint(x, "W15@GP2", 2000.0)


@case("sensor_rise", ("sensor_rise", "mend", "B2"), says=("above that of A2",))
def a_sensor_far_from_its_unit(x: Harness) -> None:
    # About 4 mA through 20 Ω.
    h.joint(x, "W20@GP2", 20000.0)


@case("ground_rise", ("ground_rise", "mend", "GP1"), says=("GP1 lies",))
def the_strap_and_not_the_stud(x: Harness) -> None:
    h.joint(x, "shell.rear", 50.0)


@case("mixed_returns", ("mixed_returns", "mend", "GP1"), says=("sensor B2 returns on GP1",))
def a_sensor_of_a_unit_on_the_loads_stud(x: Harness) -> None:
    h.ends(x, "W20", "B2.2", "GP1")


@case("trailer_returns")
def a_thirteen_way_plug_of_another_kind(x: Harness) -> None:
    h.grown(x).splice("SP9")
    trailer(x, "SP9", "SP9", "SP9")
    h.half(x, "X20", title="Door loom")


@case("shield_both_ends")
def a_wire_that_shields_nothing(x: Harness) -> None:
    h.extra(x, "GP2", "GP1", 0.5, 700.0, "W60")


@case("shield_both_ends")
def a_shield_whose_other_end_hangs_on_itself(x: Harness) -> None:
    h.grown(x).splice("SP9")
    h.extra(x, "GP2", "SP9", 0.5, 700.0, "W60")
    h.shield(x, "W60", "W16")


@case(
    "trailer_returns",
    ("trailer_returns", "mend", "X20"),
    says=("returns 3 and 11 of X20 (13 contacts", "by '11446'"),
)
def two_of_three_returns_by_number(x: Harness) -> None:
    h.grown(x).splice("SP9")
    h.grown(x).half("X20", [str(n) for n in range(1, 14)], tab_mm=None, note="socket of ISO 11446")
    for name in ("3", "11"):
        h.extra(x, f"X20.{name}", "SP9", 2.5, 500.0, f"W6{name}")
    h.extra(x, "SP9", "GP1", 4.0, 300.0, "W69")


@case("trailer_returns", ("trailer_returns", "mend", "X20"), says=("before they reach metal",))
def returns_on_one_splice_and_one_stud(x: Harness) -> None:
    h.grown(x).splice("SP9")
    trailer(x, "SP9", "SP9", "GP1")
    h.extra(x, "SP9", "GP1", 4.0, 300.0, "W69")


@case("shield_both_ends", ("shield_both_ends", "mend", "W60"), says=("shield W60 of signal pair is tied",))
def a_shield_of_a_titled_cable(x: Harness) -> None:
    h.extra(x, "GP2", "GP1", 0.5, 700.0, "W60")
    h.shield(x, "W60", "W16")
    x.multicores["C1"] = h.replace(x.multicores["C1"], title="signal pair")
