"""Random harnesses of 10 to 400 joints against ngspice (an open circuit simulator), every point within 1 µV + 1e-6·|V|.

The netlists are written by `tests/support/spice_laws.py` from the ratings of the parts; warmth of wires and states of
relays and regulators are taken as solved. This checks the network, the assembly and Newton's method; that the laws
themselves are right is checked at printed points (tests/published).
"""

import random
from collections import Counter

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from harness_studio.electrics.solution import Solution
from harness_studio.network.network import Element
from tests.support import spice_laws
from tests.support.physics import solved
from tests.support.random_electrics import random_harness
from tests.support.spice import needs_ngspice
from tests.support.spice_laws import assert_ngspice_agrees
from tests.support.vehicle import vehicle

SIZES = (10, 20, 40, 80, 150, 400)
UNANSWERED = 0.02
"""So many of the cases may be without an operating point of the simulator."""


@pytest.fixture(autouse=True)
def _ngspice() -> None:
    needs_ngspice()


def of_seed(seed: int) -> Solution:
    rng = random.Random(f"nonlinear {seed}")
    return solved(random_harness(rng, rng.choice(SIZES)), "now")


def compare(seeds: range) -> str:
    """Compare harnesses; return a line that tells how many, how near, and what was in them."""
    worst, unanswered, states = 0.0, 0, Counter[str]()
    joints = []
    for seed in seeds:
        solution = of_seed(seed)
        joints.append(len(solution.network.joints))
        states.update(solution.states.values())
        found = assert_ngspice_agrees(solution)
        unanswered += found is None
        worst = max(worst, found or 0.0)
    assert unanswered <= UNANSWERED * len(seeds)
    return (
        f"{len(seeds)} harnesses of {min(joints)} to {max(joints)} joints: the worst point came to {worst:.3f} of its "
        f"tolerance; {unanswered} without an answer; {dict(states.most_common())}"
    )


def test_harnesses_by_seed() -> None:
    print(compare(range(40)))


@pytest.mark.slow
def test_many_harnesses_by_seed() -> None:
    print(compare(range(1000, 2000)))


@settings(max_examples=20, suppress_health_check=list(HealthCheck))
@given(st.randoms(use_true_random=False), st.integers(10, 40))
def test_harnesses_by_hypothesis(rng: random.Random, joints: int) -> None:
    assert_ngspice_agrees(solved(random_harness(rng, joints), "now"))


@settings(max_examples=300, suppress_health_check=list(HealthCheck))
@given(st.randoms(use_true_random=False), st.integers(10, 120))
@pytest.mark.slow
def test_many_harnesses_by_hypothesis(rng: random.Random, joints: int) -> None:
    assert_ngspice_agrees(solved(random_harness(rng, joints), "now"))


@pytest.mark.parametrize("seed", range(1, 5))
@pytest.mark.parametrize("mode", ["off", "running_lamps", "braking", "cranking"])
def test_vehicles(seed: int, mode: str) -> None:
    found = assert_ngspice_agrees(solved(vehicle(seed, 30), mode))
    assert found is not None
    assert found < 0.5


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(1, 9))
def test_bigger_vehicles(seed: int) -> None:
    harness = vehicle(seed, 120, grounded="positive" if seed > 5 else "negative")
    worst = [assert_ngspice_agrees(solved(harness, mode)) for mode in harness.modes]
    assert None not in worst
    print(
        f"vehicle {seed}: the worst point came to {max(w for w in worst if w is not None):.3f} of its tolerance"
    )


@pytest.fixture(scope="module")
def one_of_each() -> Solution:
    """A vehicle with the lamps on in which every kind that the netlist writer knows carries current."""
    return solved(vehicle(11, 120), "braking")


LOADED = sorted(spice_laws.CARDS.keys() - {"dynamo", "starter"})


@pytest.mark.parametrize("kind", LOADED)
def test_a_law_that_is_not_there_shows(
    one_of_each: Solution, kind: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    """With a megohm in the place of one kind's law the comparison fails: it sees every kind."""
    assert any(e.kind == kind for e in one_of_each.network.elements)

    def megohms(name: str, element: Element, state: str) -> list[spice_laws.Card]:
        first, *others = element.terminals.values()
        return [
            spice_laws.Card(f"R{name}x{n} {{0}} {{1}} 1e6", (first, other)) for n, other in enumerate(others)
        ]

    monkeypatch.setitem(spice_laws.CARDS, kind, megohms)
    with pytest.raises(AssertionError, match="V in ngspice"):
        assert_ngspice_agrees(one_of_each)
