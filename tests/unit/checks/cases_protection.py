"""Cases of the rules, written down by hand before the rules ran. Harnesses are invented."""

from harness_studio.model.harness import Harness
from tests.unit.checks import harnesses as h
from tests.unit.checks.case_book import W1, case

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


def cut_off(x: Harness, before_mm: float | None, behind_mm: float) -> None:
    """Put a battery cut-off into the lead to the first fuse: W1 before it, W70 behind it."""
    s = h.grown(x)
    s.switch("Q1", "cut_off", on=(("1", "2"),), off=())
    h.ends(x, "W1", "GB1.30", "Q1.1")
    h.wire(x, "W1", length_mm=before_mm)
    s.wire("Q1.2", "F1.in", 10.0, behind_mm, name="W70", insulation="TXL")


@case(
    "fuse_missing",
    ("fuse_missing", "mend", "W1"),
    ("fuse_missing", "mend", "W70"),
    says=("460 mm long together with W70", "460 mm long together with W1", "limit 300 mm"),
)
def a_lead_that_a_cut_off_parts(x: Harness) -> None:
    cut_off(x, 280.0, 180.0)


@case("fuse_missing", W1, ("fuse_missing", "note", "W70"), says=("280 mm together with W70, exempt",))
def a_short_lead_that_a_cut_off_parts(x: Harness) -> None:
    cut_off(x, 150.0, 130.0)


@case("fuse_missing", ("fuse_missing", "mend", "W1"), ("fuse_missing", "mend", "W70"), says=("measure it",))
def a_lead_of_which_one_piece_is_unknown(x: Harness) -> None:
    cut_off(x, None, 130.0)


@case(
    "fuse_missing",
    ("fuse_missing", "note", "W1"),
    ("fuse_missing", "note", "W70"),
    ("fuse_missing", "note", "W80"),
    says=("cable of M9, 980 mm together with W80", "lead to F1, 180 mm, exempt"),
)
def a_lead_that_branches_off_a_starter_cable(x: Harness) -> None:
    # W1 is a starter's cable up to the cut-off and W80 from there; the lead to the fuse begins at the cut-off.
    h.with_starter(x)
    cut_off(x, 280.0, 180.0)
    h.ends(x, "W80", "Q1.2", "M9.30")


@case(
    "fuse_missing",
    ("fuse_missing", "mend", "W1"),
    ("fuse_missing", "mend", "W80"),
    ("fuse_missing", "note", "W70"),
)
def a_starter_cable_too_long_in_two_pieces(x: Harness) -> None:
    h.with_starter(x, 1300.0)
    cut_off(x, 280.0, 180.0)
    h.ends(x, "W80", "Q1.2", "M9.30")


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
