"""From one position to the next: what the engine keeps of the last one changes nothing of what it finds.

Every state of a random walk through modes, positions, loads and pulled fuses is solved by one engine that has seen the
states before, and by expanding and solving the harness from nothing: same states, volts within 1 µV and currents within
1 µA, the accuracy to which solutions are held against other simulators. Newton's iteration begins elsewhere, and what
hangs behind a load that needs no current near 0 V comes to rest by halves: its last digits depend on where it began.
"""

import random
from pathlib import Path

import numpy as np
import pytest

from harness_studio.electrics.solve import solve
from harness_studio.network.expand import expand
from harness_studio.session.engine import Electrics
from harness_studio.session.results import Key
from tests.support.walks import SAMPLES, harness_of, walk

STEPS = 14
ALIKE = 1e-6
"""Volts and amperes, and part of a current."""


@pytest.mark.parametrize("name", [*SAMPLES, "1", "7"])
def test_each_is_what_solving_from_nothing_gives(name: str, sample_projects_dir: Path) -> None:
    harness = harness_of(name, sample_projects_dir)
    engine, turned = Electrics(), set()
    engine.load()
    for mode, overrides in walk(harness, random.Random(f"positions {name}"), STEPS):
        _, found = engine.solve(harness, Key(0, mode, overrides))
        fresh = solve(expand(harness, mode, overrides))
        assert found.states == fresh.states
        assert found.assumed == fresh.assumed
        assert found.unsolved == fresh.unsolved
        np.testing.assert_allclose(found.volts, fresh.volts, rtol=0, atol=ALIKE)
        np.testing.assert_allclose(found.amperes, fresh.amperes, rtol=ALIKE, atol=ALIKE)
        turned.add(tuple(fresh.states.items()))
    assert len(turned) > 1 or name == "first_harness"  # states do turn on the way
