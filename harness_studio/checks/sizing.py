"""What a wire of another size would do: drop, heat, fuse and short circuit, one verdict each with its numbers."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import cache, cached_property

from harness_studio.electrics.heat.ampacity import Ampacity
from harness_studio.electrics.heat.cable import Cable
from harness_studio.model.entities import Wire
from harness_studio.model.parts import Part
from harness_studio.network.wires import area_mm2, length_mm
from harness_studio.standards import fuse_bands
from harness_studio.standards import wires as sizes
from harness_studio.standards.figures import NotJudged

from . import words
from .carrying import Carried, equal_free_air_a, worst_of
from .rules.fuse_load import style_of
from .rules.fuse_wire import weakest
from .scope import Scope, State
from .warmth import Asked

AWG_SIZES = (
    "24",
    "22",
    "20",
    "18",
    "16",
    "14",
    "12",
    "10",
    "8",
    "6",
    "4",
    "2",
    "1",
    "0",
    "2/0",
    "3/0",
    "4/0",
)
"""Gauge numbers that are sold, thinnest first (those of AC 43.13-1B table 11-9)."""


@dataclass(frozen=True, slots=True)
class Size:
    """A standard size: its area, and its gauge number where the wire is recorded by gauge."""

    area_mm2: float
    awg: str | None = None

    def __str__(self) -> str:
        return words.area(self.area_mm2) if self.awg is None else f"AWG {self.awg}"


@dataclass(frozen=True, slots=True)
class Verdict:
    """What one rule says of a wire of a size; `text` has the numbers, passed or not, `source` what they rest on."""

    rule: str
    ok: bool
    text: str
    source: str = ""


def sizes_for(wire: Wire) -> tuple[Size, ...]:
    """Return the standard sizes in the wire's own measure, thinnest first: mm² of ISO 6722, or AWG."""
    return _ladder(by_gauge=wire.area_mm2 is None and wire.awg is not None)


@cache
def _ladder(*, by_gauge: bool) -> tuple[Size, ...]:
    if by_gauge:
        return tuple(Size(sizes.area_from_awg_mm2(awg), awg) for awg in AWG_SIZES)
    return tuple(Size(area) for area in sizes.standard_sizes_mm2())


def size_of(wire: Wire) -> Size | None:
    """Return the size a wire is recorded with."""
    area = area_mm2(wire)
    return None if area is None else Size(area, wire.awg if wire.area_mm2 is None else None)


_NOTHING = (0.0, "carries no current in any mode", True, "")


class Trial:
    """A wire with everything around it as it is, tried in other sizes.

    Parameters
    ----------
    scope
        The solved harness.
    wire
        The wire; its length must be known.
    fuse
        The fuse before it with the rating it is to have, or None.
    """

    def __init__(self, scope: Scope, wire: Wire, fuse: tuple[Part, float] | None) -> None:
        self.scope = scope
        self.wire = wire
        self.fuse = fuse
        length = length_mm(scope.harness, wire)
        if length is None:
            raise ValueError(f"the length of {wire.id} is not known")
        self.length_m = length / 1000.0
        self._drops: dict[tuple[float, str | None], float] = {}
        self._cables: dict[float, Cable] = {}
        self._verdicts: dict[Size, tuple[Verdict, ...]] = {}
        self._passes: dict[Size, bool] = {}

    def cable(self, size: Size) -> Cable:
        """Return the wire in a size."""
        if size.area_mm2 not in self._cables:
            self._cables[size.area_mm2] = Cable(size.area_mm2, self.wire.insulation, self.wire.material)
        return self._cables[size.area_mm2]

    def passes(self, size: Size) -> bool:
        """Tell whether a size passes every rule that looks at the wire alone; the first that fails it is enough."""
        if size not in self._passes:
            judged = self._verdicts.get(size) or self._judged(size)
            self._passes[size] = all(v.ok for v in judged)
        return self._passes[size]

    def asked(self, seen: set[Asked]) -> Iterator[Asked]:
        """Yield the temperatures that the drops of all sizes rest on, to be worked out together (`Warmth`).

        `seen` keeps the thinnest of what was asked: with a current that it knows no size is asked again.
        """
        ladder = sizes_for(self.wire)
        for _, row in self.rows:
            if abs(row.amperes) > 0.0:
                one = self._asked(ladder[0], row)
                if one not in seen:
                    seen.add(one)
                    for size in ladder:
                        yield Asked(self.cable(size), one.amperes, one.ambient_c, one.limit_c, one.for_s)

    @cached_property
    def rows(self) -> list[tuple[State, Carried]]:
        """What the wire carries in each mode."""
        return [(state, state.wires[self.wire.id]) for state in self.scope.states]

    def drop_v(self, size: Size, state: State, row: Carried) -> float:
        """Return what the wire would lose in a mode, at the temperature to which it would come."""
        if not abs(row.amperes) > 0.0:
            return 0.0
        key = size.area_mm2, state.mode
        if key not in self._drops:
            self._drops[key] = self._drop_at(size, row)
        return self._drops[key]

    def _drop_at(self, size: Size, row: Carried) -> float:
        cable = self.cable(size)
        celsius = self.scope.warmth.of(self._asked(size, row))
        warm = 1.0 + cable.alpha_per_k * (celsius - 20.0)
        return abs(row.amperes) * cable.resistance.value * self.length_m * warm

    def _asked(self, size: Size, row: Carried) -> Asked:
        # Three digits are enough for a temperature, and let wires of one circuit share it.
        amperes = float(f"{abs(row.amperes):.3g}")
        cable = self.cable(size)
        return Asked(cable, amperes, row.around.ambient_c, cable.limit_c or 85.0, row.for_s)

    def verdicts(self, size: Size) -> tuple[Verdict, ...]:
        """Return the verdict of each rule on a size: strength, drop, heat, fuse, withstand, short circuit."""
        if size not in self._verdicts:
            self._verdicts[size] = tuple(self._judged(size))
        return self._verdicts[size]

    def _judged(self, size: Size) -> Iterator[Verdict]:
        least = self.scope.limits["least_area_mm2"]
        if least.value is not None:
            text = (
                f"is thinner than {words.area(least.value)}"
                if size.area_mm2 < least.value * 0.98
                else "is strong enough"
            )
            yield Verdict("least_area", size.area_mm2 >= least.value * 0.98, text, least.backing)
        yield self._drop(size)
        yield self._heat(size)
        if self.fuse is not None:
            yield from self._fuse(size, *self.fuse)

    def _drop(self, size: Size) -> Verdict:
        worst: tuple[float, str, bool, str] = _NOTHING
        for state, row in self.rows:
            limit = self.scope.limits["starter_wire_drop_v" if state.cranking else "wire_drop_v"]
            drop_v = self.drop_v(size, state, row)
            if limit.value is not None and drop_v / limit.value > worst[0]:
                text = f"loses {words.volts(drop_v)} at {words.amps(row.amperes)}, {words.volts(limit.value)} at most"
                worst = drop_v / limit.value, text, drop_v <= limit.value, limit.backing
        return Verdict("wire_drop", worst[2], worst[1], worst[3])

    def _heat(self, size: Size) -> Verdict:
        worst: tuple[float, str, bool, str] = _NOTHING
        for state, row in self.rows:
            may = self.may(size, row)
            if isinstance(may, NotJudged):
                return Verdict("heat_not_judged", False, f"is not judged: {may.why}")
            used = abs(row.amperes) / may.figure.value
            if used > worst[0]:
                bears = state.cranking and self._bears(size, row, may)
                most = f"{words.amps(may.figure.value)} ({may.figure.method})"
                text = f"carries {words.amps(row.amperes)} and may carry {most}"
                text += " for as long as one cranks" if bears else ""
                worst = used, text, used <= 1.0 or bears, may.figure.backing
        return Verdict("wire_ampacity", worst[2], worst[1], worst[3])

    def may(self, size: Size, row: Carried) -> Ampacity | NotJudged:
        """Return what the wire may carry in a size where it lies, its company as it is."""
        company = [(row.around.in_run, row.around.share)]
        return worst_of(self.cable(size), row.around.ambient_c, company, self.scope.how)[1]

    def _bears(self, size: Size, row: Carried, may: Ampacity) -> bool:
        cable = self.cable(size)
        equal = equal_free_air_a(row.amperes, may, may.steps[0])
        crank_s = self.scope.limits.value("crank_s")
        asked = Asked(cable, equal, row.around.ambient_c, may.limit_c, crank_s)
        return self.scope.warmth.of(asked) <= may.limit_c

    def _fuse(self, size: Size, fuse: Part, rated_a: float) -> Iterator[Verdict]:
        row = self.scope.least[self.wire.id]
        may = self.may(size, row)
        title = f"{fuse.id} ({rated_a:g} A)"
        if isinstance(may, NotJudged):
            return
        amperes = may.figure.value
        text = f"may carry {words.amps(amperes)} behind {title}"
        yield Verdict("fuse_wire", rated_a <= amperes, text, may.figure.backing)
        style = style_of(fuse)
        if style is None or not self.scope.shorts.judged:
            yield Verdict(
                "fuse_not_judged", False, f"is not judged behind {title}: its style has no time band"
            )
            return
        shorts, branch = self.scope.shorts, self.scope.wire_branch[self.wire.id]
        back = self.wire.id not in self.scope.protection.fuses_of
        near_a = shorts.return_a(self.wire.id, fuse.id) if back else shorts.near_a(branch)
        tried = replace(fuse, ratings=replace(fuse.ratings, rated_a=rated_a))
        found = weakest(style, tried, replace(row, cable=self.cable(size)), near_a)
        if isinstance(found, NotJudged):
            yield Verdict("fuse_not_judged", False, f"is not judged behind {title}: {found.why}")
        else:
            text = (
                f"bears {words.amps(found.amperes)} for {words.seconds(found.withstands.value)}, {title} may take "
                f"{words.seconds(found.clears.value)}"
            )
            yield Verdict(
                "fuse_withstand", found.ok, text, f"{found.clears.backing} | {found.withstands.backing}"
            )
        if not back:
            yield self._short(size, fuse, style, rated_a)

    def _short(self, size: Size, fuse: Part, style: str, rated_a: float) -> Verdict:
        limit = self.scope.limits["fuse_clear_s"]
        shorts, branch = self.scope.shorts, self.scope.wire_branch[self.wire.id]
        present_a = shorts.far_a(branch, fuse.id)
        now_ohm = float(self.scope.network.branches.resistance_ohm[branch])
        then_ohm = self.cable(size).resistance.value * self.length_m
        whole = shorts.rest_v / present_a if present_a else math.inf
        draws = shorts.rest_v / (whole - now_ohm + then_ohm) if math.isfinite(whole) else 0.0
        band = fuse_bands.band(style, rated_a, draws)
        if isinstance(band, NotJudged):
            return Verdict("fuse_short", False, band.why)
        text = f"draws {words.amps(draws)} in a dead short at its far end, cleared in {words.seconds(band.longest_s)}"
        ok = limit.value is None or band.longest_s <= limit.value
        return Verdict("fuse_short", ok, text, f"{fuse_bands.METHOD}: {band.source} | {limit.backing}")
