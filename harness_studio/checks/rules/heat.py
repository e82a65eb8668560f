"""Heat: does each wire stay within what it may carry and within what its insulation bears."""

from __future__ import annotations

from collections.abc import Iterator

from harness_studio.checks import words
from harness_studio.checks.carrying import Carried
from harness_studio.checks.finding import Finding, finding
from harness_studio.checks.scope import Scope, State
from harness_studio.electrics.heat.ampacity import Ampacity
from harness_studio.standards import insulation
from harness_studio.standards.figures import NotJudged

_METHOD = "heat balance"
_BALANCE = (
    "heat balance in still air (Churchill and Chu 1975, radiation); a run's other wires as more current"
)


def ampacity(scope: Scope, state: State) -> Iterator[Finding]:
    """Find wires that carry more than their ampacity, by the user's method; starters only for the time they crank."""
    for row in state.wires.values():
        if isinstance(row.may, NotJudged) or abs(row.amperes) <= row.may.figure.value:
            continue
        if state.cranking and bears(row):
            continue
        may = row.may.figure
        warm = (
            "" if row.steady_c is None else f"; it {_comes_to(row)}, its insulation bears {row.limit_c:g} °C"
        )
        cable = scope.harness.wires[row.wire]
        yield finding(
            "wire_ampacity",
            "stop",
            [row.wire],
            f"{row.wire} ({words.size(cable)}) carries {words.amps(row.amperes)} and may carry {words.amps(may.value)} "
            f"({_where(row)}){warm}",
            value=abs(row.amperes),
            limit=may.value,
            unit="A",
            figures=[may],
            remedy="a thicker wire, less load, or a way through cooler air with fewer wires beside it",
        )


def temperature(scope: Scope, state: State) -> Iterator[Finding]:
    """Find wires whose temperature comes close to what their insulation bears, or above it.

    It is the temperature that settles, while cranking the one at the end of that.
    """
    margin = scope.limits["heat_margin_k"]
    room_k = margin.value or 0.0
    for row in state.wires.values():
        if row.steady_c is None or row.limit_c is None or isinstance(row.may, NotJudged):
            continue
        over = row.steady_c > row.limit_c
        # Above the ampacity the other rule says it, with the temperature.
        told = abs(row.amperes) > row.may.figure.value and not (state.cranking and bears(row))
        if told or not (over or (abs(row.amperes) > 0.0 and row.steady_c > row.limit_c - room_k)):
            continue
        yield finding(
            "wire_temperature",
            "stop" if over else "note",
            [row.wire],
            f"{row.wire} {_comes_to(row)} with {words.amps(row.amperes)} in air of "
            f"{row.around.ambient_c:g} °C; its insulation {row.cable.insulation} bears {row.limit_c:g} °C",
            value=row.steady_c,
            limit=row.limit_c,
            unit="°C",
            source=f"{_insulation_source(row)} | {_BALANCE}"
            + ("" if over else f" | limit {margin.name}: {margin.source}"),
            sureness="computed" if over else margin.sureness,
            method=_METHOD,
            remedy="a thicker wire, an insulation of a higher class, or a cooler way",
        )


def surroundings(scope: Scope, state: State) -> Iterator[Finding]:
    """Find wires that lie in air hotter than their insulation bears, whatever they carry."""
    del scope
    for row in state.wires.values():
        if row.limit_c is not None and row.around.ambient_c >= row.limit_c:
            yield finding(
                "wire_in_hot_air",
                "stop",
                [row.wire],
                f"{row.wire} passes air of {row.around.ambient_c:g} °C; its insulation {row.cable.insulation} bears "
                f"{row.limit_c:g} °C, so no ampacity is left to judge",
                value=row.around.ambient_c,
                limit=row.limit_c,
                unit="°C",
                source=_insulation_source(row),
                sureness=_insulation_sureness(row),
                method="temperature class",
                remedy="an insulation of a higher class, or a cooler way",
            )


def not_judged(scope: Scope, state: State) -> Iterator[Finding]:
    """Find wires whose heat cannot be judged, and say why: nothing passes in silence."""
    for row in state.wires.values():
        if not isinstance(row.may, NotJudged) or not row.sized:
            continue  # that the size is lacking is told by the rule for what was assumed
        if row.limit_c is not None and row.around.ambient_c >= row.limit_c:
            continue
        yield finding(
            "heat_not_judged",
            "note",
            [row.wire],
            f"heat of {row.wire}{_fused(scope, row)} not judged: {row.may.why}",
            method="not judged",
            source="what the wire's record lacks, or the tables do not hold",
            remedy="write the insulation's name on the wire as the trade has it, such as TXL, GXL or PVC 105"
            if row.limit_c is None
            else "another method, or a run with fewer wires",
            alike=f"heat{_fused(scope, row)} not judged: {row.may.why}",
        )


def _fused(scope: Scope, row: Carried) -> str:
    return ", and whether its fuse protects it," if scope.protection.before(row.wire) else ""


def bears(row: Carried) -> bool:
    """Tell whether a wire is still within what its insulation bears at the end of the time its current flows."""
    return row.limit_c is not None and row.steady_c is not None and row.steady_c <= row.limit_c


def _comes_to(row: Carried) -> str:
    """Return what becomes of a wire: 'settles at 71 °C', 'reaches 71 °C within 30 s'."""
    if row.for_s is None:
        return f"settles at {_celsius(row)}"
    return f"reaches {_celsius(row)} within {row.for_s:g} s"


def _celsius(row: Carried) -> str:
    assert row.steady_c is not None
    assert row.limit_c is not None
    above = row.steady_c >= row.limit_c + 100.0 - 0.05
    return f"no safe temperature, above {row.steady_c:.0f} °C" if above else f"{row.steady_c:.0f} °C"


def _where(row: Carried) -> str:
    may = row.may
    assert isinstance(may, Ampacity)
    here = f"{may.figure.method}, {row.cable.insulation} {may.limit_c:g} °C in air of {row.around.ambient_c:g} °C"
    if row.around.in_run > 1:
        here += f", {row.around.in_run} wires in the run at {row.around.share:.0%} of capacity"
    return here


def _insulation_source(row: Carried) -> str:
    known = insulation.temperature_class(row.cable.insulation or "")
    return known.source if known else ""


def _insulation_sureness(row: Carried) -> str:
    known = insulation.temperature_class(row.cable.insulation or "")
    return known.sureness if known else ""
