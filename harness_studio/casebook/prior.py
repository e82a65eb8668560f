"""How likely a group is to be bad before anything is seen (weights: common practice, no source)."""

from __future__ import annotations

from collections.abc import Sequence
from math import exp
from typing import TYPE_CHECKING

from harness_studio.model.cases import Case
from harness_studio.model.harness import Harness
from harness_studio.network.network import Network

from .changes import OPEN_OHM
from .groups import Group
from .provoke import provoked_log

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]

BY_KIND = {
    "stud": 3.0, "ring": 2.0, "mated": 2.0, "splice_leg": 2.0, "terminal": 1.5, "clip": 1.5, "switch": 1.5,
    "relay": 1.5, "mount": 1.0, "crimp": 1.0, "bus": 0.7, "wire": 0.5, "body": 0.5, "bond": 0.5, "fuse": 0.3,
    "through": 0.1, "source": 1.0, "chafed": 0.1,
}  # fmt: skip
MADE = {"tap": 4.0, "twisted": 4.0, "solder": 1.2}
TROUBLED, PREVIOUS_OWNER, DISTURBED, FOUND_GOOD = 2.0, 2.0, 4.0, 0.1
NONE_FITS, NOTHING_SEEN = 0.05, 0.5
"""How likely it is that nothing recorded is the cause; and the same where whoever watched saw nothing change."""
OPEN_SHARE = 0.15
USUAL_OHM = (0.004, 20.0)
UNUSUAL = 0.2


def member_weight(harness: Harness, case: Case, network: Network, address: str) -> float:
    """Return the relative weight of a joint or wire: its kind, maker, zone, age, and what the case says of it."""
    number = network.joints.get(address)
    weight = BY_KIND.get(network.branches.kind[number], 1.0) if number is not None else BY_KIND["wire"]
    record = harness.joints.get(address)
    if record is not None:
        weight *= MADE.get(record.made or "", 1.0)
        weight *= PREVIOUS_OWNER if record.made_by == "previous owner" else 1.0
        weight *= TROUBLED if record.wet or record.hot or record.flexes else 1.0
    if _named(address, case.disturbed):
        weight *= DISTURBED
    return weight * (FOUND_GOOD if _named(address, case.found_good) else 1.0)


def priors(harness: Harness, case: Case, network: Network, groups: Sequence[Group]) -> Floats:
    """Return the prior of each group, (groups,), which together with `none_fits` sums to one."""
    import numpy as np

    weights = np.array(
        [group_weight(harness, case, network, g) * exp(provoked_log(harness, case, g)) for g in groups],
        dtype=np.float64,
    )
    found: Floats = (1.0 - none_fits(case)) * weights / max(float(weights.sum()), 1e-12)
    return found


def none_fits(case: Case) -> float:
    """Return the prior of 'none fits'."""
    quiet = bool(case.sightings) and all(s.seen == "stays" for s in case.sightings)
    return NOTHING_SEEN if quiet else NONE_FITS


def group_weight(harness: Harness, case: Case, network: Network, group: Group) -> float:
    """Return the relative weight of a group: the sum of its members; wires that chafe have a weight of their own."""
    if group.fault == "chafed":
        marked = [4.0 if any(s.seen == "fuse blew" for s in case.sightings) else 1.0]
        return BY_KIND["chafed"] * len(group.members) * marked[0]
    return sum(member_weight(harness, case, network, m) for m in group.members)


def chafe_share(steps: int) -> Floats:
    """Return the prior over the resistance of a chafed place: even over its decades."""
    import numpy as np

    return np.full(steps, 1.0 / steps)


def of_resistance(fine_ohm: Floats) -> Floats:
    """Return the prior over added resistance: even over the decades 4 mΩ to 20 Ω, less outside, 15 % open."""
    import numpy as np

    usual = (fine_ohm >= USUAL_OHM[0]) & (fine_ohm <= USUAL_OHM[1])
    weight = np.where(usual, 1.0, UNUSUAL)
    opens = fine_ohm >= OPEN_OHM
    weight[opens] = 0.0
    weight *= (1.0 - OPEN_SHARE) / weight.sum()
    weight[opens] = OPEN_SHARE
    return weight


def _named(address: str, names: Sequence[str]) -> bool:
    return any(name == address or name in address.replace("/", "@").split("@") for name in names)
