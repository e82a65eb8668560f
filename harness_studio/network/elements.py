"""The working elements of parts: which element stands between which points."""

from __future__ import annotations

from collections.abc import Iterator

from harness_studio.model.harness import Harness
from harness_studio.model.parts import Part

from .builder import Builder
from .network import Element, ResolvedMode

PASSIVE_KINDS = frozenset(
    {"fuse", "breaker", "link", "switch", "ignition_switch", "cut_off", "bus_bar", "box", "device"}
)
"""Kinds that hold no working element: they are metal, or nothing is known of their inside."""


def expand_elements(build: Builder, harness: Harness, mode: ResolvedMode) -> tuple[Element, ...]:
    """Return every working element with its points, in the order of the file."""
    return tuple(
        element
        for part in harness.parts.values()
        if part.kind not in PASSIVE_KINDS
        for element in _elements(build, part, mode)
    )


def _elements(build: Builder, part: Part, mode: ResolvedMode) -> Iterator[Element]:
    state = _state(part, mode)
    names = part.terminals() or ()
    points = {name: build.point(f"{part.id}.{name}") for name in names}
    filaments = getattr(part.ratings, "elements", None)
    if part.kind == "lamp" and filaments:
        for name, filament in filaments.items():
            between = {t: points[t] for t in filament.between}
            yield Element(f"{part.id}/{name}", part.id, "lamp", filament, between, state)
    elif part.kind == "control_unit":
        for name, declared in part.ratings.terminals.items():
            if declared.does not in ("supply", "ground", "sensor_ground", "unused"):
                yield Element(f"{part.id}/{name}", part.id, "control_unit", part.ratings, points, name)
    else:
        yield Element(part.id, part.id, part.kind, part.ratings, points, state)


def _state(part: Part, mode: ResolvedMode) -> str | None:
    if part.kind in ("battery", "alternator", "dynamo", "starter"):
        return mode.engine
    if part.kind in ("sender", "ntc"):
        return mode.senders.get(part.id)
    return mode.loads.get(part.id)
