"""Between the rows of a table: straight lines in log-log paper."""

from __future__ import annotations

import math
from collections.abc import Sequence


def log_log(points: Sequence[tuple[float, float]], x: float) -> float:
    """Return y at `x` on straight lines through `points` in logarithmic coordinates.

    Outside the points the line of the two nearest goes on, so a power law stays one.

    Parameters
    ----------
    points
        At least two (x, y), all positive, x rising.
    x
        A positive number.
    """
    upper = next((i for i, point in enumerate(points) if point[0] >= x), len(points) - 1)
    upper = max(upper, 1)
    (x0, y0), (x1, y1) = points[upper - 1], points[upper]
    slope = math.log(y1 / y0) / math.log(x1 / x0)
    return y0 * math.pow(x / x0, slope)
