"""Another face for a connector half, as one edit. Where a cavity keeps its place and gets another name, all follows."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from harness_studio.model.edits import Edit, Put, Remove, Together
from harness_studio.model.entities import Half
from harness_studio.model.harness import Harness
from harness_studio.model.renaming import Names, renamed_entity
from harness_studio.model.values import Cavity, Face

from .bench import wires_at
from .quantities import Refused

Renamed = Mapping[str, str]


def names_changed(before: Face | None, after: Face) -> Renamed:
    """Return old name → new name of cavities that keep their places; empty where the layout is another one."""
    if before is None or not before.rows or not after.rows:
        return {}
    shapes = [[[name is None for name in row] for row in face.rows] for face in (before, after)]
    if shapes[0] != shapes[1]:
        return {}
    pairs = zip(before.names(), after.names(), strict=True)
    if set(before.names()) == set(after.names()):
        return {}  # the same cavities in other places: they were moved, not renamed
    return {old: new for old, new in pairs if old != new}


def face_edit(harness: Harness, half_id: str, face: Face) -> Edit:
    """Return the one edit that gives a half another face.

    Raises
    ------
    Refused
        If a wire is in a cavity that the face does not show.
    """
    half = harness.halves[half_id]
    renamed = names_changed(half.face, face)
    words = f"face of {half_id}"
    for cavity, wires in wires_at(harness, half_id).items():
        if renamed.get(cavity, cavity) not in face.names():
            raise Refused(f"{wires[0].id} is in cavity {cavity}, which this face does not show")
    kept = {
        renamed.get(name, name): cavity
        for name, cavity in half.cavities.items()
        if renamed.get(name, name) in face.names() or cavity != Cavity()
    }
    new = replace(half, face=face, cavities=kept)
    if not renamed:
        return Together((Put("halves", new),), words)
    return Together(tuple(_renaming(harness, half, new, renamed)), words)


def _renaming(harness: Harness, half: Half, new: Half, renamed: Renamed) -> list[Any]:
    addresses = {f"{half.id}.{old}": f"{half.id}.{name}" for old, name in renamed.items()}
    for cavity, wires in wires_at(harness, half.id).items():
        if cavity in renamed:
            for wire in wires:
                addresses[f"{wire.id}@{half.id}.{cavity}"] = f"{wire.id}@{half.id}.{renamed[cavity]}"
    names = Names({}, addresses)
    own = replace(
        new, mates={other: _own(harness, half, other, pairs, renamed) for other, pairs in half.mates.items()}
    )
    steps: list[Any] = [Put("halves", own)]
    for section in ("halves", "wires", "joints", "annotations", "parts", "cases"):
        for key, entity in harness.tables[section].items():
            if section == "halves":
                if key == half.id or half.id not in entity.mates:
                    continue
                pairs = _theirs(harness, half, entity, renamed)
                steps.append(Put(section, replace(entity, mates={**entity.mates, half.id: pairs})))
                continue
            new_key = names.address(key) if section == "joints" else key
            made = renamed_entity(entity, names, new_key)
            if new_key != key:
                steps.insert(0, Remove(section, key))
            if made != harness.tables[section].get(key):
                steps.append(Put(section, made))
    return steps


def _own(
    harness: Harness, half: Half, other: str, pairs: Mapping[str, str] | None, renamed: Renamed
) -> Mapping[str, str]:
    """Return which cavity meets which, under the new names of this half."""
    if pairs is None:
        theirs = harness.halves[other].cavity_names()
        pairs = {name: name for name in half.cavity_names() if name in theirs}
    return {renamed.get(own, own): far for own, far in pairs.items()}


def _theirs(harness: Harness, half: Half, other: Half, renamed: Renamed) -> Mapping[str, str]:
    """Return the same as the other half states it."""
    pairs = other.mates[half.id]
    if pairs is None:
        pairs = {name: name for name in other.cavity_names() if name in half.cavity_names()}
    return {own: renamed.get(far, far) for own, far in pairs.items()}
