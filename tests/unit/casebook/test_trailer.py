"""A pump and stop lamps with disjoint feeds both fall off when the trailer is plugged in: it is what they share back.

Disjoint: no joint is common to their feeds after the battery's positive post (the figures of the stud shared by a pump
and stop lamps are common practice, no source).
"""

import pytest

from harness_studio.casebook.argument import argument
from harness_studio.casebook.suspects import suspects
from harness_studio.electrics.common import common_joints
from harness_studio.electrics.solve import solve
from harness_studio.model.cases import Case, Reading, Sighting
from harness_studio.model.harness import Harness
from harness_studio.network.expand import expand
from harness_studio.network.network import Overrides
from tests.support.sketch import Sketch

SEEN = tuple(Sighting(on, "down", from_mode="alone", to_mode="coupled") for on in ("M1", "E1"))


@pytest.fixture(scope="module")
def harness() -> Harness:
    s = Sketch()
    s.battery()
    s.body("shell", front=0.2, rear=0.6)
    s.ground("GP0", "shell.front", "M8")
    s.wire("GB1.31", "GP0", 16.0, 400.0)
    s.ground("GP1", "shell.rear")
    s.part("M1", "motor", rated_v=13.5, rated_a=6.0, stall_a=30.0)
    s.wire("GB1.30", "M1.15", 2.5, 4000.0)
    s.wire("M1.31", "GP1", 2.5, 600.0)
    s.part("E1", "lamp", rated_v=13.5, rated_w=42.0)
    s.wire("GB1.30", "E1.1", 2.5, 4500.0)
    s.wire("E1.31", "GP1", 2.5, 500.0)
    s.switch("S1", apart=(), coupled=(("30", "87"),))
    s.wire("GB1.30", "S1.30", 6.0, 4500.0)
    s.part("E2", "lamp", rated_v=13.5, rated_w=120.0)
    s.wire("S1.87", "E2.1", 4.0, 3000.0)
    s.wire("E2.31", "GP1", 4.0, 3000.0)
    s.mode("alone", engine="off", set={"S1": "apart"})
    s.mode("coupled", engine="off", set={"S1": "coupled"})
    return s.done()


def test_common_returns_stand_above_every_feed_joint_and_feeds_below_a_twentieth(harness: Harness) -> None:
    network = expand(harness, "coupled")
    common = common_joints(network, solve(network), ["M1", "E1"])
    returns = {j.joint for j in common.side("return")}
    assert not common.side("feed")
    assert {"GP1", "GP0"} <= returns
    found = suspects(harness, Case("trailer", sightings=SEEN))
    chance = found.probability
    series = [n for n, g in enumerate(found.groups) if g.fault == "series"]
    shared = [n for n in series if set(found.groups[n].members) & returns]
    feeds = [
        n
        for n in series
        if n not in shared
        and not any(end in m for m in found.groups[n].members for end in ("GP1", "GP0", "31", "shell"))
    ]
    assert feeds
    assert min(chance[n] for n in shared) > max(chance[n] for n in feeds)
    assert sum(chance[n] for n in feeds) < 0.05


def test_the_argument_says_that_no_feed_is_common_to_them(harness: Harness) -> None:
    words = argument(harness, Case("trailer", sightings=SEEN)).words
    assert "nothing is common to them on the feed side" in words
    assert "GP1" in words


def test_one_reading_across_the_stud_names_it(harness: Harness) -> None:
    real = solve(expand(harness, "coupled", Overrides().with_joint("GP1", 0.1)))
    volts = (real.volt("GP1") or 0.0) - (real.volt("shell.rear") or 0.0)
    reading = Reading(
        "volts", mode="coupled", plus="GP1", minus="shell.rear", value=volts, symptom_present="yes"
    )
    found = suspects(harness, Case("trailer", sightings=SEEN, readings=(reading,)))
    first = found.ranked()[0]
    assert "GP1" in found.groups[first].members
    assert found.probability[first] > 0.9
