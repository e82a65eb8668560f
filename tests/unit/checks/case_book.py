"""What each rule must find and must not find, written down by hand before the rules ran. Harnesses are invented."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from harness_studio.checks.finding import Finding
from harness_studio.model.harness import Harness

Change = Callable[[Harness], None]
Expected = frozenset[tuple[str, str, str]]


@dataclass(frozen=True)
class Case:
    """A way to spoil the sound harness, and all that one rule finds then: (finding's rule, grade, first id)."""

    rule: str
    name: str
    change: Change
    expected: Expected
    says: tuple[str, ...] = ()

    def content(self, found: Sequence[Finding]) -> bool:
        """Tell whether the findings of the rule are those expected, and say what is expected of them."""
        told = "\n".join(_told(f) for f in found)
        return {(f.rule, f.grade, f.ids[0] if f.ids else "") for f in found} == self.expected and all(
            words in told for words in self.says
        )


def _told(found: Finding) -> str:
    numbers = [
        f"{word} {value:.3g} {found.unit}"
        for word, value in (("found", found.value), ("limit", found.limit))
        if value is not None
    ]
    because = f" | because {' '.join(found.because)}" if found.because else ""
    return f"{found.sentence} | {', '.join(numbers)} | {found.remedy} | {' '.join(found.ids)}{because}"


W1 = ("fuse_missing", "note", "W1")
CASES: list[Case] = []


def case(
    rule: str, *expected: tuple[str, str, str], says: tuple[str, ...] = ()
) -> Callable[[Change], Change]:
    """Take a function that spoils a harness as a case of a rule; without `expected` the rule stays content.

    `says` are words of the findings: of the sentence, the numbers ('found 4 A, limit 3 A'), the remedy, the ids.
    """

    def add(change: Change) -> Change:
        CASES.append(Case(rule, change.__name__, change, frozenset(expected), says))
        return change

    return add
