"""What the program remembers from one time to the next: the window's layout, keys, and recent files."""

from __future__ import annotations

import json
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QByteArray, QSettings

if TYPE_CHECKING:
    from .window import Window

MOST_RECENT = 12


def settings() -> QSettings:
    """Return where the window keeps its geometry and appearance."""
    return QSettings(QSettings.Format.IniFormat, QSettings.Scope.UserScope, "harness-studio", "window")


def keep_layout(window: Window) -> None:
    """Remember the window's place, the drawer's width and state, and which of its pages stand by themselves."""
    kept = settings()
    kept.setValue("geometry", window.saveGeometry())
    kept.setValue("split", window.split.saveState())
    kept.setValue("drawer/hidden", window.drawer.put_away)
    kept.setValue("drawer/pinned", window.drawer.pinned)
    kept.setValue("drawer/page", window.drawer.page_id)
    torn = {
        page: bytes(geometry.toBase64().data()).decode() for page, geometry in window.drawer.apart().items()
    }
    kept.setValue("drawer/apart", json.dumps(torn))


def restore_layout(window: Window) -> None:
    """Put the window as it was left."""
    kept = settings()
    geometry = kept.value("geometry")
    if not (isinstance(geometry, QByteArray) and window.restoreGeometry(geometry)):
        room = window.screen().availableSize()
        # Its frame needs some room, too.
        window.resize(min(1440, room.width() - 8), min(900, room.height() - 40))
    split = kept.value("split")
    if isinstance(split, QByteArray):
        window.split.restoreState(split)
    drawer = window.drawer
    page = str(kept.value("drawer/page", ""))
    if drawer.has(page):
        drawer.open(page)
    drawer.put_away = bool(kept.value("drawer/hidden", False, bool))
    drawer.pin(bool(kept.value("drawer/pinned", False, bool)))
    for page, place in _table(str(kept.value("drawer/apart", "{}"))).items():
        if drawer.has(page):
            drawer.tear_off(page, QByteArray.fromBase64(place.encode()))


def _table(text: str) -> dict[str, str]:
    try:
        read = json.loads(text)
    except ValueError:
        return {}
    return {k: v for k, v in read.items() if isinstance(v, str)} if isinstance(read, dict) else {}


def recent() -> list[Path]:
    """Return the projects opened or saved last that are still there, the latest first."""
    return [path for path in _recent() if path.is_file()]


def add_recent(path: Path) -> None:
    """Remember a project as the latest."""
    path = path.resolve()
    paths = [path, *(other for other in _recent() if other != path)]
    settings().setValue("recent", json.dumps([str(p) for p in paths[:MOST_RECENT]]))


def _recent() -> list[Path]:
    try:
        read = json.loads(str(settings().value("recent", "[]")))
    except ValueError:
        return []
    return [Path(name) for name in read if isinstance(name, str)] if isinstance(read, list) else []


def own_keys() -> dict[str, list[str]]:
    """Return the keys that the user gave to commands, by the command's id; an empty list for none."""
    try:
        read = json.loads(str(settings().value("keys", "{}")))
    except ValueError:
        return {}
    if not isinstance(read, dict):
        return {}
    return {k: [str(key) for key in v] for k, v in read.items() if isinstance(v, list)}


def keep_own_keys(keys: dict[str, list[str]]) -> None:
    """Remember the keys that the user gave to commands."""
    settings().setValue("keys", json.dumps(keys))
