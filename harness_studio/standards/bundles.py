"""What a bundle of wires, and thin air, leave of the current a single wire carries."""

from __future__ import annotations

import math
from functools import lru_cache

from harness_studio.standards import provenance, tables
from harness_studio.standards.figures import Figure, NotJudged, notes

METHOD = "published curve"


@lru_cache(maxsize=8192)
def factor(wires: int, share: float) -> Figure | NotJudged:
    """Return the bundle factor by the number of wires and the share of the harness's capacity that is used.

    Straight lines between the shares of the curve (20, 40, 60, 80, 100 %); below the lowest its own value. One wire
    alone has factor 1 at any share.

    Parameters
    ----------
    wires
        Wires in the run, at least 1.
    share
        Current of all of them over what all of them may carry, not negative.

    Returns
    -------
    Figure or NotJudged
        The curve is known to 20 wires, and for 20 only at 20 %: beyond that there is no figure.

    Raises
    ------
    ValueError
        If there is no wire, or the share is negative or not a number.
    """
    if wires < 1:
        raise ValueError(f"a bundle of {wires} wires has no factor: there must be at least 1")
    if not share >= 0:
        raise ValueError(f"a share of {share} of the capacity is no share: it must be 0 or more")
    curve = tables.load("bundles.yaml")["curve"]
    shares: list[float] = curve["shares"]
    row: list[float] | None = curve["rows"].get(wires)
    used = min(max(share, shares[0]), shares[-1])
    if row is None or used > shares[len(row) - 1]:
        known = (
            f"{max(curve['rows'])} wires" if row is None else f"{shares[len(row) - 1]:.0%} with {wires} wires"
        )
        return NotJudged(
            f"{wires} wires at {share:.0%} of capacity: not judged by the curve, which is known to {known}"
        )
    above = next(i for i, s in enumerate(shares) if s >= used)
    below = max(above - 1, 0)
    step = shares[above] - shares[below]
    part = (used - shares[below]) / step if step else 0.0
    value = row[below] + part * (row[above] - row[below])
    mark = provenance.of(curve)
    note = f"more than the capacity is used ({share:.0%})" if share > 1 else ""
    return Figure(value, "", METHOD, str(curve["title"]), mark.source, mark.sureness, note)


def used_share(wires: int, load: float) -> float:
    """Return the share of the harness's capacity that is used, which the bundle factor depends on and changes.

    Capacity is what all wires may carry as a bundle, so share · factor(share) = load, with `load` the current of all
    wires over what they would carry in free air. The left side rises with the share; between two shares of the curve,
    where the factor is a straight line, it is the smaller root of a square. Where the curve does not judge, the share
    is the load itself.

    Parameters
    ----------
    wires
        Wires in the run.
    load
        Sum of currents / sum of free-air ampacities, not negative.
    """
    full = factor(wires, 1.0)
    if isinstance(full, NotJudged):
        return load
    if load >= full.value:
        return load / full.value
    shares: list[float] = tables.load("bundles.yaml")["curve"]["shares"]
    known = [f.value for f in (factor(wires, share) for share in shares) if isinstance(f, Figure)]
    at = next(i for i, (share, value) in enumerate(zip(shares, known, strict=True)) if share * value >= load)
    if at == 0:
        return load / known[0]  # below its lowest share the curve is level
    slope = (known[at] - known[at - 1]) / (shares[at] - shares[at - 1])
    level = known[at] - slope * shares[at]
    return 2.0 * load / (level + math.sqrt(level * level + 4.0 * slope * load))


@lru_cache(maxsize=64)
def altitude_factor(altitude_m: float) -> Figure | NotJudged:
    """Return what thin air leaves of the ampacity: straight lines between the points of the curve.

    Raises
    ------
    ValueError
        If the altitude is not a number.
    """
    if math.isnan(altitude_m):
        raise ValueError("an altitude that is not a number has no factor")
    curve = tables.load("bundles.yaml")["altitude"]
    rows = curve["rows"]
    if altitude_m > rows[-1]["altitude_m"]:
        return NotJudged(f"{altitude_m:g} m: the altitude curve is known to {rows[-1]['altitude_m']} m")
    height = max(altitude_m, float(rows[0]["altitude_m"]))
    above = next(i for i, row in enumerate(rows) if row["altitude_m"] >= height)
    high, low = rows[above], rows[max(above - 1, 0)]
    step = high["altitude_m"] - low["altitude_m"]
    part = (height - low["altitude_m"]) / step if step else 0.0
    value = low["factor"] + part * (high["factor"] - low["factor"])
    marks = [provenance.of(row, curve) for row in (low, high)]
    source = " and ".join(dict.fromkeys(mark.source for mark in marks))
    sureness = provenance.lower(marks[0].sureness, marks[1].sureness)
    note = notes("below sea level counts as sea level" if altitude_m < height else "")
    return Figure(value, "", METHOD, str(curve["title"]), source, sureness, note)
