"""Limit sets: the named rules in force, each limit with its source; a project may override one with a reason."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cache
from typing import Any, Literal, cast

import yaml

from harness_studio.base import resources
from harness_studio.base.errors import nearest
from harness_studio.electrics.heat.ampacity import METHODS, Method
from harness_studio.model.values import Limits
from harness_studio.standards import provenance

from .how import name_of, named, names

SETS = ("road_workshop", "aviation_circular", "small_craft", "sensitive_electronics")
"""Names of the limit sets; the first one holds unless the project says otherwise."""


@dataclass(frozen=True, slots=True)
class Limit:
    """One limit.

    `value` is None where the set switches it off. `reason` is the project's own where it overrides the set; `source`
    then says so, and what stood there.
    """

    name: str
    what: str
    value: float | None
    unit: str
    source: str
    sureness: str
    reason: str | None = None

    @property
    def backing(self) -> str:
        """Name and source as one line."""
        return f"limit {self.name}: {self.source}"


@dataclass(frozen=True, slots=True)
class Strange:
    """Something that a project asks for and that is not there: what it should be, its name, the nearest known one."""

    what: Literal["limit set", "limit", "way to find ampacity"]
    name: str
    near: str | None


@dataclass(frozen=True, slots=True)
class LimitSet:
    """The limits in force.

    `own_way` names the way to find ampacity where the project chose one; `strange` tells what it asks for that is not
    there.
    """

    name: str
    title: str
    about: str
    method: Method
    table: str | None
    limits: Mapping[str, Limit]
    own_way: str | None = None
    strange: tuple[Strange, ...] = ()

    def __getitem__(self, name: str) -> Limit:
        return self.limits[name]

    def value(self, name: str) -> float:
        """Return the value of a limit that no set switches off.

        Raises
        ------
        ValueError
            If it is off.
        """
        found = self.limits[name].value
        if found is None:
            raise ValueError(f"the limit {name} is off")
        return found

    @property
    def overridden(self) -> tuple[Limit, ...]:
        """The limits that the project sets itself."""
        return tuple(limit for limit in self.limits.values() if limit.reason is not None)


@cache
def load(name: str) -> Mapping[str, Any]:
    """Return the content of a file of resources/limits; callers read it and never change it."""
    content = yaml.load(
        resources.text("limits", f"{name}.yaml"), Loader=getattr(yaml, "CSafeLoader", yaml.SafeLoader)
    )
    return cast("Mapping[str, Any]", content)


def limit_set(name: str, system_v: float = 12.0) -> LimitSet:
    """Return a limit set as shipped, with the values for a system voltage where it gives several.

    Raises
    ------
    ValueError
        If there is no such set.
    """
    if name not in SETS:
        near = nearest(name, SETS)
        raise ValueError(
            f"no limit set '{name}'; " + (f"did you mean {near}?" if near else f"known: {', '.join(SETS)}")
        )
    content = load(name)
    known: dict[str, Limit] = {}
    if "like" in content:
        known.update(limit_set(str(content["like"]), system_v).limits)
    for limit, row in content["limits"].items():
        known[limit] = _read(limit, row, known.get(limit), system_v)
    method = str(content["method"])
    assert method in METHODS, f"{name}: no method '{method}'"
    return LimitSet(
        name,
        str(content["title"]),
        str(content["about"]),
        method,
        content.get("table"),
        known,
    )


def _read(name: str, row: Mapping[str, Any], before: Limit | None, system_v: float) -> Limit:
    mark = provenance.of(row)
    value = row.get("by_system_v", {}).get(round(system_v), row["value"])
    return Limit(
        name,
        str(row["what"] if before is None else before.what),
        None if value is None else float(value),
        str(row["unit"] if before is None else before.unit),
        mark.source,
        mark.sureness,
    )


def in_force(wanted: Limits, system_v: float) -> LimitSet:
    """Return the limits of a project: its set with its overrides. What is not known is kept in `strange`."""
    strange: list[Strange] = []
    name = wanted.set
    if name not in SETS:
        strange.append(Strange("limit set", name, nearest(name, SETS)))
        name = SETS[0]
    found = limit_set(name, system_v)
    limits = dict(found.limits)
    for key, own in wanted.override.items():
        if key not in limits:
            strange.append(Strange("limit", key, nearest(key, limits)))
            continue
        limits[key] = _overridden(limits[key], own.value, own.reason)
    if wanted.ampacity is not None:
        way = named(wanted.ampacity)
        if way is None:
            near = nearest(wanted.ampacity, names())
            strange.append(Strange("way to find ampacity", wanted.ampacity, near))
        else:
            found = replace(found, method=way.method, table=way.table, own_way=name_of(way))
    return replace(found, limits=limits, strange=tuple(strange))


def _overridden(before: Limit, value: float, reason: str) -> Limit:
    stood = "off" if before.value is None else f"{before.value:g} {before.unit}"
    source = f"set by this project: {reason} (instead of {stood}: {before.source})"
    return replace(before, value=value, reason=reason, source=source)
