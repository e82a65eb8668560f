"""Truths whose volts come from ngspice: the netlist is written from the laws a second time (tests/support)."""

import dataclasses

import numpy as np

from harness_studio.electrics.solution import Solution
from tests.bench.diagnosis_truth import Truth
from tests.support.spice import run_batch
from tests.support.spice_laws import circuit


def by_ngspice(truth: Truth) -> Truth | None:
    """Return the truth with the volts that ngspice finds in the states that were solved; None where it finds none."""
    volts = _volts(truth.bad)
    return (
        None if volts is None else dataclasses.replace(truth, bad=dataclasses.replace(truth.bad, volts=volts))
    )


def _volts(solution: Solution) -> np.ndarray | None:
    try:
        drawn = circuit(solution.network, solution.states, solution)
        found = run_batch(drawn)
    except (
        AssertionError,
        KeyError,
        RuntimeError,
    ):  # a card that is not written twice, or no operating point
        return None
    volts = np.full(len(drawn.nodes), np.nan)
    for point, node in enumerate(drawn.nodes):
        if node is not None:
            volts[point] = 0.0 if node == "0" else found[node]
    return volts
