"""Harnesses of worked cases that are both solved and given to the casebook, and readings taken of a solution."""

from harness_studio.electrics.solution import Solution
from harness_studio.model.cases import Reading

from .sketch import Sketch


def read_off(found: Solution, *pairs: tuple[str, str]) -> tuple[Reading, ...]:
    """Return readings in volts between pairs of points, taken in the solution's mode while the symptom was there."""
    return tuple(
        Reading(
            "volts",
            mode=found.network.mode.id,
            plus=plus,
            minus=minus,
            value=(found.volt(plus) or 0.0) - (found.volt(minus) or 0.0),
            symptom_present="yes",
        )
        for plus, minus in pairs
    )


def charging(charge_mm2: float) -> Sketch:
    """Return an alternator that feeds a flat battery with its whole 100 A through one cable, in the mode 'run'."""
    s = Sketch()
    s.battery(rest_v=12.0, charge_mohm=4.0)
    s.body("engine", block=0.02)
    s.part("G1", "alternator", mount=("B-", "engine.block"), set_v=14.4, max_a=100.0)
    s.wire("GB1.31", "engine.block", 35.0, 500.0)
    s.wire("G1.B+", "GB1.30", charge_mm2, 1800.0, name="W_charge")
    s.wire("G1.S", "GB1.30", 1.0, 1800.0)
    s.mode("run", engine="running")
    return s


def cranked(body_mohm: float = 0.0, crank_a: float = 200.0) -> Sketch:
    """Return a starter in the mode 'crank', its return a cable to the engine or, if asked, the metal of a body."""
    s = Sketch()
    s.battery(rest_v=12.6, internal_mohm=5.0)
    s.body("engine", block=0.02)
    s.body("shell", front=0.02, floor=max(body_mohm, 0.02))
    s.part("M1", "starter", mount=("31", "engine.block"), rated_v=9.0, crank_a=crank_a, stall_a=900.0)
    s.wire("GB1.30", "M1.30", 50.0, 1200.0, name="W_feed")
    if body_mohm:
        s.ground("GP1", "shell.floor", "M8")
        s.wire("GB1.31", "GP1", 50.0, 300.0, name="W_ground")
        s.wire("shell.front", "engine.block", 50.0, 400.0, name="W_strap")
    else:
        s.wire("GB1.31", "engine.block", 50.0, 600.0, name="W_ground")
    s.mode("crank", engine="cranking")
    return s
