"""Every point's volts against ngspice, on invented vehicles and on random small harnesses.

With the rated laws the circuits are linear; with the full ones the elements' equations repeat the program's, so that
this checks the network and the solving of it. The laws themselves are checked at printed points elsewhere.
"""

import pytest
from hypothesis import given, settings

from harness_studio.electrics.lawset import FULL, RATED, LawSet
from harness_studio.model.harness import Harness
from tests.support.builders import ladder, parallel_returns, shared_stud
from tests.support.libspice import library
from tests.support.physics import solved
from tests.support.spice import assert_agrees, assert_ngspice_agrees, run_eased
from tests.support.strategies import small_harnesses
from tests.support.vehicle import bench500, vehicle

LAWS = pytest.mark.parametrize("laws", [RATED, FULL], ids=["rated", "full"])


def check(harness: Harness, mode: str | None, laws: LawSet) -> None:
    assert_ngspice_agrees(solved(harness, mode, laws=laws), laws)


def check_here(harness: Harness, mode: str | None, laws: LawSet) -> None:
    """Ask the library, which saves the start of a program."""
    solution = solved(harness, mode, laws=laws)
    assert_agrees(solution, *run_eased(solution, laws, library().run), laws)


@LAWS
@pytest.mark.parametrize("mohm", [None, 0.0, 2000.0])
def test_a_shared_stud(mohm: float | None, laws: LawSet) -> None:
    check(shared_stud(4, mohm=mohm), None, laws)


@LAWS
@pytest.mark.parametrize("engine", ["off", "idling", "running", "cranking"])
@pytest.mark.parametrize(("returns", "bodies"), [(1, 1), (2, 2), (3, 2), (4, 3)])
def test_parallel_returns(returns: int, bodies: int, engine: str, laws: LawSet) -> None:
    check(parallel_returns(returns, bodies, engine=engine), "now", laws)


@LAWS
def test_a_ladder(laws: LawSet) -> None:
    check(ladder(30), None, laws)


@LAWS
@pytest.mark.parametrize("mode", ["off", "key_on", "running", "running_lamps", "braking", "cranking"])
@pytest.mark.parametrize(("seed", "circuits"), [(11, 20), (12, 30), (13, 40), (14, 60)])
def test_vehicles(seed: int, circuits: int, mode: str, laws: LawSet) -> None:
    check(vehicle(seed, circuits), mode, laws)


@LAWS
def test_a_positive_ground_vehicle(laws: LawSet) -> None:
    check(vehicle(15, 30, grounded="positive"), "running_lamps", laws)


@pytest.mark.slow
@settings(max_examples=60)
@given(small_harnesses())
def test_random_harnesses(harness: Harness) -> None:
    for laws in (RATED, FULL):
        check_here(harness, "now", laws)


@pytest.mark.slow
@LAWS
@pytest.mark.parametrize("mode", ["off", "running_lamps", "cranking"])
def test_bench500(mode: str, laws: LawSet) -> None:
    check(bench500(), mode, laws)


@pytest.mark.slow
@settings(max_examples=400)
@given(small_harnesses())
def test_many_random_harnesses(harness: Harness) -> None:
    for laws in (RATED, FULL):
        check_here(harness, "now", laws)


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(100, 130))
def test_many_vehicles(seed: int) -> None:
    harness = vehicle(seed, 20 + 10 * (seed % 5))
    for mode in harness.modes:
        for laws in (RATED, FULL):
            check(harness, mode, laws)
