"""What every part of the KBL reader leans on: warnings with their place, texts, references, and new ids."""

from __future__ import annotations

import re
from collections.abc import Iterable

from harness_studio.base.errors import Problem
from harness_studio.base.ids import clean_id, is_name

from .xml_tree import Element

NOTHING = frozenset({"", "/NULL"})
"""Texts that the format uses for 'not provided' and 'not known'."""


class Report:
    """Collects warnings, each once."""

    def __init__(self, source: str) -> None:
        self.source = source
        self._problems: dict[Problem, None] = {}

    def warn(self, at: Element | None, what: str) -> None:
        """Note something doubtful at an element, or about the file as a whole."""
        line, column = (at.line, at.column) if at else (0, 0)
        self._problems[Problem(line, column, what, self.source)] = None

    def sorted(self) -> tuple[Problem, ...]:
        """Return the warnings: those about the whole file first, then by place."""
        return tuple(sorted(self._problems))


def named(element: Element) -> str:
    """Return an element as warnings name it: <Segment 'id_7'>."""
    kind = element.name if element.kind == element.name else f"{element.name} {element.kind}"
    return f"<{kind} '{element.id}'>" if element.id else f"<{kind}>"


def said(element: Element | None, name: str | None = None) -> str | None:
    """Return the text of an element, or of its child `name`, on one line; None where it says nothing."""
    if element is not None and name is not None:
        element = element.first(name)
    if element is None:
        return None
    text = " ".join(element.text.split())
    return None if text.upper() in NOTHING else text


def described(element: Element | None) -> str | None:
    """Return the description of an element, or its first description in any language; None without a letter in it."""
    if element is None:
        return None
    texts = [said(element, "Description")]
    texts += [said(local, "Value") for local in element.all("Localized_description")]
    return next((t for t in texts if t and any(c.isalnum() for c in t)), None)


class Index:
    """Finds elements by their XML id; ids need not be unique."""

    def __init__(self, root: Element, report: Report) -> None:
        self.report = report
        self._by_id: dict[str, list[Element]] = {}
        for element in root.below():
            if element.id:
                self._by_id.setdefault(element.id, []).append(element)
        for xml_id, found in self._by_id.items():
            for other in found[1:]:
                self.report.warn(
                    other,
                    f"the id '{xml_id}' of {named(other)} is already that of {named(found[0])}, line {found[0].line}; "
                    "both are kept, and a reference means the first that fits",
                )

    def candidates(self, xml_id: str) -> list[Element]:
        """Return every element with an id."""
        return self._by_id.get(xml_id, [])

    def refs(self, element: Element, name: str, *names: str) -> list[Element]:
        """Return the elements that the child `name` refers to: those called one of `names`, else with a warning.

        A reference that leads nowhere, or to another kind of thing, is a warning and left out.
        """
        found = []
        for child in element.all(name):
            for xml_id in child.text.split():
                target = self._pick(child, element, xml_id, names)
                if target is not None:
                    found.append(target)
        return found

    def ref(self, element: Element, name: str, *names: str) -> Element | None:
        """Return the one element that the child `name` refers to, or None."""
        found = self.refs(element, name, *names)
        if len(found) > 1:
            self.report.warn(element, f"{named(element)} names {len(found)} in {name}; the first is taken")
        return found[0] if found else None

    def _pick(self, child: Element, owner: Element, xml_id: str, names: tuple[str, ...]) -> Element | None:
        if xml_id.upper() in NOTHING:
            return None
        there = self.candidates(xml_id)
        fits = next((e for e in there if e.name in names), None)
        if fits is None:
            wanted = " or ".join(f"<{n}>" for n in names)
            instead = f"is {named(there[0])}, line {there[0].line}" if there else "is nowhere in the file"
            self.report.warn(
                child,
                f"{child.name} of {named(owner)} refers to '{xml_id}', which {instead}; wanted is {wanted}",
            )
        return fits


class Names:
    """Makes ids of the project out of the file's: distinct, without signs that have a meaning in addresses."""

    def __init__(self, report: Report, taken: Iterable[str] = ()) -> None:
        self._report = report
        self._taken = set(taken)
        self._first_line: dict[str, int] = {}
        self._next: dict[str, int] = {}
        self.changed: list[tuple[str, str]] = []

    def claim(
        self, original: str | None, at: Element, what: str, *, prefix: str = ""
    ) -> tuple[str, str | None]:
        """Return (new id, what it is known as in the file, or None if that is the id).

        Parameters
        ----------
        original
            The file's name of the thing; None where it has none.
        at, what
            The element, and the word for such a thing, for warnings.
        prefix
            Put before a name that does not begin with a letter, and the whole name of a thing without one.
        """
        if original is None:
            self._report.warn(at, f"{named(at)} has no name; it is called after its kind")
            return self.make(prefix or what), None
        if original in self._first_line:
            self._report.warn(
                at,
                f"the {what} '{original}' is there twice, first in line {self._first_line[original]}; both are kept",
            )
        new = self.another(clean_id(original if original[0].isalpha() else prefix + original))
        self._first_line.setdefault(original, at.line)
        if new == original:
            return new, None
        self.changed.append((original, new))
        return new, original

    def make(self, prefix: str) -> str:
        """Return a new id for a thing that the file does not name: 'W-1', which no name of a file is likely to be."""
        return self._free(prefix, "-", 1)

    def another(self, base: str) -> str:
        """Return an id that is free: `base`, or `base` with a number."""
        if base in self._taken:
            return self._free(base, "_", 2)
        self._taken.add(base)
        return base

    def _free(self, base: str, joined_by: str, first: int) -> str:
        """Return `base` with the next free number; the search goes on where the last one for it ended."""
        number = self._next.get(base + joined_by, first)
        while (new := f"{base}{joined_by}{number}") in self._taken:
            number += 1
        self._next[base + joined_by] = number + 1
        self._taken.add(new)
        return new


def cavity_name(text: str | None, taken: Iterable[str]) -> str:
    """Return a name for a cavity or terminal: the file's where it can be one, distinct from those taken."""
    known = set(taken)
    base = re.sub(r"[\s.@/:,\[\]{}]+", "_", text).strip("_") if text else ""
    if not base:
        number = len(known) + 1
        while str(number) in known:
            number += 1
        return str(number)
    assert is_name(base)
    name, number = base, 2
    while name in known:
        name, number = f"{base}_{number}", number + 1
    return name
