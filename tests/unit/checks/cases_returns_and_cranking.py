"""Cases of the rules: returns behind fuses, cranking, cut-offs, cases on metal, figures that tables do not hold."""

from dataclasses import replace

from harness_studio.model.harness import Harness
from harness_studio.model.kinds.control import UnitTerminal
from harness_studio.model.values import Contact, End, Mount
from tests.unit.checks import harnesses as h
from tests.unit.checks.case_book import case


@case("fuse_wire", ("fuse_wire", "stop", "W5"), says=("a return from behind it", "found 15 A"))
def a_return_too_thin_for_the_lamps_fuse(x: Harness) -> None:
    # The lamp's feed is 2.5 mm² behind 15 A; a lamp that fails as a short draws as much on the way back.
    h.wire(x, "W5", area_mm2=0.22)


@case("fuse_wire")
def a_thin_return_of_a_relays_coil(x: Harness) -> None:
    # 90 Ω let 0.14 A flow, whatever the fuse.
    h.wire(x, "W14", area_mm2=0.22)


@case("fuse_wire")
def a_thin_strap_beyond_the_stud(x: Harness) -> None:
    # Between studs the current of many loads shares all metal: no one fuse can be named.
    h.extra(x, "GP1", "GP2", 0.22, 300.0, "W60")


@case("fuse_withstand", ("fuse_withstand", "stop", "W5"), says=("a return from behind it",))
def a_return_that_goes_before_its_fuse(x: Harness) -> None:
    h.wire(x, "W5", area_mm2=0.22)


@case("crimp_range", ("crimp_range", "mend", "X1.1"), says=("takes 1 to 6 mm²",))
def a_thick_cable_in_a_wide_tab(x: Harness) -> None:
    h.half(x, "X1", contact=Contact(tab_mm=9.5, plating="tin"))
    h.wire(x, "W3", area_mm2=16.0)


@case(
    "crimp_range",
    ("crimp_not_judged", "note", "X1.1"),
    says=("no figures for a tab of 8 mm", "1.5, 2.8, 4.8"),
)
def a_tab_that_no_table_holds(x: Harness) -> None:
    h.half(x, "X1", contact=Contact(tab_mm=8.0, plating="tin"))


@case("unit_rise")
def a_switch_on_metal_at_the_units_ground(x: Harness) -> None:
    s = h.grown(x)
    s.switch("S8", off=(), on=(("1", "31"),))
    h.about(x, "S8", mount=Mount("31", "shell.rear"))
    s.wire("A2.31", "S8.31", 1.0, 300.0, name="W60", insulation="TXL")


@case("unit_rise")
def a_radio_on_a_poor_ground(x: Harness) -> None:
    # It draws only: no reading and no output of it depends on its ground.
    h.part(x, "A2", terminals={"30": UnitTerminal("supply"), "31": UnitTerminal("ground"),
                               "2": UnitTerminal("draw", amps=0.1, to="31")})  # fmt: skip
    for name in ("W19", "W20"):
        del x.wires[name]
    del x.parts["B2"]
    for mode in ("parked", "driving"):
        x.modes[mode] = replace(x.modes[mode], senders={"B1": "half"})
    h.joint(x, "W18@GP2", 600.0)


@case("unit_rise")
def a_unit_that_rises_with_the_starters_return(x: Harness) -> None:
    # 150 A through 2 mΩ between GP0 and the post: 0.3 V, below the 0.5 V of cranking and above the 0.05 V of else.
    h.with_starter(x)
    x.wires["W81"] = replace(x.wires["W81"], ends=(x.wires["W0"].ends[1], x.wires["W81"].ends[1]))
    h.joint(x, "W0@GB1.31", 2.0)


@case("path_drop", ("return_drop", "mend", "M9"), says=("M9 loses 0.39",))
def what_the_starters_current_lifts(x: Harness) -> None:
    # The starter itself may lose 0.2 V, the lamp and the motor beside it 0.5 V while it turns: here about 0.4 V.
    h.with_starter(x)
    x.wires["W81"] = replace(x.wires["W81"], ends=(x.wires["W0"].ends[1], x.wires["W81"].ends[1]))
    h.joint(x, "W0@GB1.31", 0.9)


@case("charging_drop")
def a_cut_off_that_parts_the_alternator(x: Harness) -> None:
    # The alternator holds its own volts, the battery its own: what lies between is no loss of the charging way.
    h.with_generator(x, 500.0, 16.0)
    s = h.grown(x)
    s.switch("Q1", "cut_off", on=(("1", "2"),), off=())
    x.wires["W91"] = replace(x.wires["W91"], ends=(End("point", "F9.out"), End("point", "Q1.1")))
    s.wire("Q1.2", "G1.B+", 16.0, 300.0, name="W60", insulation="TXL")
    x.modes["running"] = replace(x.modes["running"], set={"Q1": "off"})


@case("no_way_to_ground")
def a_wire_behind_an_open_switch_to_a_load_that_is_off(x: Harness) -> None:
    # With lamp and switch off its wires float, as they should.
    x.modes["driving"] = replace(x.modes["driving"], loads={"E1": "on"})
    x.modes["parked"] = replace(x.modes["parked"], loads={"E1": "off"})


@case("wire_temperature")
def a_starter_cable_for_a_short_time(x: Harness) -> None:
    # 150 A on 10 mm² would settle far above what TXL bears (about 90 A in free air); in 30 s it warms by some 30 K.
    h.with_starter(x, 500.0)
    h.wire(x, "W80", area_mm2=10.0)


@case("joint_poor", ("joint_poor", "mend", "X1.1"), says=("because joint_drop/X1.1",))
def a_contact_that_is_told_by_its_loss(x: Harness) -> None:
    h.joint(x, "X1.1", 60.0)


@case("joint_drop", ("joint_drop", "mend", "GP1"), says=("because ground_rise/GP1",))
def a_stud_is_told_by_its_rise(x: Harness) -> None:
    h.joint(x, "GP1", 45.0)


@case(
    "ground_rise",
    ("ground_rise", "mend", "GP1"),
    ("ground_rise", "mend", "GP2"),
    says=("because joint_drop/",),
)
def a_poor_ring_at_the_battery_lifts_every_stud(x: Harness) -> None:
    h.joint(x, "GP0", 45.0)


@case("path_drop", ("feed_drop", "mend", "E1"), says=("because contact_drop/S1.30:87",))
def a_feed_that_a_switch_explains(x: Harness) -> None:
    h.joint(x, "S1.30:87", 110.0)


@case("path_drop")
def a_starter_that_does_not_crank(x: Harness) -> None:
    h.with_starter(x)
    h.joint(x, "M9.30/W80", 6.0)
    del x.modes["cranking"]


@case("charging_drop")
def an_alternator_that_gives_nothing(x: Harness) -> None:
    h.with_generator(x, 6000.0, 2.5)
    x.modes["running"] = replace(x.modes["running"], engine="off")
