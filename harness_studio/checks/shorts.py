"""What a dead short draws: the battery's volts over its own resistance, the wires there, and the way back."""

from __future__ import annotations

import math
from functools import cached_property

from harness_studio.electrics.rated import INTERNAL_MOHM, REST_V, SOURCE_KINDS
from harness_studio.network.network import Network

from .protection import Protection

LAW = "volts / (battery + feed + return), all at 20 °C by the way of least resistance"


class Shorts:
    """Prospective currents of a harness: dead shorts to the metal that the loads there return to."""

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
        far = max(ends, key=lambda end: self._protection.from_post_ohm[end])
        return self._current(self._protection.from_post_ohm[far], self.back_ohm(fuse, far, wire_branch))

    def near_a(self, wire_branch: int) -> float:
        """Return the current of a dead short at the near end of a wire, to metal beside the post."""
        ends = (int(self._network.branches.a[wire_branch]), int(self._network.branches.b[wire_branch]))
        return self._current(min(self._protection.from_post_ohm[e] for e in ends), 0.0)

    def return_a(self, wire: str, fuse: str) -> float:
        """Return the current of a load that fails as a short and returns by a wire; 0 without such a load."""
        loop_ohm = self._protection.returns.get(wire, {}).get(fuse, math.inf)
        return self._current(loop_ohm, 0.0)

    def at_fuse_a(self, fuse: str) -> float:
        """Return the current of a dead short right behind a fuse, to metal beside the post."""
        number = self._network.joints[fuse]
        ends = (int(self._network.branches.a[number]), int(self._network.branches.b[number]))
        return self._current(max(self._protection.from_post_ohm[e] for e in ends), 0.0)

    def _current(self, there_ohm: float, back_ohm: float) -> float:
        whole = self.internal_ohm + there_ohm + back_ohm
        return self.rest_v / whole if math.isfinite(whole) and whole > 0 else 0.0

    def back_ohm(self, fuse: str, far: int | None = None, wire_branch: int = -1) -> float:
        """Return the way back of a short: that of the nearest load beyond a wire's far end, else as `_beside`.

        Without a wire it is the longest way back of the loads behind the fuse.
        """
        here = self._back.get(fuse, {})
        if far is None:
            return max(here.values(), default=self._beside(fuse))
        beyond = self._beyond(fuse, far, wire_branch)
        return min((ohm for point, ohm in here.items() if point in beyond), default=self._beside(fuse))

    def _beyond(self, fuse: str, far: int, wire_branch: int) -> set[int]:
        """Return the points that are fed by a wire's far end until the next fuse: not back through the wire."""
        inside = self._protection.behind[fuse].points
        seen, waiting = {far}, [far]
        while waiting:
            for other, branch in self._near.get(waiting.pop(), ()):
                if branch != wire_branch and other in inside and other not in seen:
                    seen.add(other)
                    waiting.append(other)
        return seen

    @cached_property
    def _near(self) -> dict[int, list[tuple[int, int]]]:
        branches = self._network.branches
        found: dict[int, list[tuple[int, int]]] = {}
        ends = zip(branches.a.tolist(), branches.b.tolist(), branches.kind, strict=True)
        for number, (a, b, kind) in enumerate(ends):
            if kind != "fuse":
                found.setdefault(a, []).append((b, number))
                found.setdefault(b, []).append((a, number))
        return found

    @cached_property
    def _back(self) -> dict[str, dict[int, float]]:
        """By fuse the feed points of the loads behind it, each with the longest way back of its load."""
        ground = self._protection.from_ground_ohm
        found: dict[str, dict[int, float]] = {}
        fuses_at: dict[int, list[str]] = {}
        for fuse, reach in self._protection.behind.items():
            for point in reach.points:
                fuses_at.setdefault(point, []).append(fuse)
        for element in self._network.elements:
            if element.kind in SOURCE_KINDS:
                continue
            points = set(element.terminals.values())
            back = max((ground[p] for p in points if math.isfinite(ground[p])), default=None)
            for point in points if back is not None else ():
                for fuse in fuses_at.get(point, ()):
                    here = found.setdefault(fuse, {})
                    here[point] = max(here.get(point, 0.0), back or 0.0)
        return found

    def _beside(self, fuse: str) -> float:
        """Return the way back where no load shows one.

        That of the nearest load behind the next fuses, or of the body with the longest way among those that no
        connector parts from the grounded post (a trailer hangs on one).
        """
        later: list[float] = []
        seen, waiting = {fuse}, [fuse]
        while waiting and not later:
            onward = [f for f in self._protection.behind[waiting.pop()].fuses if f not in seen]
            seen.update(onward)
            waiting.extend(f for f in onward if f in self._protection.behind)
            later = [ohm for f in onward for ohm in self._back.get(f, {}).values()]
        return min(later, default=self._bodies_ohm)

    @cached_property
    def _bodies_ohm(self) -> float:
        ground, network = self._protection.from_ground_ohm, self._network
        near: dict[int, list[int]] = {}
        for a, b, kind in zip(
            network.branches.a.tolist(), network.branches.b.tolist(), network.branches.kind, strict=True
        ):
            if kind not in ("mated", "switch", "relay", "fuse", "bond"):
                near.setdefault(a, []).append(b)
                near.setdefault(b, []).append(a)
        start = [] if network.grounded is None else [network.index[network.grounded]]
        seen = set(start)
        while start:
            for other in near.get(start.pop(), ()):
                if other not in seen:
                    seen.add(other)
                    start.append(other)
        known = [c for c in network.body_centres.values() if math.isfinite(ground[c])]
        return max(
            (ground[c] for c in known if c in seen), default=max((ground[c] for c in known), default=0.0)
        )
