"""Times of a sweep of bench500: every joint made worse once, against one run of `ngspice -b` a joint.

Each round sweeps a harness that no round has seen. The simulator gets its netlists ready made, and is timed on 50
joints spread over the harness; both are measured in the same run, and our fastest round counts.
"""

import subprocess
import time
from pathlib import Path

import pytest

from harness_studio.electrics.solve import solve
from harness_studio.electrics.sweep import prepare, sweep
from harness_studio.electrics.sweep_rows import sweep_rows
from harness_studio.model.edits import change
from harness_studio.model.harness import Harness
from harness_studio.network.expand import expand
from tests.bench.conftest import Table
from tests.support.spice import needs_ngspice, read_raw
from tests.support.spice_laws import circuit
from tests.support.vehicle import bench500

pytestmark = pytest.mark.bench

MODE, ADDED_OHM = "braking", 0.05
ROUNDS, RUNS = 5, 50
TARGET_S, TARGET_TIMES, AIM_TIMES = 2.0, 60.0, 100.0


@pytest.fixture(scope="module")
def harness() -> Harness:
    return bench500()


def edited(harness: Harness, number: int) -> Harness:
    """Return a harness that nobody has seen: one wire has another length."""
    names = list(harness.wires)
    change(harness, "wires", names[number * 37 % len(names)], length_mm=200.0 + number).apply(harness)
    return harness.snapshot()


def ours_s(harness: Harness) -> tuple[float, float, int, int]:
    """Return least seconds of (solve + sweep, the same with every reading ranked), joints, and joints solved fully."""
    plain, ranked = [], []
    joints = fully = 0
    for number in range(ROUNDS):
        network = expand(edited(harness, number + 1), MODE)
        start = time.perf_counter()
        chunks = list(sweep(prepare(network), ADDED_OHM))
        plain.append(time.perf_counter() - start)
        joints = sum(len(some) for chunk in chunks for some in chunk.joints)
        fully = sum(int(chunk.solved_fully.sum()) for chunk in chunks)
        assert not any(chunk.failed.any() for chunk in chunks)
        fresh = edited(harness, number + 101)
        network = expand(fresh, MODE)
        start = time.perf_counter()
        rows = sweep_rows(fresh, prepare(network), (ADDED_OHM,))
        ranked.append(time.perf_counter() - start)
        assert len(rows) > 5000
    return min(plain), min(ranked), joints, fully


def theirs_s(harness: Harness, folder: Path) -> float:
    """Return the mean seconds of one `ngspice -b` on the circuit with one joint worse, over `RUNS` joints."""
    program = needs_ngspice()
    network = expand(harness, MODE)
    solution = solve(network)
    drawn = circuit(network, solution.states, solution)
    numbers = sorted({n for n in network.joints.values() if f"Rm{n} " in drawn.text})
    total = 0.0
    for number in numbers[:: len(numbers) // RUNS][:RUNS]:
        lines = [
            line.replace(line.split()[3], repr(float(line.split()[3]) + ADDED_OHM), 1)
            if line.startswith(f"Rm{number} ")
            else line
            for line in drawn.lines
            if not line.startswith(".nodeset")  # quicker without: it reads them slowly
        ]
        source, raw = folder / "joint.cir", folder / "joint.raw"
        source.write_text("\n".join(lines) + "\n", encoding="ascii")
        start = time.perf_counter()
        subprocess.run(
            [program, "-b", "-r", str(raw), str(source)], capture_output=True, check=True, cwd=folder
        )
        total += time.perf_counter() - start
        assert len(read_raw(raw.read_bytes())) > 1000
    return total / RUNS


def test_sweep_against_one_run_of_ngspice_a_joint(harness: Harness, tmp_path: Path, table: Table) -> None:
    plain, ranked, joints, fully = ours_s(harness)
    each = theirs_s(harness.snapshot(), tmp_path)
    times = each * joints / plain
    note = f"{joints} joints, {fully} columns solved fully"
    table.add(f"bench500: solve + sweep of all joints at 50 mΩ ({note})", plain, "s", TARGET_S)
    table.add("the same with every reading ranked", ranked, "s")
    table.add("one ngspice -b", 1e3 * each, "ms")
    table.add("one ngspice -b a joint / our sweep (at least 60, aim 100)", times, "times")
    print(f"sweep {plain:.2f} s ({note}); ngspice -b {1e3 * each:.0f} ms a joint: {times:.0f} times")
    assert joints > 5000
    assert times >= TARGET_TIMES
    assert (
        plain < 2.0 * TARGET_S
    )  # judged at twice the target where others use the machine too; the table shows more
