"""The air a wire is judged in: the warmest it is known to pass."""

import pytest

from harness_studio.model.values import Spot
from harness_studio.network.expand import expand
from tests.support.sketch import Sketch


def sketch() -> Sketch:
    """A splice between a cool cab and a hot engine, and a stud in the cab."""
    s = Sketch()
    s.zone("cab", ambient_c=30.0)
    s.zone("engine_top", ambient_c=90.0)
    s.zone("tunnel", ambient_c=40.0)
    s.breakout("bk_cab", "cab")
    s.breakout("bk_engine", "engine_top")
    s.run("through", "bk_cab", "bk_engine", 600.0)
    s.body("shell", bulkhead=0.2)
    s.ground("GP5", "shell.bulkhead", zone="cab")
    return s


@pytest.mark.parametrize(
    ("at", "zone", "air_c"),
    [
        (Spot(run="through", mm=500.0), None, 90.0),
        (Spot(run="through"), None, 90.0),
        (Spot(run="through", mm=500.0), "tunnel", 40.0),  # its own zone says more
        (Spot(breakout="bk_engine"), None, 90.0),
        (None, None, 30.0),
    ],
)
def test_a_wire_passes_the_air_of_the_splice_it_ends_in(
    at: Spot | None, zone: str | None, air_c: float
) -> None:
    s = sketch()
    s.splice("SP5", at=at, zone=zone)
    s.wire("SP5", "GP5", 0.75, 900.0, name="W71", insulation="GPT")
    network = expand(s.harness)
    here = [network.branches.address[b] for b in network.conductors.branch.tolist()].index("W71")
    assert network.conductors.ambient_c[here] == air_c


def test_a_fuse_lies_where_its_box_does() -> None:
    s = sketch()
    s.part("F1", "fuse", style="blade_medium", rated_a=10.0)
    s.part("A1", "box", zone="engine_top", holds=("F1",))
    s.wire("F1.out", "GP5", 0.75, 900.0, name="W71", insulation="GPT")
    network = expand(s.harness)
    assert network.conductors.ambient_c.tolist() == [90.0]
