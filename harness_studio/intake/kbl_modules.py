"""Modules: a KBL file may hold every variant of a harness at once, and which of them is read is a choice."""

from __future__ import annotations

from dataclasses import dataclass

from harness_studio.base.errors import InputError, Problem, nearest

from .kbl_index import NOTHING, Index, Report, described, named, said
from .xml_tree import Element

MODULES_HELP = """\
Which modules of a harness file are read. A file may hold every variant at once; a module is a set of parts
and wires that are fitted together.
  all     everything in the file, also variants that exclude each other (the default)
  base    what every variant has: the parts that no module controls; modules without a condition; modules
          that every harness configuration of the file names; and a module that is the only one
  ID,...  the modules with these ids, part numbers or abbreviations, or those of a harness configuration so
          named, with the parts that no module controls; 'base' may stand among them
A wire whose connector is not in the chosen modules keeps an open end that says where it would go."""


@dataclass(frozen=True, slots=True)
class ModuleInfo:
    """One module of a file: how it can be named, what it is for, and how many things it controls."""

    id: str
    part_number: str | None
    abbreviation: str | None
    title: str | None
    family: str | None
    condition: str | None
    controls: int
    basic: bool

    def names(self) -> tuple[str, ...]:
        """Return what the module can be called by."""
        return tuple(n for n in (self.id, self.part_number, self.abbreviation) if n)

    def __str__(self) -> str:
        name = self.part_number or self.abbreviation or self.id
        return f"{name} ({self.title})" if self.title else name


@dataclass(frozen=True, slots=True)
class Selection:
    """The chosen modules, and with that which occurrences are read."""

    modules: tuple[ModuleInfo, ...]
    chosen: tuple[ModuleInfo, ...]
    _controlled: frozenset[str]
    _fitted: frozenset[str]

    def has(self, occurrence: Element) -> bool:
        """Tell whether an occurrence is read: a chosen module controls it, or none does."""
        return occurrence.id not in self._controlled or occurrence.id in self._fitted


def select(harnesses: list[Element], index: Index, report: Report, wanted: str, source: str) -> Selection:
    """Return what is read for `wanted`, which is as `MODULES_HELP` says.

    Raises
    ------
    InputError
        If a name is that of no module; the line lists those there are.
    """
    modules = [m for h in harnesses for m in (*h.all("Module"), *h.all("Module_configuration"))]
    configurations = [c for h in harnesses for c in h.all("Harness_configuration")]
    in_configurations = [index.refs(c, "Modules", "Module") for c in configurations]
    controls = {m: _controlled(m, index, report) for m in modules}
    everywhere = [m for m in modules if configurations and all(m in listed for listed in in_configurations)]
    infos = {m: _info(m, index, len(controls[m]), m in everywhere or len(modules) == 1) for m in modules}
    by_configuration = {
        name: listed
        for c, listed in zip(configurations, in_configurations, strict=True)
        for name in (c.id, said(c, "Part_number"), said(c, "Abbreviation"))
        if name
    }
    chosen = _choose(infos, by_configuration, wanted, source)
    _tell(report, modules, chosen, infos, wanted)
    return Selection(
        modules=tuple(infos.values()),
        chosen=tuple(infos[m] for m in modules if m in chosen),
        _controlled=frozenset(i for ids in controls.values() for i in ids),
        _fitted=frozenset(i for m in chosen for i in controls[m]),
    )


def _controlled(module: Element, index: Index, report: Report) -> frozenset[str]:
    own = [module, *module.all("Module_configuration")]
    ids = [
        i
        for c in own
        for text in c.all("Controlled_components")
        for i in text.text.split()
        if i not in NOTHING
    ]
    for missing in sorted(i for i in set(ids) if not index.candidates(i)):
        report.warn(module, f"{named(module)} controls '{missing}', which is nowhere in the file")
    return frozenset(ids)


def _info(module: Element, index: Index, controls: int, basic: bool) -> ModuleInfo:
    configuration = module.first("Module_configuration") or module
    condition = said(configuration, "Logistic_control_information")
    family = index.ref(module, "Of_family", "Module_families") if module.first("Of_family") else None
    return ModuleInfo(
        id=module.id,
        part_number=said(module, "Part_number"),
        abbreviation=said(module, "Abbreviation"),
        title=described(module),
        family=said(family, "Id"),
        condition=condition,
        controls=controls,
        basic=basic or condition is None,
    )


def _choose(
    infos: dict[Element, ModuleInfo], configurations: dict[str, list[Element]], wanted: str, source: str
) -> set[Element]:
    if wanted.strip().lower() == "all":
        return set(infos)
    chosen: set[Element] = set()
    for word in (w.strip() for w in wanted.split(",")):
        if not word:
            continue
        if word.lower() == "base":
            chosen |= {m for m, info in infos.items() if info.basic}
            continue
        found = {m for m, info in infos.items() if word in info.names()} | set(configurations.get(word, ()))
        if not found:
            raise InputError([Problem(0, 0, _no_such(word, infos, configurations), source)])
        chosen |= found
    return chosen


def _no_such(word: str, infos: dict[Element, ModuleInfo], configurations: dict[str, list[Element]]) -> str:
    known = [str(info) for info in infos.values()]
    names = [n for info in infos.values() for n in info.names()] + list(configurations)
    near = nearest(word, names)
    if not known:
        return f"there is no module '{word}': the file has none; leave the choice out"
    listed = ", ".join(known[:10]) + (f" and {len(known) - 10} more" if len(known) > 10 else "")
    return (
        f"there is no module '{word}'"
        + (f" (nearest is '{near}')" if near else "")
        + f"; the file has {listed}"
    )


def _tell(
    report: Report,
    modules: list[Element],
    chosen: set[Element],
    infos: dict[Element, ModuleInfo],
    wanted: str,
) -> None:
    if len(modules) < 2 and len(chosen) == len(modules):
        return
    listed = ", ".join(str(infos[m]) for m in modules if m in chosen) or "none"
    report.warn(None, f"modules '{wanted}': {len(chosen)} of {len(modules)} are read: {listed}")
    by_family: dict[str, list[str]] = {}
    for module in modules:
        family = infos[module].family
        if module in chosen and family:
            by_family.setdefault(family, []).append(str(infos[module]))
    for family, members in by_family.items():
        if len(members) > 1:
            report.warn(
                None,
                f"family {family}: {len(members)} modules are read together ({', '.join(members)}); "
                "they may exclude each other",
            )
