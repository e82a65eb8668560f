"""Single numbers of solutions and readings; a test fails where there is none."""

from collections.abc import Mapping

from harness_studio.electrics.readings import Reading
from harness_studio.electrics.solution import Solution


def amperes(solution: Solution, *parts: str) -> float:
    """Return the sum of what parts take; one that is not in the mode takes nothing."""
    found = dict(solution.parts())
    return sum(max(abs(i) for i in found[p].terminals.values()) for p in parts if p in found)


def volts(solution: Solution, plus: str, minus: str) -> float:
    """Return the volts between two points."""
    first, second = solution.volt(plus), solution.volt(minus)
    assert first is not None
    assert second is not None
    return first - second


def value(read: Mapping[str, Reading], key: str) -> float:
    """Return what a reading shows."""
    found = read[key].value
    assert found is not None
    return found
