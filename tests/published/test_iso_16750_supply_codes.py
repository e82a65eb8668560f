"""Supply voltage codes of ISO 16750-2:2010, table 1: least and most volts at which a unit of a code has to work.

Printed (seen once, in a public preview): 12 V systems A 6-16, B 8-16, C 9-16, D 10.5-16; 24 V systems E 10-32, F 16-32,
G 22-32, H 18-32.
"""

import pytest

from harness_studio.model.kinds.control import UnitTerminal
from tests.support.bare import bared, emf, joined
from tests.support.physics import solved
from tests.support.sketch import Sketch

CODES_V = {
    "A": (6.0, 16.0), "B": (8.0, 16.0), "C": (9.0, 16.0), "D": (10.5, 16.0),
    "E": (10.0, 32.0), "F": (16.0, 32.0), "G": (22.0, 32.0), "H": (18.0, 32.0),
}  # fmt: skip


def state_at(volts: float, cut_out_v: float | None) -> str:
    """Return the state of a control unit that has been on, with so many volts at its supply."""
    from harness_studio.electrics.solve import solve
    from harness_studio.network.expand import expand

    s = Sketch()
    emf(s, volts)
    does = {"30": UnitTerminal("supply"), "31": UnitTerminal("ground"), "p": UnitTerminal("draw", amps=0.1)}
    s.part("A1", "control_unit", terminals=does, cut_out_v=cut_out_v)
    joined(s, ("GB1.30", "A1.30"), ("GB1.30", "A1.p"), ("A1.31", "GB1.31"))
    return solve(expand(bared(s)), before={"A1/p": "on"}).states["A1/p"]


@pytest.mark.parametrize("code", CODES_V)
def test_a_unit_of_a_code_works_from_its_least_volts_to_its_most(code: str) -> None:
    least, most = CODES_V[code]
    assert state_at(least + 1e-3, least) == "on"
    assert state_at(most, least) == "on"
    assert state_at(least - 1e-3, least) == "cut out"


def test_a_unit_of_which_nothing_is_said_is_one_of_code_a() -> None:
    assert state_at(6.001, None) == "on"
    assert state_at(5.999, None) == "cut out"


def test_printed_supply_is_enough_for_a_solved_harness() -> None:
    """A unit of code C at the end of a long thin feed: on while its own terminals have 9 V, not by the battery's."""
    s = Sketch()
    s.battery(rest_v=9.6, internal_mohm=50.0)
    does = {"30": UnitTerminal("supply"), "31": UnitTerminal("ground"), "p": UnitTerminal("draw", ohm=3.0)}
    s.part("A1", "control_unit", terminals=does, cut_out_v=CODES_V["C"][0])
    s.wire("GB1.30", "A1.30", 0.35, 3000.0)
    s.wire("A1.30", "A1.p", 1.0, 0.0)
    s.wire("A1.31", "GB1.31", 0.35, 3000.0)
    solution = solved(s.done(), before=None)
    assert solution.states["A1/p"] in ("cut out", "hiccups")
