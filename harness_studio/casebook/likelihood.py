"""How well each hypothesis explains readings and sightings.

Readings are joint normal: covariance = diag(meter²) + J·diag(s²)·Jᵀ, J being the sensitivity of the readings under the
hypothesis to every resistance, load and source, + the square of a small part of the hypothesis' own change.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]

OWN_PART = 0.03
"""Standard deviation of a hypothesis' change, as a part of it: what laws and grid do not know."""
LAPSE = 0.01
"""How often a person misses or imagines a change (common practice, no source)."""
SHARPNESS = 2.0
"""Slope of the probit at what is just noticed: half of that is one standard deviation."""
DEAD = 0.15
"""Part of the clean value below which a thing is called dead."""


@dataclass(frozen=True, slots=True)
class Model:
    """What is uncertain of a set of readings of the clean harness.

    `meter` (readings,) are variances of the meter and of what only one reading knows, `rows` (readings, uncertain
    things) what one standard deviation of each does; `inverse` is that of the covariance's Cholesky factor, `log_size`
    the logarithm of that factor's determinant; `places` (readings,) are alike where a reading was repeated.
    """

    meter: Floats
    rows: Floats
    places: NDArray[np.int64]
    covariance: Floats
    inverse: Floats
    log_size: float

    @staticmethod
    def of(meter: Floats, rows: Floats, places: NDArray[np.int64], stray: float = 0.0) -> Model:
        """Return the model of readings with these variances and sensitivities."""
        import numpy as np

        covariance = np.diag(meter) + rows @ rows.T + stray**2 * (places[:, None] == places[None])
        inverse, log_size = factors(covariance)
        return Model(meter, rows, places, covariance, inverse, float(log_size))

    def with_stray(self, spread: float) -> Model:
        """Return the model in which each place may be off by `spread` for reasons of its own."""
        return Model.of(self.meter, self.rows, self.places, spread)


def factors(covariance: Floats) -> tuple[Floats, Floats]:
    """Return the inverses of Cholesky factors, (..., n, n), and the logarithms of their determinants, (...)."""
    import numpy as np

    if not covariance.shape[-1]:
        return covariance, np.zeros(covariance.shape[:-2])
    lower = np.linalg.cholesky(covariance)
    log_size: Floats = np.log(np.diagonal(lower, axis1=-2, axis2=-1)).sum(axis=-1)
    return np.linalg.inv(lower), log_size


def log_normal(
    seen: Floats,
    predicted: Floats,
    clean: Floats,
    inverse: Floats,
    log_size: Floats | float,
    own_part: float = OWN_PART,
) -> Floats:
    """Return the log density of the readings, up to a constant.

    Parameters
    ----------
    seen, clean
        Readings and their clean predictions, (n,).
    predicted
        Predictions, (..., n).
    inverse, log_size
        What `factors` gives for the covariance, the same for all or one for each, (..., n, n) and (...).
    own_part
        Standard deviation of the change, as a part of it.
    """
    import numpy as np

    if not len(seen):
        return np.zeros(predicted.shape[:-1])
    rest = (inverse @ (seen - predicted)[..., None])[..., 0]
    change = (inverse @ (predicted - clean)[..., None])[..., 0] * own_part
    grown = 1.0 + (change * change).sum(axis=-1)
    along = (rest * change).sum(axis=-1)
    found: Floats = -0.5 * ((rest * rest).sum(axis=-1) - along * along / grown + np.log(grown)) - log_size
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
        chance = np.where(abs(clean) < 1.0, up, 0.0)
    else:
        chance = np.maximum(up, down)
    found: Floats = LAPSE + (1.0 - 2.0 * LAPSE) * np.clip(chance, 0.0, 1.0)
    return found
