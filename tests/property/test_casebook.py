"""The likelihood of readings: against scipy's multivariate normal, and its order."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import multivariate_normal

from harness_studio.casebook.likelihood import OWN_PART, factors, log_normal

volts = st.lists(st.floats(-15.0, 15.0), min_size=1, max_size=5)


@given(volts, st.integers(0, 1000))
def test_log_density_is_that_of_the_covariance_written_out(change: list[float], seed: int) -> None:
    rng = np.random.default_rng(seed)
    size = len(change)
    mixed = rng.normal(size=(size, size))
    covariance = 0.05 * mixed @ mixed.T + 0.01 * np.eye(size)
    clean, step = rng.normal(size=size), np.array(change)
    seen = clean + rng.normal(size=size)
    found = log_normal(seen, np.stack([clean, clean + step]), clean, *factors(covariance))
    wide = covariance + OWN_PART**2 * np.outer(step, step)
    wanted = multivariate_normal(clean + step, wide).logpdf(seen) - multivariate_normal(
        clean, covariance
    ).logpdf(seen)
    assert float(found[1] - found[0]) == pytest.approx(float(wanted), rel=1e-6, abs=1e-6)


@given(volts, st.integers(0, 1000))
def test_what_predicts_a_reading_exactly_is_never_below_what_spreads_as_far_and_predicts_it_worse(
    change: list[float], seed: int
) -> None:
    rng = np.random.default_rng(seed)
    size = len(change)
    mixed = rng.normal(size=(size, size))
    covariance = 0.05 * mixed @ mixed.T + 0.01 * np.eye(size)
    clean, step = rng.normal(size=size), np.array(change)
    exact, worse = log_normal(
        clean + step, np.stack([clean + step, clean - step]), clean, *factors(covariance)
    )
    assert exact >= worse - 1e-9
