"""A dozen seeded faults on shared and own returns: truth differs from what the program knows, by full solution."""

import random

import pytest

from harness_studio.casebook.suspects import suspects
from harness_studio.electrics.solve import solve
from harness_studio.model.cases import Case, Reading
from harness_studio.network.expand import expand
from tests.bench.diagnosis import unknown
from tests.support.builders import shared_stud

POST = "GB1.31"
TIPS = (
    "GB1.30",
    "M1.1",
    "M2.1",
    "M3.1",
    "E1.1",
    "GP0",
    "GP1",
    "GP2",
    "M1.31",
    "M2.31",
    "M3.31",
    "E1.31",
    "shell.rear",
)


@pytest.mark.parametrize("joint", ["GP1", "GP0", "GP2", "SP1/W2"])
@pytest.mark.parametrize("seed", [1, 2, 3])
def test_the_true_group_stands_first(joint: str, seed: int) -> None:
    harness = shared_stud(3)
    network = expand(harness)
    rng = random.Random(f"{joint} {seed}")
    real = solve(unknown(network, rng, joint, rng.uniform(0.3, 3.0)))
    readings = []
    for tip in TIPS:
        volts = (real.volt(tip) or 0.0) - (real.volt(POST) or 0.0)
        noisy = volts + rng.gauss(0.0, 0.005 * abs(volts) + 0.002)
        readings.append(Reading("volts", plus=tip, minus=POST, value=noisy))
    found = suspects(harness, Case("c", readings=tuple(readings)))
    assert joint in found.groups[found.ranked()[0]].members
