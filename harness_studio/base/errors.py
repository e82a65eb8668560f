"""Errors that a person reads: one line each, saying what, where, and what would be right."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass


@dataclass(frozen=True, slots=True, order=True)
class Problem:
    """One thing that is wrong with an input.

    Parameters
    ----------
    line, column
        Place in the file, counted from 1; 0 where the problem has no place in a text.
    what
        One sentence: what was found and what would be right.
    source
        Name of the file as the user gave it; empty where there is none.
    """

    line: int
    column: int
    what: str
    source: str = ""

    def __str__(self) -> str:
        if not self.source:
            return self.what
        if not self.line:
            return f"{self.source}: {self.what}"
        return f"{self.source}:{self.line}:{self.column}: {self.what}"


class HarnessError(Exception):
    """Base of all errors that are reported to the user as they stand."""


class InputError(HarnessError):
    """An input that cannot be used; holds every problem that was found in it."""

    def __init__(self, problems: Iterable[Problem]) -> None:
        self.problems = tuple(sorted(problems))
        super().__init__("\n".join(str(p) for p in self.problems))


class EditError(HarnessError):
    """An edit that the harness does not allow; nothing was changed."""


class AddressError(HarnessError):
    """An address (point, joint, element) that is malformed or names nothing in this harness."""


class SolveError(HarnessError):
    """A network that has no solution; names the element and the iteration."""

    def __init__(self, what: str, *, element: str | None = None, iteration: int | None = None) -> None:
        self.element = element
        self.iteration = iteration
        super().__init__(what)


def nearest(word: str, known: Iterable[str]) -> str | None:
    """Return the known word nearest to `word`, or None if none is near.

    Nearness is `difflib`'s ratio with a cut-off of 0.6.
    """
    import difflib

    found = difflib.get_close_matches(word, list(known), n=1, cutoff=0.6)
    return found[0] if found else None
