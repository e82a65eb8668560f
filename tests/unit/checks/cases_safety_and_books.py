"""Cases of the rules, written down by hand before the rules ran. Harnesses are invented."""

from harness_studio.model.harness import Harness
from harness_studio.model.kinds.control import UnitTerminal
from tests.unit.checks import harnesses as h
from tests.unit.checks.case_book import case

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


@case(
    "limit_unknown",
    ("limit_unknown", "mend", ""),
    says=(
        "there is no way to find ampacity 'iso_6723'; nearest is 'iso_6722', "
        "heat balance is used, as the limit set says",
    ),
)
def a_way_to_find_ampacity_misspelt(x: Harness) -> None:
    h.way_to_ampacity(x, "iso_6723")
