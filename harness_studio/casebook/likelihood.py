"""How well each hypothesis explains readings and sightings.

Readings are joint normal: covariance = diag(meter²) + J·diag(s²)·Jᵀ (what the clean harness is not known to be) + the
square of a part of the hypothesis' own change (loads share its uncertainty), a rank-one update of the first.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]

OWN_PART = 0.07
"""Standard deviation of a hypothesis' change, as a part of it: wires and loads of the path together."""
LAPSE = 0.03
"""How often a person misses or imagines a change (common practice, no source)."""
SHARPNESS = 2.0
"""Slope of the probit at what is just noticed: half of that is one standard deviation."""
DEAD = 0.15
"""Part of the clean value below which a thing is called dead."""


def log_normal(seen: Floats, predicted: Floats, clean: Floats, covariance: Floats) -> Floats:
    """Return the log density of the readings, up to a constant.

    Parameters
    ----------
    seen, clean
        Readings and their clean predictions, (n,).
    predicted
        Predictions, (..., n).
    covariance
        Meter and model together, (n, n).
    """
    import numpy as np

    if not len(seen):
        return np.zeros(predicted.shape[:-1])
    lower = np.linalg.cholesky(covariance)
    inverse = np.linalg.inv(lower)
    rest = (seen - predicted) @ inverse.T
    change = (predicted - clean) @ inverse.T * OWN_PART
    grown = 1.0 + (change * change).sum(axis=-1)
    along = (rest * change).sum(axis=-1)
    found: Floats = -0.5 * ((rest * rest).sum(axis=-1) - along * along / grown + np.log(grown))
    return found


def seen_chance(seen: str, change: Floats, now: Floats, clean: float) -> Floats:
    """Return the chance that a person reports `seen`, given the change in units of what is just noticed (probit)."""
    import numpy as np
    from scipy.special import ndtr

    up, down = ndtr(SHARPNESS * (change - 1.0)), ndtr(SHARPNESS * (-change - 1.0))
    if seen == "up":
        chance = up
    elif seen == "down":
        chance = down
    elif seen == "stays":
        chance = 1.0 - up - down
    elif seen == "dead":
        chance = ndtr((DEAD - np.abs(now) / max(abs(clean), 1e-9)) / (DEAD / SHARPNESS))
    elif seen == "glows when off":
        chance = np.where(abs(clean) < 1e-6, up, 0.0)
    else:
        chance = np.maximum(up, down)
    found: Floats = LAPSE + (1.0 - 2.0 * LAPSE) * np.clip(chance, 0.0, 1.0)
    return found
