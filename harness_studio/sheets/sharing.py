"""Who shares the grounds and fuses of a harness, in each mode of a job."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

from .job import InMode, Job

if TYPE_CHECKING:
    from harness_studio.electrics.shares import Share, Shares

LISTED = ("only", "main", "some")


@dataclass(frozen=True, slots=True)
class Sharer:
    """One load at a joint: its row in each mode, None where it has none there."""

    point: str
    part: str
    element: str | None
    circuit: str | None
    rows: tuple[Share | None, ...]

    @property
    def listed(self) -> bool:
        """Whether a twentieth or more of its current passes here in some mode."""
        return any(r is not None and r.way in LISTED for r in self.rows)

    @property
    def way(self) -> str:
        """The strongest way of all modes."""
        ways = {r.way for r in self.rows if r is not None}
        return next((w for w in ("only", "main", "some", "minor") if w in ways), "none")


def shares_at(job: Job, joints: Iterable[str]) -> dict[str, tuple[Shares | None, ...]]:
    """Return joint → its shares in each mode; None in a mode where the joint is not."""
    found: dict[str, list[Shares | None]] = {joint: [] for joint in joints}
    for mode in job.modes:
        for joint, shared in _in_mode(mode, found).items():
            found[joint].append(shared)
    return {joint: tuple(all_modes) for joint, all_modes in found.items()}


def _in_mode(mode: InMode, joints: Iterable[str]) -> Mapping[str, Shares | None]:
    from harness_studio.base.errors import AddressError
    from harness_studio.electrics.returns import metal_of
    from harness_studio.electrics.shares import shares

    metal = metal_of(mode.network, mode.solution.ohm)
    found: dict[str, Shares | None] = {}
    for joint in joints:
        try:
            found[joint] = shares(mode.network, mode.solution, joint, metal)
        except AddressError:
            found[joint] = None
    return found


def sharers(found: tuple[Shares | None, ...]) -> list[Sharer]:
    """Return the loads at a joint over all modes, who carries most first."""
    rows: dict[tuple[str, str, str | None], list[Share | None]] = {}
    for number, shared in enumerate(found):
        for row in shared.rows if shared else ():
            key = (row.point, row.part, row.element)
            rows.setdefault(key, [None] * len(found))[number] = row
    made = []
    for (point, part, element), by_mode in rows.items():
        circuit = next((r.circuit for r in by_mode if r is not None and r.circuit), None)
        made.append(Sharer(point, part, element, circuit, tuple(by_mode)))
    return sorted(made, key=lambda s: -max(abs(r.share * r.amperes) for r in s.rows if r is not None))
