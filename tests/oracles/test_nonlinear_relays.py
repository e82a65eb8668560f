"""Relays and regulators against ngspice by enumeration: every vector of states is a fixed network of its own.

The simulator finds the volts of each vector; the thresholds of the parts tell which vectors fit themselves. Ours must
be one of them, and 'chatters' is said exactly when there is none. (A simulator's own answer for a relay that has no
steady state would be one all the same, so none is asked for.)
"""

import random
from collections.abc import Iterator, Mapping
from itertools import product

import pytest

from harness_studio.electrics.solve import solve
from harness_studio.model.harness import Harness
from harness_studio.network.expand import expand
from harness_studio.network.network import Element, Network
from tests.support.libspice import library
from tests.support.physics import assert_physics
from tests.support.sketch import Sketch
from tests.support.spice_laws import circuit

STATES = {"relay": ("released", "pulled in"), "alternator": ("regulating", "limited", "idle", "held")}
NEAR_V = 1e-4
"""A vector whose volts lie so near to a threshold is judged by rounding: such a harness is left out."""


class OnTheEdge(Exception):
    """A vector lies on a threshold."""


def relay_harness(rng: random.Random, most: int = 4) -> Harness:
    """Return relays whose coils hang on one another's contacts, behind poor feeds and on shared poor returns."""
    s = Sketch()
    s.battery(rest_v=rng.choice((12.65, 11.0, 9.5)), internal_mohm=rng.choice((8.0, 60.0, 300.0)))
    s.body("shell", a=0.3, b=2.0)
    s.wire("GB1.31", "shell.a", 10.0, 500.0)
    s.splice("SP0")
    s.wire("GB1.30", "SP0", rng.choice((0.5, 6.0)), 2000.0)
    running = rng.random() < 0.4
    if running:
        sense = rng.choice(("SP0", "GB1.30", None))
        s.part("G1", "alternator", mount=("B-", "shell.a"), set_v=14.2, max_a=rng.choice((8.0, 60.0)))
        s.wire("G1.B+", "SP0", 4.0, rng.choice((800.0, 9000.0)))
        if sense:
            s.wire("G1.S", sense, 0.5, 1000.0)
    feeds, backs = ["SP0"], ["shell.a", "shell.b"]
    for number in range(rng.randint(1, 2)):
        s.splice(f"SPR{number}")
        s.wire(f"SPR{number}", rng.choice(backs), 0.5, rng.choice((300.0, 20_000.0)))
        backs.append(f"SPR{number}")
    relays = [f"K{n}" for n in range(1, rng.randint(1, most) + 1)]
    for relay in relays:
        pull_in = rng.uniform(5.0, 9.5)
        s.part(
            relay, "relay", coil_ohm=rng.choice((40.0, 90.0)), contacts=rng.choice(("make", "break", "changeover")),
            pull_in_v=pull_in, drop_out_v=pull_in * rng.uniform(0.2, 0.95), coil_diode=rng.choice(("none", "85 to 86")),
        )  # fmt: skip
    for relay in relays:
        contacts = s.harness.parts[relay].ratings.contacts
        s.wire(rng.choice(feeds), f"{relay}.30", 1.0, rng.choice((300.0, 15_000.0)))
        for terminal in {"make": ("87",), "break": ("87a",), "changeover": ("87", "87a")}[contacts]:
            s.splice(f"SP{relay}_{terminal}")
            s.wire(f"{relay}.{terminal}", f"SP{relay}_{terminal}", 1.0, 400.0)
            feeds.append(f"SP{relay}_{terminal}")
    for relay in relays:
        s.wire(rng.choice(feeds), f"{relay}.86", 0.5, rng.choice((500.0, 8000.0)))
        s.wire(f"{relay}.85", rng.choice(backs), 0.5, 500.0)
    for number in range(rng.randint(1, 5)):
        kind, ratings = rng.choice(
            (("lamp", {"rated_w": 55.0}), ("heater", {"rated_w": 150.0}), ("lamp", {"rated_w": 5.0}))
        )
        first, second = ("1", "31") if kind == "lamp" else ("1", "2")
        s.part(f"E{number}", kind, rated_v=12.0, **ratings)
        s.wire(rng.choice(feeds), f"E{number}.{first}", 1.0, rng.choice((500.0, 20_000.0)))
        s.wire(f"E{number}.{second}", rng.choice(backs), 1.0, 700.0)
    s.mode("now", engine="running" if running else "off")
    return s.done()


def fits(element: Element, state: str, volts: Mapping[int, float]) -> bool:
    """Tell whether a state fits the volts of its element's points, by what the part's ratings say.

    Raises
    ------
    OnTheEdge
        If it is too near to tell.
    """

    def across(first: str, second: str) -> float:
        return volts[element.terminals[first]] - volts[element.terminals[second]]

    def at_least(value: float, bound: float) -> bool:
        if abs(value - bound) < NEAR_V:
            raise OnTheEdge
        return value >= bound

    ratings = element.ratings
    if element.kind == "relay":
        coil_v = abs(across("86", "85"))
        if state == "released":
            return not at_least(coil_v, ratings.pull_in_v)
        return at_least(coil_v, ratings.drop_out_v)
    sense_v, out_v, held_v = across("S", "B-"), across("B+", "B-"), 1.27 * ratings.set_v
    lost_v = 0.005 * ratings.max_a
    if state == "idle":
        return at_least(sense_v, ratings.set_v)
    if state == "held":
        return not at_least(sense_v, ratings.set_v) and at_least(out_v, held_v - lost_v)
    if at_least(out_v, held_v):
        return False
    if state == "regulating":
        return at_least(sense_v, ratings.set_v - lost_v) and not at_least(sense_v, ratings.set_v)
    return not at_least(sense_v, ratings.set_v - lost_v)


def consistent(network: Network) -> Iterator[dict[str, str]]:
    """Yield every vector of states that fits the volts which ngspice finds with it."""
    judged = [e for e in network.elements if e.kind in STATES]
    choices = [
        ("standing",) if e.kind == "alternator" and e.state == "off" else STATES[e.kind] for e in judged
    ]
    for chosen in product(*choices):
        states = {e.address: state for e, state in zip(judged, chosen, strict=True)}
        drawn = circuit(network, states)
        found = library().run(drawn)
        volts = {i: 0.0 if node is None else found[node] for i, node in enumerate(drawn.nodes)}
        if all(s == "standing" or fits(e, s, volts) for e, s in zip(judged, chosen, strict=True)):
            yield states


def check(seed: int) -> str | None:
    """Check one harness; return 'chatters', 'one', 'several', or None where a threshold is too near."""
    network = expand(relay_harness(random.Random(f"relays {seed}")), "now")
    try:
        expected = list(consistent(network))
    except OnTheEdge:
        return None
    solution = solve(network, warm=False)
    assert_physics(solution)
    restless = [e for e, state in solution.states.items() if state == "chatters"]
    if not expected:
        assert restless, f"{seed}: nothing fits, yet the answer is {dict(solution.states)}"
        return "chatters"
    assert dict(solution.states) in expected, f"{seed}: {dict(solution.states)} is none of {expected}"
    for states in expected:  # relays remember: from each vector that fits, it stays
        assert dict(solve(network, warm=False, before=states).states) == states, seed
    return "one" if len(expected) == 1 else "several"


def compare(seeds: range, least: Mapping[str | None, int]) -> None:
    told = [check(seed) for seed in seeds]
    count = {what: told.count(what) for what in ("one", "several", "chatters", None)}
    print(f"{len(seeds)} harnesses of relays: {count}")
    assert all(count[what] >= n for what, n in least.items())


def test_relays_by_seed() -> None:
    compare(range(60), {"one": 20, "several": 5, "chatters": 5})


@pytest.mark.slow
def test_many_relays_by_seed() -> None:
    compare(range(1000, 2000), {"one": 300, "several": 100, "chatters": 50})
