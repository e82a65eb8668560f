"""Clean resistance of joints by kind and size."""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from functools import cache
from typing import Any

from harness_studio.base.errors import nearest
from harness_studio.standards import provenance, tables
from harness_studio.standards.interpolation import log_log


@dataclass(frozen=True, slots=True)
class JointFigure:
    """Clean resistance of a joint in ohms: the geometric mean of its working range, and the range.

    `note` says what was assumed on the way to it ('' if nothing).
    """

    value_ohm: float
    low_ohm: float
    high_ohm: float
    source: str
    sureness: str
    note: str = ""


def kinds() -> tuple[str, ...]:
    """Return the kinds of joint that have a clean resistance."""
    return tuple(tables.load("clean_joints.yaml")["kinds"])


@cache
def clean_ohm(kind: str, *, size: str | float | None = None) -> JointFigure:
    """Return the clean resistance of a joint (working ranges: common practice, no source).

    Parameters
    ----------
    kind
        One of `kinds`.
    size
        What the kind is sized by: wire area in mm² for crimps and splice legs (a cable lug from 10 mm² up), the stud
        ('M6', '5/16', 8) for ring and stud, the tab width in mm for contacts, the fuse style for a fuse clip,
        'cut_off' for a battery cut-off among switches, 'high_current' or 'starter' among relay contacts. None takes
        the usual size, and the note says so.

    Raises
    ------
    ValueError
        If the kind is unknown or the size means nothing for it.
    """
    data = tables.load("clean_joints.yaml")
    known: dict[str, dict[str, Any]] = data["kinds"]
    if kind not in known:
        near = nearest(kind, known)
        hint = f"did you mean {near}?" if near else f"known: {', '.join(known)}"
        raise ValueError(f"no joint kind '{kind}'; {hint}")
    content = known[kind]
    if content["size"] == "none":
        return _figure(content["entries"]["any"], content, data)
    if size is None:
        default = content["default"]
        note = "" if content.get("usual") else f"size not known, {_name(default)} taken"
        return _figure(content["entries"][default], content, data, note)
    match content["size"]:
        case "area_mm2":
            area_mm2 = _positive(kind, "a wire area in mm²", size)
            entry = "lug" if area_mm2 >= content["lug_from_mm2"] else "small"
            return _figure(content["entries"][entry], content, data)
        case "tab_mm":
            return _by_tab(_positive(kind, "a tab width in mm", size), content, data)
        case "stud":
            return _by_stud(kind, size, content, data)
    if size not in content["entries"]:
        raise ValueError(f"joint kind '{kind}' has no size '{size}'; known: {', '.join(content['entries'])}")
    return _figure(content["entries"][size], content, data)


def _figure(
    entry: dict[str, Any], content: dict[str, Any], data: dict[str, Any], note: str = ""
) -> JointFigure:
    mark = provenance.of(entry, content, data)
    low_ohm, high_ohm = entry["low_mohm"] / 1000, entry["high_mohm"] / 1000
    why = entry.get("note") or content.get("note")
    source = f"{mark.source}: {why}" if why else mark.source
    return JointFigure(math.sqrt(low_ohm * high_ohm), low_ohm, high_ohm, source, mark.sureness, note)


def _by_tab(tab_mm: float, content: dict[str, Any], data: dict[str, Any]) -> JointFigure:
    """Return the entry of a tab width, or one between its neighbours; beyond the table the last entry holds."""
    entries = content["entries"]
    widths = sorted(float(width) for width in entries)
    for width in widths:
        if math.isclose(width, tab_mm, rel_tol=1e-9):
            return _figure(entries[width], content, data)
    if not widths[0] < tab_mm < widths[-1]:
        width = widths[0] if tab_mm < widths[0] else widths[-1]
        return _figure(entries[width], content, data, f"no range for a {tab_mm:g} mm tab, {width:g} mm taken")
    low_mohm, high_mohm = (
        log_log([(width, float(entries[width][end])) for width in widths], tab_mm)
        for end in ("low_mohm", "high_mohm")
    )
    between = {
        "low_mohm": low_mohm,
        "high_mohm": high_mohm,
        "note": "log-log line between the neighbouring tab widths",
    }
    return _figure(between, content, data, f"no range for a {tab_mm:g} mm tab, interpolated")


def _by_stud(kind: str, size: str | float, content: dict[str, Any], data: dict[str, Any]) -> JointFigure:
    entries = content["entries"]
    text = f"{size:g}" if isinstance(size, float | int) else size.strip().upper()
    text = re.sub(r"\s*(?:\"|INCH|IN)$", "", text)
    inch: dict[str, str] = data["studs_by_other_name"]["map"]
    name = inch.get(text, text if text.startswith("M") else f"M{text}")
    if not re.fullmatch(r"M\d+(?:\.\d+)?", name) or float(name[1:]) <= 0:
        raise ValueError(f"joint kind '{kind}' is sized by its stud, such as M6, M8 or 5/16, not '{size}'")
    if name in entries:
        return _figure(entries[name], content, data)
    near: str = min(entries, key=lambda known: abs(math.log(float(known[1:]) / float(name[1:]))))
    return _figure(entries[near], content, data, f"no range for a stud {name}, {near} taken")


def _positive(kind: str, wanted: str, size: str | float) -> float:
    try:
        value = float(size)
    except ValueError:
        value = math.nan
    if not (math.isfinite(value) and value > 0):
        raise ValueError(f"joint kind '{kind}' is sized by {wanted} above 0, not '{size}'")
    return value


def _name(default: str | float) -> str:
    if isinstance(default, float | int):
        return f"a {default:g} mm tab"
    return {"small": "a crimp below 10 mm²", "lug": "a cable lug"}.get(default, default)
