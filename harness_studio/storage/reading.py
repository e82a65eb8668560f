"""What every reader of nodes uses: the list of problems found so far, and where in the file the reading stands."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import Any, Final

from harness_studio.base.errors import Problem, nearest

from .nodes import Node, Scalar, column_of, line_of, shown


class _Bad:
    """The value of what could not be read; its problem is noted already."""

    def __repr__(self) -> str:
        return "BAD"


BAD: Final = _Bad()

_OTHER_WORDS: dict[str, tuple[str, ...]] = {
    "size": ("area_mm2", "awg"),
    "area": ("area_mm2", "awg"),
    "section": ("area_mm2", "awg"),
    "gauge": ("awg",),
    "color": ("colour",),
    "length": ("length_mm",),
    "from": ("ends",),
    "to": ("ends",),
    "name": ("title",),
    "label": ("title",),
    "volts": ("rated_v",),
    "voltage": ("rated_v", "system_v"),
    "amps": ("rated_a",),
    "current": ("rated_a",),
    "watts": ("rated_w",),
    "power": ("rated_w",),
    "resistance": ("ohm", "mohm"),
}
"""Words people write instead of a key, where the spelling is not near."""


class Reader:
    """Collects problems. `path` names the entry and key that is being read."""

    __slots__ = ("path", "problems", "source")

    def __init__(self, source: str) -> None:
        self.source = source
        self.path: list[str] = []
        self.problems: list[Problem] = []

    def note(self, node: Node, what: str, path: Iterable[str] | None = None) -> _Bad:
        """Note a problem at a node, named by the path, and return BAD."""
        where = " ".join(self.path if path is None else path)
        line = f"{where}: {what}" if where else what
        self.problems.append(Problem(line_of(node), column_of(node), line, self.source))
        return BAD

    def wanted(self, node: Node, wanted: str, advice: str = "") -> _Bad:
        """Note that a node holds something else than what is wanted."""
        return self.note(node, f"found {shown(node)}; wanted {wanted}" + (f"; {advice}" if advice else ""))

    def unknown_key(self, node: Scalar, known: Iterable[str]) -> _Bad:
        """Note a key that is not known here, with the nearest that is."""
        return self.note(node, f"unknown key '{node.text}'" + suggestion(node.text, list(known)))


def suggestion(word: str, known: list[str]) -> str:
    """Return the end of a message: which known word was probably meant, or all of them."""
    meant = [k for k in _OTHER_WORDS.get(word.lower(), ()) if k in known]
    if meant == ["area_mm2", "awg"]:
        return "; a size names its unit: write area_mm2 (mm²) or awg"
    near = nearest(word, known) if not meant else " or ".join(meant)
    if near:
        return f"; nearest known: {near}"
    return f"; known here: {', '.join(known)}"


Decoder = Callable[[Node, Reader], Any]
"""Returns the value of a node, or BAD after noting why there is none."""
