"""What the mode strip offers: named modes, the engine, every switch, and loads, each with its positions."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from harness_studio.base.errors import AddressError
from harness_studio.model.harness import Harness
from harness_studio.model.parts import Part
from harness_studio.network.fixtures import SWITCH_KINDS
from harness_studio.network.modes import resolve
from harness_studio.network.network import Overrides, ResolvedMode

Kind = Literal["mode", "engine", "switch", "load", "sender"]
ENGINE = ("off", "cranking", "idling", "running")
MOTOR = ("off", "turning", "stall")
OTHER_LOAD = ("off", "on")


@dataclass(frozen=True, slots=True)
class Group:
    """One thing and its positions; `set` says that the present one is not the mode's own."""

    kind: Kind
    id: str
    title: str
    options: tuple[tuple[str, str], ...]
    present: str | None
    set: bool = False


def groups(harness: Harness, mode: str | None, overrides: Overrides | None) -> list[Group]:
    """Return the groups in order: modes, engine, switches, loads that a mode names or that turn, senders."""
    overrides = overrides or Overrides()
    try:
        now, own = resolve(harness, mode, overrides), resolve(harness, mode)
    except AddressError:
        now = own = ResolvedMode(mode)
    found = []
    if harness.modes:
        options = tuple((m.id, m.title or m.id) for m in harness.modes.values())
        found.append(Group("mode", "", "mode", options, mode))
    if any(p.kind in ("alternator", "dynamo", "starter") for p in harness.parts.values()):
        options = tuple((e, e) for e in ENGINE)
        found.append(Group("engine", "", "engine", options, now.engine, now.engine != own.engine))
    found += list(_switches(harness, now, own))
    found += list(_loads(harness, now, own))
    found += list(_senders(harness, now, own))
    return found


def _name(part: Part) -> str:
    return part.title or part.id


def _switches(harness: Harness, now: ResolvedMode, own: ResolvedMode) -> Iterator[Group]:
    for part in harness.parts.values():
        if part.kind not in SWITCH_KINDS or not part.ratings.positions:
            continue
        first = next(iter(part.ratings.positions))
        present, plain = now.positions.get(part.id, first), own.positions.get(part.id, first)
        options = tuple((p, p) for p in part.ratings.positions)
        yield Group("switch", part.id, _name(part), options, present, present != plain)


def _loads(harness: Harness, now: ResolvedMode, own: ResolvedMode) -> Iterator[Group]:
    named = {load for mode in harness.modes.values() for load in mode.loads}
    for part in harness.parts.values():
        if part.kind != "motor" and part.id not in named:
            continue
        options = MOTOR if part.kind == "motor" else OTHER_LOAD
        usual = options[1]
        present, plain = now.loads.get(part.id, usual), own.loads.get(part.id, usual)
        shown = options if present in options else (*options, present)
        yield Group("load", part.id, _name(part), tuple((o, o) for o in shown), present, present != plain)


def _senders(harness: Harness, now: ResolvedMode, own: ResolvedMode) -> Iterator[Group]:
    for part in harness.parts.values():
        if part.kind != "sender" or not part.ratings.ohm:
            continue
        states = tuple(part.ratings.ohm)
        present, plain = now.senders.get(part.id, states[0]), own.senders.get(part.id, states[0])
        shown = states if present in states else (*states, present)
        yield Group("sender", part.id, _name(part), tuple((s, s) for s in shown), present, present != plain)


def pressed(overrides: Overrides | None, group: Group, value: str, plain: bool) -> Overrides | None:
    """Return the overrides after a position is pressed; `plain` says that it is the mode's own. None for none left."""
    before = overrides or Overrides()
    to = None if plain else value
    if group.kind == "engine":
        after = before.with_engine(to)
    elif group.kind == "switch":
        after = before.with_position(group.id, to)
    elif group.kind == "load":
        after = before.with_load(group.id, to)
    else:
        after = before.with_sender(group.id, to)
    return None if after == Overrides() else after


def plain_value(harness: Harness, mode: str | None, group: Group) -> str | None:
    """Return the position that the mode itself gives a group."""
    return next(
        (g.present for g in groups(harness, mode, None) if (g.kind, g.id) == (group.kind, group.id)), None
    )
