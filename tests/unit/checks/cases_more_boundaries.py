"""Cases of the rules, written down by hand before the rules ran. Harnesses are invented."""

from harness_studio.model.harness import Harness
from harness_studio.model.kinds.control import UnitTerminal
from harness_studio.model.values import End
from tests.unit.checks import harnesses as h
from tests.unit.checks.case_book import case
from tests.unit.checks.cases_safety_and_books import cut_off, pump_relay

# --- safety -------------------------------------------------------------------------------------------------------


@case("fuel_pump_runs_on")
def a_lamp_that_tells_of_the_fuel_pump(x: Harness) -> None:
    h.with_generator(x)
    h.about(x, "E1", title="Fuel pump lamp", circuit="Tell-tale")


@case(
    "fuel_pump_runs_on",
    ("fuel_pump_runs_on", "stop", "M1"),
    says=("it is a motor and its title says 'Diesel lift'",),
)
def a_motor_that_lifts_diesel(x: Harness) -> None:
    h.with_generator(x)
    h.about(x, "M1", title="Diesel lift")


@case("fuel_pump_runs_on")
def a_pump_that_is_off(x: Harness) -> None:
    h.with_generator(x)
    h.about(x, "M1", title="Fuel pump")
    x.modes["driving"] = h.replace(x.modes["driving"], loads={"M1": "off"})


@case("fuel_pump_runs_on")
def a_pump_on_a_control_units_driver(x: Harness) -> None:
    h.with_generator(x)
    h.about(x, "M1", title="Fuel pump")
    does = {**x.parts["A2"].ratings.terminals, "3": UnitTerminal("low_side", to="31", ohm=0.05)}
    h.part(x, "A2", terminals=does)
    h.ends(x, "W8", "M1.31", "A2.3")


@case("fuel_pump_runs_on", ("fuel_pump_runs_on", "stop", "M1"))
def a_relay_that_is_only_named_after_inertia(x: Harness) -> None:
    pump_relay(x)
    h.about(x, "K7", title="Inertia relay")
    h.extra(x, "K7.85", "GP1", 0.5, 300.0, "W62")


@case("fuel_pump_runs_on", ("fuel_pump_runs_on", "stop", "M1"))
def a_crash_switch_beside_the_pumps_way(x: Harness) -> None:
    h.with_generator(x)
    h.about(x, "M1", title="Fuel pump")
    h.grown(x).switch("S7", closed=(("1", "2"),), tripped=())
    h.about(x, "S7", title="Crash switch")
    h.extra(x, "S0.15", "S7.1", 2.5, 300.0, "W60")
    h.extra(x, "S7.2", "M1.15", 2.5, 300.0, "W61")


@case("cut_off_leaves_engine", ("cut_off_leaves_engine", "stop", "Q1"), says=("T1",))
def an_ignition_coil_that_goes_on(x: Harness) -> None:
    cut_off(x, generator_on_battery=False)
    s = h.grown(x)
    s.part("T1", "coil", ohm=3.0)
    s.wire("S0.15", "T1.15", 1.0, 300.0, name="W61", insulation="TXL")
    s.wire("T1.1", "GP1", 1.0, 300.0, name="W62", insulation="TXL")


@case("cut_off_leaves_engine")
def a_second_pole_in_the_electronics_feed(x: Harness) -> None:
    cut_off(x, generator_on_battery=False)
    h.part(x, "Q1", positions={"on": (("1", "2"), ("3", "4")), "off": ()})
    h.ends(x, "W9", "F3.out", "Q1.3")
    h.extra(x, "Q1.4", "K1.30", 1.0, 300.0, "W61")


@case("cut_off_leaves_engine", ("cut_off_not_judged", "note", "Q1"), says=("no ignition coil",))
def nothing_that_the_engine_runs_on(x: Harness) -> None:
    cut_off(x, generator_on_battery=False)
    for name in ("W12", "W21"):
        h.open_end(x, name)


@case(
    "on_with_key_off",
    ("on_with_key_off", "stop", "E1"),
    ("key_off_drain", "mend", "GB1"),
    says=("by the mode's name 'Key off'",),
)
def a_mode_that_is_named_key_off(x: Harness) -> None:
    x.parts["S0"] = h.replace(x.parts["S0"], kind="switch")
    x.modes["parked"] = h.replace(x.modes["parked"], set={"S0": "off", "S1": "on"})


@case("on_with_key_off")
def a_mode_of_another_name(x: Harness) -> None:
    x.parts["S0"] = h.replace(x.parts["S0"], kind="switch")
    parked = x.modes.pop("parked")
    x.modes["lit"] = h.replace(parked, id="lit", title="Lights on", set={"S0": "off", "S1": "on"})


@case("on_with_key_off", ("key_off_drain", "mend", "GB1"), says=("found 0.1",))
def many_small_loads_with_the_key_off(x: Harness) -> None:
    s = h.grown(x)
    for number in range(3):
        s.part(f"P9{number}", "current_load", rated_a=0.04, rated_v=12.0)
        s.wire("F2.out", f"P9{number}.15", 0.5, 300.0, name=f"W6{number}", insulation="TXL")
        s.wire(f"P9{number}.31", "GP1", 0.5, 300.0, name=f"W7{number}", insulation="TXL")


# --- bookkeeping --------------------------------------------------------------------------------------------------


@case(
    "found_differs", ("found_differs", "mend", "W3"), says=("ends S1.87 and cut instead of S1.87 and X1.1",)
)
def found_cut(x: Harness) -> None:
    h.found(x, "W3", ends=(x.wires["W3"].ends[0], End("cut")))


@case(
    "found_differs",
    ("found_differs", "note", "W3"),
    says=("insulation PVC instead of TXL", "mark 9 instead of nothing"),
)
def found_in_pvc(x: Harness) -> None:
    h.wire(x, "W3", marked=None)
    h.found(x, "W3", insulation="PVC", marked="9")


@case("found_differs", ("found_differs", "note", "W3"), says=("size 4 mm² instead of 2.5 mm²",))
def found_thicker(x: Harness) -> None:
    h.found(x, "W3", area_mm2=4.0)


@case("end_open", ("end_open", "mend", "W60"))
def a_shield_of_which_both_ends_are_open(x: Harness) -> None:
    h.extra(x, "S1.30", "cut", 0.5, 300.0, "W60")


@case("designator_twice", ("designator_twice", "note", "W3"), says=("each was known as 'L 7'",))
def two_wires_known_as_one(x: Harness) -> None:
    h.wire(x, "W3", known_as="L 7")
    h.wire(x, "W7", known_as="L 7")


@case("wire_dead")
def a_second_wire_in_the_last_cavity(x: Harness) -> None:
    h.extra(x, "GP1", "X1.2", 1.0, 300.0, "W60")
    h.extra(x, "GP1", "X1.2", 1.0, 300.0, "W61")


@case("wire_dead")
def a_half_that_is_not_mated(x: Harness) -> None:
    h.grown(x).half("X9", ("1",))
    h.extra(x, "GP1", "X9.1", 1.0, 300.0, "W60")


@case("assumed", ("assumed", "note", "E1"), says=("E1/tail: rated_w not known", "E1 E1/tail"))
def watts_of_one_filament_not_known(x: Harness) -> None:
    from harness_studio.model.kinds.loads import Filament

    h.part(x, "E1", rated_v=None, rated_w=None, elements={"tail": Filament(("1", "31"), 13.5)})


@case("assumed", ("assumed", "note", "K9"), says=("K9",))
def a_flasher_of_unknown_resistance(x: Harness) -> None:
    s = h.grown(x)
    s.part("K9", "flasher", movement="thermal", rated_w=46.0, least_a=1.0)
    s.wire("F2.out", "K9.49", 1.0, 300.0, name="W60", insulation="TXL")


# --- safety that no mode lets one judge ---------------------------------------------------------------------------


@case(
    "safety_not_judged",
    ("safety_not_judged", "note", "M1"),
    says=(
        "whether M1 Fuel pump stops with the engine was not judged: it works in no mode with the engine running",
    ),
)
def a_pump_that_works_with_the_engine_off_only(x: Harness) -> None:
    h.about(x, "M1", title="Fuel pump")


@case("safety_not_judged")
def a_pump_that_works_with_the_engine_running(x: Harness) -> None:
    h.with_generator(x)
    h.about(x, "M1", title="Fuel pump")


@case(
    "safety_not_judged",
    ("safety_not_judged", "note", "Q1"),
    says=("whether Q1 stops the engine was not judged: the engine runs in no mode",),
)
def a_cut_off_and_an_engine_that_never_runs(x: Harness) -> None:
    cut_off(x, generator_on_battery=True)
    del x.modes["running"]


@case("safety_not_judged")
def a_cut_off_and_an_engine_that_runs(x: Harness) -> None:
    cut_off(x, generator_on_battery=True)


@case(
    "safety_not_judged",
    ("safety_not_judged", "note", "S0"),
    says=("no mode has the engine off and S0 in a position that joins nothing",),
)
def no_mode_with_the_key_off(x: Harness) -> None:
    del x.modes["parked"]


@case("safety_not_judged")
def no_ignition_switch_and_no_mode_with_the_key_off(x: Harness) -> None:
    x.parts["S0"] = h.replace(x.parts["S0"], kind="switch")
    del x.modes["parked"]


# --- contacts of which nothing is recorded ------------------------------------------------------------------------


@case(
    "contact_current",
    ("contact_not_judged", "note", "X1.1"),
    says=("A and is not judged: neither rating nor tab width recorded",),
)
def contacts_of_which_nothing_is_recorded(x: Harness) -> None:
    for name in ("X1", "X2"):
        h.half(x, name, contact=None)


@case("contact_current")
def one_contact_of_two_is_recorded(x: Harness) -> None:
    h.half(x, "X1", contact=None)


@case("contact_current")
def a_contact_without_current(x: Harness) -> None:
    for name in ("X1", "X2"):
        h.half(x, name, contact=None)
    del x.modes["driving"]
