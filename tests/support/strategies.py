"""Random small harnesses for hypothesis; they shrink to few loads on plain wires."""

from collections.abc import Sequence
from typing import Any

from hypothesis import strategies as st

from harness_studio.model.harness import Harness
from harness_studio.network.expand import expand

from .sketch import Sketch

MOHM = st.sampled_from([0.0, 0.05, 1.0, 30.0, 800.0, 5e4, float("inf")])
"""Resistances of joints as found: none, clean, poor, bad, open."""
LENGTHS = st.sampled_from([1000.0, 50.0, 400.0, 6000.0, 0.0])
AREAS = st.sampled_from([1.0, 0.5, 2.5, 16.0])

LOADS: dict[str, tuple[tuple[str, str], dict[str, Any]]] = {
    "resistor": (("1", "2"), {"ohm": 12.0}),
    "lamp": (("1", "31"), {"rated_v": 13.5, "rated_w": 21.0}),
    "heater": (("1", "2"), {"rated_v": 13.5, "rated_w": 60.0}),
    "motor": (("15", "31"), {"rated_v": 13.5, "rated_a": 5.0, "stall_a": 16.0}),
    "pump": (("15", "31"), {"torque": "constant", "rated_v": 13.5, "rated_a": 4.0, "stall_a": 14.0}),
    "current_load": (("15", "31"), {"rated_a": 0.3}),
    "converter": (("15", "31"), {"rated_v": 13.5, "rated_w": 8.0, "cut_out_v": 7.0}),
    "diode": (("A", "K"), {"series_ohm": 2.0}),
    "led": (("A", "K"), {"rated_a": 0.02}),
    "relay": (("86", "85"), {"coil_ohm": 90.0, "pull_in_v": 7.2, "drop_out_v": 2.4}),
    "voltmeter": (("1", "2"), {"ohm": 2000.0}),
}
"""Loads of two terminals by a word: terminals and ratings; 'pump' is a motor."""
LINEAR = ("resistor", "heater", "voltmeter")


@st.composite
def small_harnesses(draw: st.DrawFn, kinds: Sequence[str] = tuple(LOADS), joints: bool = True) -> Harness:
    """Draw a harness of up to eight loads between up to four feed splices and four returns on one to three bodies.

    Splices are joined by wires as drawn, so that returns and feeds are meshed, dead, or cut off; some joints are found
    open, bad, or of no resistance. Mode `now` has any state of the engine; with an alternator on the last body.
    """
    s = Sketch()
    bodies = [f"body{n}" for n in range(draw(st.integers(1, 3)))]
    for body in bodies:
        s.body(body, centre=0.1, strap=0.3)
    s.battery(capacity_ah=60.0)
    s.ground("GPB", "body0.centre", "M8")
    s.wire("GB1.31", "GPB", 25.0, 300.0)
    feeds = [s.splice(f"SPF{n}") for n in range(draw(st.integers(1, 4)))]
    s.wire("GB1.30", feeds[0], 10.0, 500.0)
    if draw(st.booleans()):
        s.part(
            "G1", "alternator", mount=("B-", f"{bodies[-1]}.centre"), set_v=14.2, droop_mohm=10.0, max_a=80.0
        )
        s.wire("G1.B+", feeds[-1], 10.0, 900.0)
    returns = []
    for number in range(draw(st.integers(1, 4))):
        body = draw(st.sampled_from(bodies))
        s.body(body, {f"stud{number}": 0.4})
        returns.append(s.ground(f"GP{number}", f"{body}.stud{number}"))
    joined = [*feeds, *returns, *(f"{b}.strap" for b in bodies)]
    for first, second in draw(st.lists(st.tuples(st.integers(0, 3), st.integers(0, 3)), max_size=4)):
        # Feeds with feeds, and returns or straps with one another: a wire from feed to return is a short circuit.
        a, b = feeds[first % len(feeds)], feeds[second % len(feeds)]
        c, d = joined[len(feeds) + first % len(returns)], joined[-1 - second % len(bodies)]
        if a != b:
            s.wire(a, b, 2.5, draw(LENGTHS))
        s.wire(c, d, 2.5, draw(LENGTHS))
    _loads(draw, s, feeds, returns, kinds)
    s.mode("now", engine=draw(st.sampled_from(["off", "running", "idling"])))
    if joints:
        _found(draw, s)
    return s.done()


def _loads(
    draw: st.DrawFn, s: Sketch, feeds: Sequence[str], returns: Sequence[str], kinds: Sequence[str]
) -> None:
    for number in range(draw(st.integers(1, 8))):
        word = draw(st.sampled_from(list(kinds)))
        (first, second), ratings = LOADS[word]
        part = s.part(f"L{number}", "motor" if word == "pump" else word, circuit=f"Load {number}", **ratings)
        area_mm2 = draw(AREAS)
        s.wire(draw(st.sampled_from(list(feeds))), f"{part}.{first}", area_mm2, draw(LENGTHS))
        for ground in draw(st.lists(st.sampled_from(list(returns)), max_size=2, unique=True)):
            s.wire(f"{part}.{second}", ground, area_mm2, draw(LENGTHS))


def _found(draw: st.DrawFn, s: Sketch) -> None:
    network = expand(s.harness)
    names = sorted(a for a, n in network.joints.items() if network.branches.address[n] == a)
    # The battery's own ends stay sound, so that there is something to solve.
    names = [n for n in names if not n.startswith("GB1") and not n.endswith(("@GB1.30", "@GB1.31"))]
    for name in draw(st.lists(st.sampled_from(names), max_size=4, unique=True)):
        s.found(name, draw(MOHM))
