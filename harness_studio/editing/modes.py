"""The positions that the harness is looked at in, kept as an operating mode of the file."""

from __future__ import annotations

from collections.abc import Iterator
from typing import cast

from harness_studio.base.errors import EditError
from harness_studio.base.ids import clean_id
from harness_studio.model.edits import Edit, put
from harness_studio.model.entities import EngineState, LoadState, Mode
from harness_studio.model.harness import Harness
from harness_studio.network.fixtures import SWITCH_KINDS
from harness_studio.network.modes import resolve
from harness_studio.network.network import Overrides


def keep_edit(
    harness: Harness, mode: str | None, overrides: Overrides | None, title: str
) -> tuple[Edit, str]:
    """Return the step that keeps the present positions as a new mode, and its id.

    The first mode of a harness says where every switch and sender stands; a later one is like the mode that was
    looked at, and says what is pressed beside it. What a joint is dialled to is no position and is left out.

    Raises
    ------
    EditError
        If the title has no letter or digit, another mode has it, or nothing is pressed beside the mode.
    """
    title = " ".join(title.split())
    key = _id_of(harness, title)
    now = overrides or Overrides()
    positions, loads, senders = dict(now.positions), dict(now.loads), dict(now.senders)
    if mode is None or mode not in harness.modes:
        made = _written_out(harness, now, key, title)
    elif not (positions or loads or senders or now.engine):
        raise EditError(
            f"the positions are those of '{harness.modes[mode].title or mode}': press another one along the top first"
        )
    else:
        states = cast("dict[str, LoadState]", loads)
        made = Mode(key, title, like=mode, engine=_engine(now), set=positions, loads=states, senders=senders)
    return put("modes", made, words=f"keep the positions as mode {title}"), key


def _id_of(harness: Harness, title: str) -> str:
    """Return an id made of a title that no mode has yet."""
    same = [m for m in harness.modes.values() if (m.title or m.id).casefold() == title.casefold()]
    if same:
        raise EditError(f"there is a mode '{title}' already: give this one another name")
    words = "".join(c if c.isascii() and c.isalnum() else " " for c in title.lower()).split()
    if not words and not any(c.isalnum() for c in title):
        raise EditError("a mode needs a name, such as Lamps on")
    return clean_id("_".join(words) or "mode", set(harness.modes))


def _engine(now: Overrides) -> EngineState | None:
    return cast("EngineState | None", now.engine)


def _written_out(harness: Harness, now: Overrides, key: str, title: str) -> Mode:
    resolved = resolve(harness, None, now)
    return Mode(
        key,
        title,
        engine=_engine(now),
        set={**dict(_first_positions(harness)), **resolved.positions},
        loads=cast("dict[str, LoadState]", dict(resolved.loads)),
        senders={**dict(_first_states(harness)), **resolved.senders},
    )


def _first_positions(harness: Harness) -> Iterator[tuple[str, str]]:
    for part in harness.parts.values():
        if part.kind in SWITCH_KINDS and part.ratings.positions:
            yield part.id, next(iter(part.ratings.positions))


def _first_states(harness: Harness) -> Iterator[tuple[str, str]]:
    for part in harness.parts.values():
        if part.kind == "sender" and part.ratings.ohm:
            yield part.id, next(iter(part.ratings.ohm))
