"""Operating modes: following `like`, and what holds where nothing is said."""

from __future__ import annotations

from harness_studio.base.errors import AddressError, nearest
from harness_studio.model.entities import Mode
from harness_studio.model.harness import Harness

from .network import Overrides, ResolvedMode


def default_mode(harness: Harness) -> str | None:
    """Return the first mode of the file, or None where the harness has none."""
    return next(iter(harness.modes), None)


def resolve(harness: Harness, mode_id: str | None, overrides: Overrides | None = None) -> ResolvedMode:
    """Fill a mode in from the modes it is like, then from the session's overrides.

    A switch that no mode names stands in its first position; the engine is off; without modes that is all.

    Raises
    ------
    AddressError
        If the mode is not there, or modes are like one another in a circle.
    """
    overrides = overrides or Overrides()
    chain = _chain(harness, mode_id)
    engine = next((m.engine for m in chain if m.engine), "off")
    positions: dict[str, str] = {}
    loads: dict[str, str] = {}
    senders: dict[str, str] = {}
    ambient: dict[str, float] = {}
    for mode in reversed(chain):
        positions.update(mode.set)
        loads.update(mode.loads)
        senders.update(mode.senders)
        ambient.update(mode.ambient_c)
    for part_id, position in positions.items():
        _check_position(harness, mode_id, part_id, position)
    positions.update(overrides.positions)
    loads.update(overrides.loads)
    senders.update(overrides.senders)
    return ResolvedMode(mode_id, overrides.engine or engine, positions, loads, senders, ambient)


def _chain(harness: Harness, mode_id: str | None) -> list[Mode]:
    chain: list[Mode] = []
    seen: list[str] = []
    while mode_id is not None:
        if mode_id in seen:
            raise AddressError(f"modes are like one another in a circle: {' → '.join([*seen, mode_id])}")
        if mode_id not in harness.modes:
            near = nearest(mode_id, harness.modes)
            hint = f"; nearest is '{near}'" if near else f"; there are {', '.join(harness.modes) or 'none'}"
            raise AddressError(f"there is no mode '{mode_id}'{hint}")
        seen.append(mode_id)
        chain.append(harness.modes[mode_id])
        mode_id = harness.modes[mode_id].like
    return chain


def _check_position(harness: Harness, mode_id: str | None, part_id: str, position: str) -> None:
    part = harness.parts.get(part_id)
    known = getattr(part.ratings, "positions", None) if part else None
    if known is None:
        raise AddressError(f"mode '{mode_id}' sets {part_id}, which is no switch")
    if position not in known:
        listed = ", ".join(known) or "none"
        raise AddressError(f"mode '{mode_id}' sets {part_id} to '{position}'; its positions are {listed}")
