"""Seeded cases worked to the end, a few of those of the benchmark; truth differs from what the program knows.

The full run is a command (tests/bench/diagnosis.py); what it measured against the targets stands in the contributor's
guide. Floors here lie below what was measured: they catch what breaks, not what is missed.
"""

import random

from tests.bench.diagnosis import run, work
from tests.bench.diagnosis_truth import harnesses, real

CASES, SEED = 20, 2


def test_two_faults_of_the_small_sample_are_found() -> None:
    harness = next(h for h in harnesses(SEED) if len(h.wires) < 60)
    for number, (joint, ohm) in enumerate((("GP1", 0.3), ("E5.54/W21", 2.0))):
        truth = real(harness, (joint,), ohm, random.Random(number), "chosen")
        assert truth is not None
        done = work(truth, random.Random(number))
        assert done.place(4) == 0, f"{joint}: {done.places}"


def test_twenty_seeded_cases() -> None:
    results = run("faults", CASES, SEED)
    first = [sum(w.place(n) == 0 for w in results) / CASES for n in range(5)]
    sure = [w for w in results if w.sure is not None]
    wrong = sum(w.places[w.sure or 0] != 0 for w in sure)
    assert first[3] >= 0.8
    assert first[4] >= 0.85
    assert wrong <= 1
