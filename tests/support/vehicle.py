"""An invented vehicle of any size, the same for the same seed: `vehicle(seed, circuits)`.

bench500 is `bench500()`: vehicle(seed=1, circuits=500), about 2,000 wires and 6,000 joints, half the loads nonlinear.
wires5000 is `wires5000()`: about 5,000 wires, for drawing only.
"""

import random

from harness_studio.model.harness import Harness

from .vehicle_circuits import Circuits
from .vehicle_frame import Frame

STUDS_PER_CIRCUIT = 1 / 11
FEWEST_STUDS = 6


def vehicle(seed: int, circuits: int, *, grounded: str = "negative") -> Harness:
    """Return a vehicle harness with about 4 wires and 12 joints a circuit.

    It has a battery, an alternator with its case on the engine, a starter, fuse boxes with relays, an ignition switch,
    mated halves with faces, splices, stacks on the studs of three bodies, straps, stray bonds, and loads of every kind,
    about half of them nonlinear. Modes: off, key_on, running, running_lamps, braking, cranking.
    """
    rng = random.Random(f"vehicle {seed} {circuits}")
    frame = Frame(rng, studs=max(FEWEST_STUDS, round(circuits * STUDS_PER_CIRCUIT)), grounded=grounded)
    frame.supply(circuits)
    Circuits(frame, rng).make(circuits)
    frame.finish()
    return frame.sketch.harness


def bench500() -> Harness:
    """Return the harness that times are measured with."""
    return vehicle(1, 500)


def wires5000() -> Harness:
    """Return the harness that drawing is measured with."""
    return vehicle(2, 1250)
