"""Edits that keep a finding with a reason, take that back, choose limit set and ampacity, set a limit of its own."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from harness_studio.base.errors import EditError
from harness_studio.model.edits import Put, Remove, Together, together
from harness_studio.model.entities import Accepted
from harness_studio.model.harness import Harness
from harness_studio.model.values import Limits, Override

from .finding import Finding
from .how import name_of, named, names
from .limits import SETS, in_force


def accept(found: Finding, reason: str, date: str | None = None) -> Together:
    """Return the step that leaves a finding as it is, because of a reason; it stays in the file and is printed.

    Raises
    ------
    EditError
        If no reason is given.
    """
    reason = " ".join(reason.split())
    if not reason:
        raise EditError("a finding is accepted for a reason: write why it may stay")
    entries = [Put("accepted", Accepted(key, reason, date)) for key in found.keys]
    return together(entries, f"accept {found.key}")


def take_back(harness: Harness, found: Finding) -> Together | None:
    """Return the step that lets a finding stand again, None if nobody accepted it."""
    known = [key for key in found.keys if key in harness.tables["accepted"]]
    if not known:
        return None
    return together([Remove("accepted", key) for key in known], f"no longer accept {found.key}")


def forget(harness: Harness, keys: Iterable[str]) -> Together | None:
    """Return the step that removes acceptances from the file, None if it has none of them."""
    known = [key for key in keys if key in harness.tables["accepted"]]
    if not known:
        return None
    what = f"acceptance of {known[0]}" if len(known) == 1 else f"{len(known)} acceptances"
    return together([Remove("accepted", key) for key in known], f"remove {what}")


def choose_set(harness: Harness, name: str) -> Together:
    """Return the step that puts another limit set in force; the project's own limits stay.

    Raises
    ------
    EditError
        If there is no such set.
    """
    if name not in SETS:
        raise EditError(f"there is no limit set '{name}'; there are {', '.join(SETS)}")
    return _settled(harness, replace(harness.settings.limits, set=name), f"limit set {name}")


def choose_way(harness: Harness, name: str | None) -> Together | None:
    """Return the step by which ampacity is found in another way, None for as the limit set says; None if it is so now.

    Raises
    ------
    EditError
        If there is no such way.
    """
    way = None if name is None else named(name)
    if name is not None and way is None:
        raise EditError(f"there is no way '{name}' to find ampacity; there are {', '.join(names())}")
    own = harness.settings.limits
    wanted = None if way is None else name_of(way)
    if wanted == own.ampacity:
        return None
    words = f"ampacity by {way}" if way else "ampacity as the limit set says"
    return _settled(harness, replace(own, ampacity=wanted), words)


def override(harness: Harness, name: str, value: float, reason: str) -> Together:
    """Return the step that sets one limit for this project, with the reason that is printed.

    Raises
    ------
    EditError
        If there is no such limit, no reason, or the value cannot be.
    """
    reason = " ".join(reason.split())
    known = in_force(harness.settings.limits, harness.settings.system_v).limits
    if name not in known:
        raise EditError(f"there is no limit '{name}'")
    if not reason:
        raise EditError("a limit is set for a reason: write why this project may differ")
    own = harness.settings.limits
    return _settled(
        harness,
        replace(own, override={**own.override, name: Override(value, reason)}),
        f"limit {name} {value:g} {known[name].unit}",
    )


def as_the_set_says(harness: Harness, name: str) -> Together | None:
    """Return the step that takes a limit of the project's own away, None if there is none."""
    own = harness.settings.limits
    if name not in own.override:
        return None
    left = {key: value for key, value in own.override.items() if key != name}
    return _settled(harness, replace(own, override=left), f"limit {name} as the set says")


def _settled(harness: Harness, limits: Limits, words: str) -> Together:
    return together([Put("settings", replace(harness.settings, limits=limits))], words)
