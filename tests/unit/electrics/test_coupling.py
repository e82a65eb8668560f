"""Coupling between returns: mV of rise at one point per ampere put in at another."""

import numpy as np
import pytest

from harness_studio.base.errors import AddressError
from harness_studio.electrics.coupling import coupling, in_blocks, return_points
from harness_studio.electrics.sweep import prepare
from harness_studio.model.harness import Harness
from harness_studio.network.expand import expand
from tests.support.bare import bared, joined
from tests.support.physics import solved
from tests.support.sketch import Sketch


def stud(mohm: float, extra_a: float = 0.0) -> Harness:
    """Return two loads on a stud with so many milliohms, one on a stud of its own; sources of current put in more."""
    s = Sketch()
    s.battery(rest_v=12.0, internal_mohm=10.0, charge_mohm=10.0)
    s.body("shell", a=0.0)
    s.ground("GP1", "shell.a")
    s.ground("GP2", "shell.a")
    joined(s, ("GB1.31", "shell.a"))
    for load, ground in (("R1", "GP1"), ("R2", "GP1"), ("R3", "GP2")):
        s.part(load, "resistor", ohm=6.0)
        joined(s, ("GB1.30", f"{load}.1"), (f"{load}.2", ground))
    s.part("E1", "current_load", rated_a=1e-9 + extra_a)
    joined(s, ("GB1.30", "E1.15"), ("E1.31", "GP1"))
    s.found("GP1", mohm)
    s.found("GP2", 1.0)
    return bared(s)


def of(harness: Harness, *points: str) -> np.ndarray:
    return coupling(prepare(expand(harness), warm=False), points).mv_per_a


def test_loads_on_one_stud_disturb_one_another_by_its_milliohms() -> None:
    found = of(stud(100.0), "R1.2", "R2.2", "R3.2")
    beside_ohm = 1.0 / (1.0 / 0.1 + 2.0 / 6.0)  # two loads of 6 Ω back to the battery lie beside the stud
    assert found[0, 0] == pytest.approx(1000.0 * beside_ohm, rel=2e-3)
    assert found[0, 1] == pytest.approx(found[0, 0], rel=1e-4)
    assert abs(found[0, 2]) < 0.01 * found[0, 0]


def test_it_is_symmetric() -> None:
    found = of(stud(100.0), "R1.2", "R2.2", "R3.2", "GB1.30")
    assert found == pytest.approx(found.T, rel=1e-9, abs=1e-12)


def test_it_is_what_a_little_more_current_does() -> None:
    before, after = (solved(stud(100.0, a)).volt("R1.2") for a in (0.0, 0.01))
    assert before is not None
    assert after is not None
    z = coupling(prepare(expand(stud(100.0)), warm=False), ("R1.2", "GB1.30")).mv_per_a
    expected_mv = 0.01 * (z[0, 0] - z[0, 1])  # out at the feed, in at the return
    assert 1000.0 * (after - before) == pytest.approx(expected_mv, rel=0.02)


def test_the_post_itself_does_not_rise() -> None:
    assert of(stud(100.0), "GB1.31", "R1.2")[0].tolist() == [0.0, 0.0]


def test_a_point_without_an_element_is_refused() -> None:
    with pytest.raises(AddressError, match="'nowhere' is no terminal"):
        of(stud(1.0), "nowhere")


def test_in_blocks_those_that_share_a_stud_stand_together() -> None:
    base = prepare(expand(stud(100.0)), warm=False)
    apart = coupling(base, ("R1.2", "R3.2", "R2.2"))
    found = in_blocks(apart)
    assert sorted(found.points) == ["R1.2", "R2.2", "R3.2"]
    assert found.points[1] != "R3.2"  # the one on a stud of its own stands at an end
    for i, first in enumerate(found.points):
        for j, second in enumerate(found.points):
            was = apart.mv_per_a[apart.points.index(first), apart.points.index(second)]
            assert found.mv_per_a[i, j] == was


def test_returns_are_where_metal_leads_to_the_post() -> None:
    harness = stud(100.0)
    done = solved(harness)
    assert return_points(done.network, done) == ("R1.2", "R2.2", "R3.2", "E1.31")
