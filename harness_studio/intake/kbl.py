"""Reads a harness from KBL, the open harness description list (VDA recommendation 4964), versions 2.3 to 2.5.

Nothing in a file makes it refused but what makes it no KBL at all (see `read_kbl`): whatever is doubtful becomes a
warning with its line. The text '/NULL' and an empty text say nothing. Names that cannot be ids are changed, and the
file's own kept in `known_as`.

What becomes what: see `kbl_connectors` (halves, splices), `kbl_joined` (which ring terminals are grounds), `kbl_boxes`
(boxes, fuses), `kbl_wires` (conductors, which length counts), `kbl_bundle` (runs), `kbl_modules` (variants),
`kbl_units` (units). Fixings, accessories and what is packed along have no place in the model and are counted only.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from pathlib import Path

from harness_studio.base.errors import InputError, Problem
from harness_studio.model.harness import Harness

from .kbl_boxes import at_fuses, read_boxes
from .kbl_bundle import read_bundle
from .kbl_connectors import Connectors, read_connectors
from .kbl_context import Context, find_scopes
from .kbl_harness import Builder, WireRow
from .kbl_index import Index, Names, Report, described, said
from .kbl_joined import grounds_among
from .kbl_mates import read_mates
from .kbl_modules import MODULES_HELP, ModuleInfo, select
from .kbl_units import Units
from .kbl_wires import read_wires
from .xml_tree import Element, read_xml

__all__ = ["MODULES_HELP", "Imported", "ModuleInfo", "Totals", "WireRow", "read_kbl"]

_NOT_USED = frozenset({
    "Alias_id", "Approval", "Bend_radius", "Cartesian_point", "Center_curve", "Change", "Change_descriptions",
    "Creation", "Cross_section_area_information", "Default_dimension_specification", "Dimension_specification",
    "End_vector", "External_reference", "External_references", "Installation_information", "Mass_information",
    "Outside_diameter", "Placement", "Processing_information", "Start_vector",
})  # fmt: skip
_NOT_TAKEN_OVER = {
    "Fixing_occurrence": "fixings", "Accessory_occurrence": "accessories", "Co_pack_occurrence": "parts packed along",
}  # fmt: skip
_KNOWN_ROOTS = {
    "KBL_schema": "a KBL file older than version 2.3",
    "VecContent": "a VEC file, the format that follows KBL",
    "schema": "an XML schema, not a harness",
}


@dataclass(frozen=True, slots=True)
class Totals:
    """What was read.

    `halves` are the connector halves in the harness; among them are `rings_kept`, the ring terminals that are no
    grounds, and `box_halves`, the connectors of boxes. The file's connectors are halves - box_halves + splices +
    grounds; its ring terminals are grounds + rings_kept. `cavities` counts all, those of splices and ring terminals
    too; `wires` and `wire_length_m` every conductor, cores included.
    """

    halves: int
    cavities: int
    wires: int
    splices: int
    grounds: int
    runs: int
    wire_length_m: float
    rings_kept: int
    box_halves: int


@dataclass(frozen=True, slots=True)
class Imported:
    """A harness that was read from a file, and what there is to say about it."""

    harness: Harness
    warnings: tuple[Problem, ...]
    totals: Totals
    version: str
    modules_chosen: tuple[ModuleInfo, ...]
    modules_in_file: tuple[ModuleInfo, ...]
    rows: tuple[WireRow, ...]


def read_kbl(source: Path | str | bytes, name: str | None = None, modules: str = "all") -> Imported:
    """Return the harness of a KBL file.

    Parameters
    ----------
    source
        Path of the file, or its bytes.
    name
        What the file is called in messages; by default the name of the path.
    modules
        Which modules are read, as `MODULES_HELP` says.

    Raises
    ------
    InputError
        One line: the file cannot be read, is not XML, not KBL, has a DOCTYPE, ends in the middle, is beyond the limits
        of `xml_tree`, or has no module of a name in `modules`.
    """
    data, name = _bytes_of(source, name)
    root = read_xml(data, name, _NOT_USED)
    if root.name != "KBL_container":
        about = _KNOWN_ROOTS.get(root.name, "no KBL file")
        what = f"the outermost element is <{root.name}>, not <KBL_container>: this is {about}"
        raise InputError([Problem(root.line, root.column, what, name)])
    report = Report(name)
    version = _version(root, report)
    harnesses = root.all("Harness")
    _check_harnesses(root, harnesses, report)
    index = Index(root, report)
    selection = select(harnesses, index, report, modules, name)
    context = Context(root, index, report, Units(index, report), selection, Names(report))
    find_scopes(context, harnesses)
    connectors = read_connectors(context)
    parts = read_boxes(context, connectors)
    read_mates(context, connectors)
    wires = read_wires(context, connectors)
    bundle = read_bundle(context, connectors)
    grounds = grounds_among(connectors.items, wires.conductors, at_fuses(parts))
    harness = Harness()
    rows = Builder(context, connectors, wires, bundle, parts, grounds, harness).build()
    _settings(harness, context, harnesses, name, version)
    _last_words(context, harnesses)
    return Imported(
        harness=harness,
        warnings=report.sorted(),
        totals=_totals(harness, connectors, rows),
        version=version,
        modules_chosen=selection.chosen,
        modules_in_file=selection.modules,
        rows=rows,
    )


def _bytes_of(source: Path | str | bytes, name: str | None) -> tuple[bytes, str]:
    if isinstance(source, bytes):
        return source, name or "the file"
    path = Path(source)
    name = name or path.name
    try:
        return path.read_bytes(), name
    except OSError as error:
        raise InputError([Problem(0, 0, f"{name} cannot be read: {error.strerror or error}")]) from error


def _version(root: Element, report: Report) -> str:
    version = root.attributes.get("version_id", "").strip()
    if not re.match(r"2\.[345](?!\d)", version):
        report.warn(
            root,
            f"the version '{version}' is none of 2.3, 2.4 and 2.5; the file is read as far as it is like them",
        )
    return version


def _check_harnesses(root: Element, harnesses: list[Element], report: Report) -> None:
    if not harnesses:
        report.warn(root, "the file has no Harness, only parts; there is nothing to draw")
    for other in harnesses[1:]:
        report.warn(other, "the file has more than one Harness; they are read as one")


def _settings(harness: Harness, context: Context, harnesses: list[Element], name: str, version: str) -> None:
    titles = [t for h in harnesses for t in (described(h), said(h, "Part_number")) if t]
    numbers = [n for h in harnesses if (n := said(h, "Part_number"))]
    note = f"imported from {name}, KBL {version}" + (f", harness {', '.join(numbers)}" if numbers else "")
    settings = replace(harness.settings, title=titles[0] if titles else name, note=note)
    volts = {
        float(found[1].replace(",", "."))
        for _, connection in context.occurrences("Connection")
        if (
            found := re.match(
                r"(\d+(?:[.,]\d+)?)\s*V?(?:DC)?$", said(connection, "Nominal_voltage") or "", re.I
            )
        )
    } - {0.0}
    if len(volts) == 1:
        settings = replace(settings, system_v=volts.pop())
    elif volts:
        listed = ", ".join(f"{v:g}" for v in sorted(volts))
        context.report.warn(
            None, f"the file has circuits of {listed} V; {settings.system_v:g} V is taken for all"
        )
    harness.tables["settings"][""] = settings


def _last_words(context: Context, harnesses: list[Element]) -> None:
    left = {word: sum(len(h.all(tag)) for h in harnesses) for tag, word in _NOT_TAKEN_OVER.items()}
    if any(left.values()):
        listed = ", ".join(f"{count} {word}" for word, count in left.items() if count)
        context.report.warn(None, f"not taken over: {listed}")
    changed = context.names.changed
    if changed:
        shown = ", ".join(f"'{old}' is {new}" for old, new in changed[:3])
        context.report.warn(
            None,
            f"{len(changed)} names could not be ids as they stand ({shown}); the file's are kept in known_as",
        )


def _totals(harness: Harness, connectors: Connectors, rows: tuple[WireRow, ...]) -> Totals:
    kept = [c for c in connectors.items if c.id in harness.halves]
    return Totals(
        halves=len(harness.halves),
        cavities=sum(len(c.cavities) for c in connectors.items),
        wires=len(rows),
        splices=len(harness.splices),
        grounds=len(harness.grounds),
        runs=len(harness.runs),
        wire_length_m=round(sum(row.length_mm or 0.0 for row in rows) / 1000.0, 6),
        rings_kept=sum(c.usage == "ring" for c in kept),
        box_halves=sum(c.element.name == "Component_box_connectors" for c in kept),
    )
