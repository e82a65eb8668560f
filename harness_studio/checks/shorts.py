"""What a dead short draws: the battery's volts over its own resistance, the wires there, and the way back."""

from __future__ import annotations

import math
from functools import cached_property

from harness_studio.electrics.rated import INTERNAL_MOHM, REST_V, SOURCE_KINDS
from harness_studio.network.network import Network

from .protection import Protection

LAW = "volts / (battery + feed + return), all at 20 °C by the way of least resistance"


class Shorts:
    """Prospective currents of a harness. The way back is that of the load behind the fuse that has the longest one."""

    def __init__(self, network: Network, protection: Protection) -> None:
        self._network = network
        self._protection = protection
        battery = next((e for e in network.elements if e.kind == "battery"), None)
        ratings = battery.ratings if battery else None
        self.rest_v: float = (ratings.rest_v if ratings else None) or REST_V
        given = ratings.internal_mohm if ratings else None
        self.internal_ohm: float = (INTERNAL_MOHM if given is None else given) / 1e3
        self.judged = battery is not None and bool(protection.hot)
        self.note = (
            "" if given is not None else f"battery resistance not recorded, {INTERNAL_MOHM:g} mΩ assumed"
        )

    def far_a(self, wire_branch: int, fuse: str) -> float:
        """Return the current of a dead short at the far end of a wire behind a fuse; 0 where it is not reached."""
        ends = (int(self._network.branches.a[wire_branch]), int(self._network.branches.b[wire_branch]))
        return self._current(max(self._protection.from_post_ohm[e] for e in ends), self.back_ohm(fuse))

    def near_a(self, wire_branch: int) -> float:
        """Return the current of a dead short at the near end of a wire, to metal beside the post."""
        ends = (int(self._network.branches.a[wire_branch]), int(self._network.branches.b[wire_branch]))
        return self._current(min(self._protection.from_post_ohm[e] for e in ends), 0.0)

    def at_fuse_a(self, fuse: str) -> float:
        """Return the current of a dead short right behind a fuse, to metal beside the post."""
        number = self._network.joints[fuse]
        ends = (int(self._network.branches.a[number]), int(self._network.branches.b[number]))
        return self._current(max(self._protection.from_post_ohm[e] for e in ends), 0.0)

    def _current(self, there_ohm: float, back_ohm: float) -> float:
        whole = self.internal_ohm + there_ohm + back_ohm
        return self.rest_v / whole if math.isfinite(whole) and whole > 0 else 0.0

    def back_ohm(self, fuse: str) -> float:
        """Return the longest way back of the loads behind a fuse; without loads, that of the farthest body."""
        return self._back.get(fuse, self._bodies_ohm)

    @cached_property
    def _back(self) -> dict[str, float]:
        ground = self._protection.from_ground_ohm
        found: dict[str, float] = {}
        for element in self._network.elements:
            if element.kind in SOURCE_KINDS:
                continue
            points = set(element.terminals.values())
            back = [ground[p] for p in points if math.isfinite(ground[p])]
            if back:
                for fuse, reach in self._protection.behind.items():
                    if not points.isdisjoint(reach.points):
                        found[fuse] = max(found.get(fuse, 0.0), max(back))
        return found

    @cached_property
    def _bodies_ohm(self) -> float:
        ground = self._protection.from_ground_ohm
        known = [ground[c] for c in self._network.body_centres.values() if math.isfinite(ground[c])]
        return max(known, default=0.0)
