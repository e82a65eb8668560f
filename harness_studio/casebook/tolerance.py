"""How far a good reading may lie from what is expected of a clean harness: what is not known exactly, and the meter."""

from __future__ import annotations

from collections.abc import Sequence

from harness_studio.model.harness import Harness

from .known import Known
from .observed import METER_PART, METER_V
from .probes import Probe
from .segments import clean_rows, segments_of

TIMES_SIGMA = 2.0


def tolerances_v(
    harness: Harness, mode: str | None, pairs: Sequence[tuple[str, str]], known: Known | None = None
) -> list[float | None]:
    """Return for each pair of points by how many volts a reading may be off without anything being wrong.

    Two standard deviations of what `spread` takes as uncertain (wires, contacts, loads, sources) to first order,
    together with the meter's accuracy: √(Σ (∂V/∂x · s_x)² + meter²). None for a pair with a point that the mode
    does not have, or that nothing reaches.

    Raises
    ------
    SolveError
        If the mode has no solution.
    """
    import numpy as np

    known = known or Known(harness)
    state = known.state(mode)
    index = state.network.index
    there = [
        n for n, pair in enumerate(pairs) if all(p in index and state.first[index[p]] >= 0 for p in pair)
    ]
    found: list[float | None] = [None] * len(pairs)
    if not there:
        return found
    probes = [Probe("volts", index[pairs[n][0]], index[pairs[n][1]]) for n in there]
    rows = clean_rows(segments_of(known, [mode], [(mode, probe) for probe in probes])[mode])
    sigma = np.linalg.norm(rows, axis=1)
    for n, probe, one in zip(there, probes, sigma, strict=True):
        high, low = state.point_volts(np.array([probe.plus, probe.minus]))
        meter = METER_PART * abs(float(high - low)) + METER_V
        found[n] = TIMES_SIGMA * float(np.hypot(one, meter))
    return found
