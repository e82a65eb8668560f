"""Heat of all wires of bench500's size at once: the solver asks for it several times a solve."""

from itertools import count

import numpy as np
import pytest
from pytest_benchmark.fixture import BenchmarkFixture

from harness_studio.electrics.heat import wire

TARGET_S = 0.005
WIRES = 2000


@pytest.mark.bench
def test_temperature_of_two_thousand_wires(benchmark: BenchmarkFixture) -> None:
    random = np.random.default_rng(1)
    area_mm2 = random.choice([0.35, 0.5, 1.0, 2.5, 6.0, 16.0, 50.0], WIRES)
    conductor_mm = 1.4 * np.sqrt(area_mm2)
    rest = (
        0.0185 / area_mm2,
        np.full(WIRES, 0.00393),
        conductor_mm,
        conductor_mm + 0.6,
        random.uniform(-20, 100, WIRES),
        np.full(WIRES, 125.0),
    )
    loads = count(1)

    def fresh() -> tuple[tuple[np.ndarray, ...], dict[str, object]]:
        random = np.random.default_rng(next(loads))
        return (area_mm2 * random.uniform(-25, 25, WIRES), *rest), {}

    benchmark.pedantic(wire.steady_temperature_c, setup=fresh, rounds=50)
    assert benchmark.stats.stats.median < TARGET_S
