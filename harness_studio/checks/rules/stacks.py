"""Ground studs as they are stacked: how many rings, in which order, and shields tied at both ends."""

from __future__ import annotations

from collections.abc import Iterator

from harness_studio.checks import words
from harness_studio.checks.finding import Finding, finding
from harness_studio.checks.scope import Scope
from harness_studio.model.harness import Harness
from harness_studio.network.wires import area_mm2, rings

_OURS = "common practice, no source"


def wires_on(harness: Harness) -> dict[str, list[str]]:
    """Return the wires that end on each ground stud."""
    found: dict[str, list[str]] = {ground: [] for ground in harness.grounds}
    for wire in harness.wires.values():
        for end in wire.ends:
            if end.point in found:
                found[end.point].append(wire.id)
    return found


def count(scope: Scope) -> Iterator[Finding]:
    """Find studs with more rings than the limit."""
    limit = scope.limits["rings_per_stud"]
    if limit.value is None:
        return
    for ground_id, here in wires_on(scope.harness).items():
        stacked = rings(scope.harness.grounds[ground_id].stack, here)
        if len(stacked) <= limit.value:
            continue
        yield finding(
            "stud_rings",
            "mend",
            [ground_id],
            f"{scope.harness.title_of(ground_id)} holds {len(stacked)} ring terminals; {limit.value:g} at most, "
            "more of them loosen and heat",
            value=float(len(stacked)),
            limit=limit,
            method="rings counted",
            remedy="a second stud, or a bus bar with one strap",
        )


def order(scope: Scope) -> Iterator[Finding]:
    """Find stacks in which a larger wire lies farther from the metal than a smaller one."""
    for ground_id, here in wires_on(scope.harness).items():
        ground = scope.harness.grounds[ground_id]
        stacked = rings(ground.stack, here) if ground.stack else []
        sizes = [max((area_mm2(scope.harness.wires[w]) or 0.0) for w in ring) for ring in stacked]
        if 0.0 in sizes:
            continue  # a size that is not known is told by another rule
        for below in range(len(sizes) - 1):
            if sizes[below + 1] > sizes[below] * 1.02:
                inner, outer = stacked[below][0], stacked[below + 1][0]
                yield finding(
                    "stack_order",
                    "note",
                    [ground_id, outer, inner],
                    f"on {scope.harness.title_of(ground_id)} {outer} ({words.area(sizes[below + 1])}) lies outside "
                    f"{inner} ({words.area(sizes[below])}): the largest current belongs next to the metal",
                    value=sizes[below + 1],
                    limit=sizes[below],
                    unit="mm²",
                    source=f"largest next to the metal, {_OURS}",
                    sureness=_OURS,
                    method="stack compared",
                    remedy="restack: the largest ring on the bare metal, the smallest on top",
                )
                break


def shields(scope: Scope) -> Iterator[Finding]:
    """Find shields whose two ends are both tied to ground: current of the ground flows in them."""
    shield_of = {m.shield: m.id for m in scope.harness.multicores.values() if m.shield}
    for wire_id, multicore in shield_of.items():
        ends = scope.harness.wires[wire_id].ends
        if all(end.what == "point" and _tied_without(scope, wire_id, end.text) for end in ends):
            yield finding(
                "shield_both_ends",
                "mend",
                [wire_id, multicore],
                f"shield {wire_id} of {scope.harness.multicores[multicore].title or multicore} is tied to ground at "
                "both ends: ground current flows in it",
                source=f"a shield is tied at one end, {_OURS}",
                sureness=_OURS,
                method="walk through the metal",
                remedy="take off and insulate the end away from the control unit",
            )


def _tied_without(scope: Scope, wire_id: str, end: str) -> bool:
    """Tell whether a wire's end is ground even without the wire."""
    network = scope.network
    start, own = network.index[end], scope.wire_branch[wire_id]
    bodies = set(network.body_centres.values())
    if network.grounded is not None:
        bodies.add(network.index[network.grounded])
    seen, waiting = {start}, [start]
    while waiting:
        here = waiting.pop()
        if here in bodies:
            return True
        for branch, other in scope.neighbours.get(here, ()):
            if branch != own and other not in seen:
                seen.add(other)
                waiting.append(other)
    return False
