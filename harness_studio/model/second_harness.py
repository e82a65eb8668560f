"""A second harness brought into the open one: its things under a prefix, what becomes of each wire, the joins."""

from __future__ import annotations

from collections.abc import Collection, Iterable
from dataclasses import dataclass, replace
from typing import Literal, get_args

from harness_studio.base.errors import EditError
from harness_studio.base.ids import is_id

from .drawing.selecting import owner_of
from .edits import Edit, Put, Together
from .entities import Half, Origin, Page
from .harness import SHARED_IDS, Harness
from .keys import FREE_KEYS
from .renaming import renamed
from .values import Cavity

Plan = Literal["keep", "extend", "move", "remove", "new"]
PLANS: tuple[Plan, ...] = get_args(Plan)
Need = Literal["needed", "optional", "unused"]
NEEDS: tuple[Need, ...] = get_args(Need)
LEFT_OUT = ("settings", "accepted", "revisions", "cases", "photos", "origins")
"""What stays behind: what was said about the other project, and pictures, which lie in its folder."""
HERE = "this harness"


def bring_in(harness: Harness, other: Harness, prefix: str, name: str) -> Together:
    """Return the step that brings another harness in.

    Every id gets the prefix, but for bodies and zones that both have: they are taken for the same metal and the same
    place, and places of the body that are only in the other are added.

    Parameters
    ----------
    prefix
        Put before the ids, for example 'D-'.
    name
        What the other harness is called from now on, an id.

    Raises
    ------
    EditError
        If the prefix or name cannot be used, or the two cannot be one vehicle.
    """
    _check(harness, other, name)
    if prefix and not is_id(prefix + "1"):
        raise EditError(f"'{prefix}' cannot be a prefix: letters, digits, _ and - only")
    shared = {k for s in ("bodies", "zones") for k in other.tables[s] if k in harness.tables[s]}
    ids = {
        key: prefix + key
        for section, table in other.tables.items()
        if section not in FREE_KEYS
        for key in table
        if key not in shared
    }
    brought = renamed(other, ids)
    edits: list[Edit] = []
    for section, table in brought.tables.items():
        if section in LEFT_OUT:
            continue
        for key, entity in table.items():
            if key in harness.tables[section]:
                if section not in ("bodies", "zones") or key not in shared:
                    raise EditError(
                        f"the prefix '{prefix}' makes {key}, which is here already: choose another"
                    )
                if section == "bodies":
                    places = {**entity.places_mohm, **harness.bodies[key].places_mohm}
                    edits.append(Put(section, replace(harness.bodies[key], places_mohm=places)))
            else:
                edits.append(Put(section, _under(entity, name)))
    theirs = tuple(k for s in SHARED_IDS for k in brought.tables[s] if k not in shared)
    if not theirs:
        raise EditError("the second harness is empty")
    edits.append(Put("origins", Origin(name, theirs)))
    return Together(tuple(edits), f"bring in {other.settings.title or name}")


def _check(harness: Harness, other: Harness, name: str) -> None:
    ours, theirs = harness.settings, other.settings
    if ours.system_v != theirs.system_v or ours.grounded != theirs.grounded:
        raise EditError(
            f"the second harness is {theirs.system_v:g} V, {theirs.grounded} ground; this one is {ours.system_v:g} V, "
            f"{ours.grounded} ground"
        )
    if not is_id(name):
        raise EditError(f"'{name}' cannot be the name of a harness: letters, digits, _ and - only")
    if name in harness.tables["origins"]:
        raise EditError(f"a harness '{name}' was brought in already: choose another name")


def _under(entity: object, name: str) -> object:
    """Return an entity without what cannot come along: the photo under a page."""
    if isinstance(entity, Page):
        return replace(entity, photo=None, title=f"{name}: {entity.title or entity.id}")
    return entity


def origin_of(harness: Harness) -> dict[str, str]:
    """Return for each thing that was brought in the name of its harness."""
    return {key: origin.id for origin in harness.tables["origins"].values() for key in origin.ids}


def plan_wires(harness: Harness, wires: Collection[str], plan: Plan | None) -> Together:
    """Return the step that plans what becomes of some wires.

    Raises
    ------
    EditError
        If there is no wire among them.
    """
    chosen = [w for w in harness.wires.values() if w.id in wires]
    if not chosen:
        raise EditError("select the wires first")
    words = (
        f"plan {', '.join(w.id for w in chosen[:4])}{' …' if len(chosen) > 4 else ''}: {plan or 'nothing'}"
    )
    return Together(tuple(Put("wires", replace(w, plan=plan)) for w in chosen), words)


@dataclass(frozen=True, slots=True)
class Pin:
    """One cavity of a connector on a unit: what it is for, whether it is needed, and the wires in it."""

    half: str
    name: str
    function: str
    need: Need | None
    wires: tuple[str, ...]

    @property
    def open(self) -> bool:
        """Whether it is needed and has no wire that stays."""
        return self.need == "needed" and not self.wires


def units(harness: Harness) -> list[str]:
    """Return the parts that have connectors plugged onto them, control units first."""
    plugged = {h.part for h in harness.halves.values() if h.part is not None}
    found = [p for p in harness.parts.values() if p.id in plugged]
    return [p.id for p in sorted(found, key=lambda p: p.kind != "control_unit")]


def pins_of(harness: Harness, part: str) -> list[Pin]:
    """Return the cavities of all connectors on a part. A wire that is to be removed counts as none."""
    at: dict[str, list[str]] = {}
    for wire in harness.wires.values():
        for end in wire.ends:
            if end.point is not None and wire.plan != "remove":
                at.setdefault(end.point, []).append(wire.id)
    found = []
    for half in harness.halves.values():
        if half.part == part:
            for name in half.cavity_names():
                cavity = half.cavities.get(name, Cavity())
                wires = tuple(at.get(f"{half.id}.{name}", ()))
                found.append(Pin(half.id, name, cavity.function or "", cavity.needed, wires))
    return found


def need_pins(harness: Harness, pins: Iterable[tuple[str, str]], need: Need | None) -> Together:
    """Return the step that says whether cavities, as (half, name), are needed.

    Raises
    ------
    EditError
        If there is none.
    """
    halves: dict[str, Half] = {}
    chosen = list(pins)
    for half_id, name in chosen:
        half = halves.get(half_id, harness.halves[half_id])
        cavity = replace(half.cavities.get(name, Cavity()), needed=need)
        halves[half_id] = replace(half, cavities={**half.cavities, name: cavity})
    if not halves:
        raise EditError("choose the cavities first")
    said = ", ".join(f"{half}.{name}" for half, name in chosen[:4]) + (" …" if len(chosen) > 4 else "")
    return Together(tuple(Put("halves", h) for h in halves.values()), f"{said}: {need or 'not said'}")


@dataclass(frozen=True, slots=True)
class Join:
    """Where two harnesses meet: a wire or a mating, with what is on each side and of which harness it is."""

    thing: str
    kind: Literal["wire", "mated"]
    ends: tuple[str, str]
    of: tuple[str, str]
    plan: Plan | None = None


def joins(harness: Harness) -> list[Join]:
    """Return every place where things of different harnesses meet, matings first."""
    origin = origin_of(harness)
    if not origin:
        return []
    found = []
    for half in harness.halves.values():
        for other in half.mates:
            of = (origin.get(half.id, HERE), origin.get(other, HERE))
            if of[0] != of[1]:
                found.append(Join(half.id, "mated", (half.id, other), of))
    for wire in harness.wires.values():
        points = [e.point for e in wire.ends]
        if points[0] is None or points[1] is None:
            continue
        if any(owner_of(point) in harness.bodies for point in (points[0], points[1])):
            continue  # metal belongs to the vehicle
        of = (origin.get(owner_of(points[0]), HERE), origin.get(owner_of(points[1]), HERE))
        if of[0] != of[1]:
            found.append(Join(wire.id, "wire", (points[0], points[1]), of, wire.plan))
    return found
