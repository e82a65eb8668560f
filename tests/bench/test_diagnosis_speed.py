"""Times of the suspects of bench500: ten observations in three modes, the next reading, and one more reading."""

import dataclasses
import resource
import time

import pytest

from harness_studio.casebook.access import permitted
from harness_studio.casebook.next_reading import next_readings
from harness_studio.casebook.suspects import suspects
from harness_studio.electrics.solve import solve
from harness_studio.model.cases import Case, Reading, Sighting
from harness_studio.network.expand import expand
from harness_studio.network.network import Overrides
from harness_studio.session.study import Memory, study
from tests.bench.conftest import Table
from tests.support.vehicle import bench500

pytestmark = pytest.mark.bench
MODES = ("key_on", "running_lamps", "braking")
JOINT, OHM = "GP7", 0.05
LARGEST_GB = 1.0


def test_suspects_of_bench500(table: Table) -> None:
    harness = bench500()
    real = {m: solve(expand(harness, m, Overrides().with_joint(JOINT, OHM))) for m in MODES}
    network = real["braking"].network
    tips = [p for p, yes in zip(network.points, permitted(harness, network), strict=True) if yes]
    chosen = [JOINT, *tips[:: len(tips) // 6][:6], tips[-1]]

    def reading(number: int) -> Reading:
        mode, tip = MODES[number % 3], chosen[number]
        return Reading(
            "volts",
            mode=mode,
            plus=tip,
            minus="GB1.31",
            value=real[mode].volt(tip) or 0.0,
            symptom_present="yes",
        )

    lamps = [e.address for e in network.elements if e.kind in ("lamp", "gauge")][:3]
    seen = tuple(Sighting(on, "stays", from_mode="key_on", to_mode="braking") for on in lamps)
    case = Case("c", sightings=seen, readings=tuple(reading(n) for n in range(7)))
    start = time.perf_counter()
    found = suspects(harness, case)
    first = time.perf_counter() - start
    proposals = next_readings(harness, found)
    second = time.perf_counter() - start - first
    more = dataclasses.replace(case, readings=(*case.readings, reading(7)))
    start = time.perf_counter()
    suspects(harness, more, known=found.known)
    third = time.perf_counter() - start
    memory = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1e6
    table.add("bench500: suspects, ten observations in three modes", first, "s", 2.0)
    table.add("the next reading after that", second, "s", 1.0)
    table.add("one more reading", third, "s", 0.5)
    table.add("memory of the whole test at most", memory, "GB", LARGEST_GB)
    memory_of_session = Memory()
    told = [
        study(harness, one, 0, memory_of_session, lambda words, part: None, lambda: False)
        for one in (case, more)
    ]
    for answer, what in zip(told, ("of the case", "after one more reading"), strict=True):
        assert answer is not None
        assert not answer.problem
        table.add(f"from an entry to all that the casebook's page shows, {what}", answer.seconds, "s")
    assert proposals
    assert memory < LARGEST_GB
