"""A finding: one sentence a workshop person understands, its numbers, the limit, where that is from, what to do."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from harness_studio.standards import provenance
from harness_studio.standards.figures import Figure

from .faults import fault
from .limits import Limit

Grade = Literal["stop", "mend", "note"]
GRADES: tuple[Grade, ...] = ("stop", "mend", "note")
"""stop: not to be used like this; mend: outside a limit; note: to know, or not judged."""

SURE = {
    "seen2": "read on two pages or more",
    "seen1": "read on one page",
    "memory": "from memory",
    "common practice, no source": "common practice, no source",
}
"""How sure a source is, in words; of what is computed nothing is said."""


@dataclass(frozen=True, slots=True)
class Finding:
    """What a rule has to say.

    Parameters
    ----------
    rule
        Id of the rule.
    grade
        One of `GRADES`.
    ids
        What it is about, the thing itself first: ids of entities, or addresses of points and joints.
    text
        One sentence with the numbers and their units.
    value, limit, unit
        What was found and what is allowed, in one unit; None where there is no number.
    source, sureness
        Where limit and figure are from, and how sure the less sure of them is (`provenance.SURENESS`).
    method
        How the value was found.
    remedy
        What to do about it.
    mode
        Mode in which it was found (the worst one); None where it holds in any.
    also_in
        Other modes in which it holds.
    alike
        What several findings of one kind have in common, in words that follow 'on 12 wires'; they are told as one.
    because
        Keys of graver findings that explain it: mended, they take it away. It is told with them.
    brings
        Keys of the findings that this one explains.
    also_of
        Things that the same sentence holds for, where several findings are told as one.
    accepted
        The user's reason for leaving it, None where nobody accepted it.
    """

    rule: str
    grade: Grade
    ids: tuple[str, ...]
    text: str
    value: float | None = None
    limit: float | None = None
    unit: str = ""
    source: str = ""
    sureness: str = ""
    method: str = ""
    remedy: str = ""
    mode: str | None = None
    also_in: tuple[str, ...] = ()
    alike: str = ""
    because: tuple[str, ...] = ()
    brings: tuple[str, ...] = ()
    also_of: tuple[str, ...] = ()
    accepted: str | None = None

    @property
    def key(self) -> str:
        """How the file names it where it is accepted: RULE/ID."""
        return f"{self.rule}/{self.ids[0]}" if self.ids else self.rule

    @property
    def keys(self) -> tuple[str, ...]:
        """The keys of all that is told by it."""
        return (self.key, *(f"{self.rule}/{one}" for one in self.also_of))

    @property
    def sentence(self) -> str:
        """The text with the modes it holds in, and what comes of it."""
        text = self.text
        if self.mode is not None:
            also = f"; also {', '.join(self.also_in)}" if self.also_in else ""
            text = f"{text} (mode {self.mode}{also})"
        return f"{text}. {self.comes_of_it}" if self.comes_of_it else text

    @property
    def comes_of_it(self) -> str:
        """The findings that this one explains, 'From it come: ...'; '' for none."""
        same = {f"{rule}/{self.ids[0]}" for rule in _OF_A_JOINT} if self.ids else set()
        brings = [key for key in self.brings if key not in same]
        return f"From it come: {_listed_by_rule(brings)}" if brings else ""

    @property
    def backing(self) -> str:
        """Method, sources and sureness as one line."""
        sure = SURE.get(self.sureness, "")
        said = f"{self.method}: {self.source}" if self.source else self.method
        return said if not sure or sure in self.source else f"{said} ({sure})"

    @property
    def excess(self) -> float:
        """How far the value is beyond its limit, as a ratio above 1; 0 where one of them is missing."""
        if self.value is None or self.limit is None:
            return 0.0
        low, high = sorted((abs(self.value), abs(self.limit)))
        return high / low if low else float("inf")


_OF_A_JOINT = ("joint_drop", "contact_drop", "joint_poor")
"""Rules that say of a joint what its own finding has said."""


def _listed_by_rule(keys: Sequence[str]) -> str:
    """Return keys grouped: 'load loses too much on its return (E11, E12); joint found poor (GP9)'."""
    by: dict[str, list[str]] = {}
    for key in keys:
        rule, _, one = key.partition("/")
        by.setdefault(rule, []).append(one)
    return "; ".join(f"{fault(rule)} ({', '.join(ones)})" for rule, ones in by.items())


def finding(
    rule: str,
    grade: Grade,
    ids: Sequence[str],
    text: str,
    *,
    value: float | None = None,
    limit: Limit | float | None = None,
    unit: str = "",
    figures: Sequence[Figure] = (),
    source: str = "",
    sureness: str = "",
    method: str = "",
    remedy: str = "",
    alike: str = "",
    because: Sequence[str] = (),
) -> Finding:
    """Return a finding whose source, sureness and method are those of its limit and of the figures it rests on.

    Parameters
    ----------
    limit
        A limit of the set in force, which brings its unit and source, or a number.
    figures
        What the value or a numeric limit was read from.
    source, sureness, method
        Where neither limit nor figures say it, or on top of them.

    The other parameters are those of `Finding`.
    """
    sources, sure = [source] if source else [], sureness
    if isinstance(limit, Limit):
        sources.append(limit.backing)
        sure = _lower(sure, limit.sureness)
        unit = unit or limit.unit
    for figure in figures:
        sources.append(figure.backing)
        sure = _lower(sure, figure.sureness)
        method = method or figure.method
    return Finding(
        rule=rule,
        grade=grade,
        ids=tuple(ids),
        text=text,
        value=value,
        limit=limit.value if isinstance(limit, Limit) else limit,
        unit=unit,
        source=" | ".join(dict.fromkeys(sources)),
        sureness=sure or "computed",
        method=method or "rule",
        remedy=remedy,
        alike=alike,
        because=tuple(because),
    )


def _lower(first: str, second: str) -> str:
    return provenance.lower(first, second) if first else second
