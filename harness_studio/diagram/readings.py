"""What a symbol shows of the present state: volts, amperes and readings in words, needles and light drawn."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from typing import TYPE_CHECKING, TypeVar

from harness_studio.drawing.glyph import Reading as Glyph

from .words import amperes, volts

if TYPE_CHECKING:
    from harness_studio.electrics.readings import Reading
    from harness_studio.electrics.solution import PartResult, Solution

    from .scene import Scene

    Readings = Mapping[str, Reading]

_STILL_A = 0.0005
NEEDLE_STEP, LIGHT_STEP = 0.005, 0.01
"""Steps in which needles and light are drawn: finer cannot be seen, and strokes are kept by what they show."""
DIFFERS = 0.02
"""Part of a scale from which a needle is told to stand off its clean place."""
STATES = ("relay", "starter", "stabiliser", "converter", "alternator", "dynamo")


T = TypeVar("T")


class Later(Mapping[str, T]):
    """What is said or drawn of each symbol, worked out when it is first looked at: from afar it never is."""

    def __init__(self, make: Callable[[], Mapping[str, T]]) -> None:
        self._make = make
        self._made: Mapping[str, T] | None = None

    @property
    def _all(self) -> Mapping[str, T]:
        if self._made is None:
            self._made = self._make()
        return self._made

    def __getitem__(self, key: str) -> T:
        return self._all[key]

    def __iter__(self) -> Iterator[str]:
        return iter(self._all)

    def __len__(self) -> int:
        return len(self._all)


def readings(
    scene: Scene, solution: Solution, now: Readings | None = None, clean: Readings | None = None
) -> dict[str, str]:
    """Return what is written with each symbol that has a place for it."""
    found: dict[str, str] = {
        e.part: "off" for e in solution.network.elements if e.state == "off" and e.part in scene.readings
    }
    own: dict[str, list[tuple[str, Reading]]] = {}
    for key, reading in (now or {}).items():
        own.setdefault(reading.id.split("/", 1)[0], []).append((key, reading))
    for part, result in solution.parts():
        home = scene.symbol_of(part)
        if home in scene.readings and home == part and part in scene.harness.parts:
            words = list(_words(scene, part, solution, own.get(part, []), clean or {}))
            found[home] = " · ".join(
                [*_measured(result, scene.harness.parts[part].kind, bool(words)), *words]
            )
    return found


def _measured(result: PartResult, kind: str, more: bool) -> Iterator[str]:
    """Yield volts and amperes of a part; of a gauge its reading is enough, of a lit lamp its volts and light."""
    most = max((abs(a) for a in result.terminals.values()), default=0.0)
    if kind == "gauge" and more:
        return
    if most < _STILL_A:
        yield "no current"
        return
    yield volts(abs(result.watts / most))
    if not (kind == "lamp" and more):
        yield amperes(most)


def _words(
    scene: Scene, part: str, solution: Solution, own: list[tuple[str, Reading]], clean: Readings
) -> Iterator[str]:
    """Yield what a person would say of a part beside its volts and amperes."""
    for key, reading in own:
        before = clean.get(key)
        if reading.what == "needle" and reading.value is not None:
            stands_off = (
                before is not None
                and before.value is not None
                and abs(reading.value - before.value) > DIFFERS
            )
            yield (
                f"now {reading.value:.2f} · clean {before.value:.2f}"
                if stands_off and before
                else reading.words
            )
        elif reading.what in ("needle", "rate", "measured"):
            yield reading.words
    lights = [r for _, r in own if r.what == "light" and (r.value or 0.0) >= 0.5]
    if lights:
        yield " · ".join(_lit(r, len(lights) > 1) for r in lights)
    speeds = [r for _, r in own if r.what == "speed"]
    if speeds and not speeds[0].value:
        yield speeds[0].words
    if scene.harness.parts[part].kind in STATES:
        state = solution.states.get(part)
        if state not in (None, "standing", "on", "regulating"):
            yield str(state)


def _lit(reading: Reading, named: bool) -> str:
    element = reading.id.split("/", 1)[-1]
    return f"{element} {reading.value:.0f} %" if named else f"light {reading.value:.0f} %"


def glyphs(scene: Scene, now: Readings, clean: Readings) -> dict[str, tuple[tuple[str, Glyph], ...]]:
    """Return by symbol what its parts draw of their readings: light of lamps, needles of gauges."""
    by_part: dict[str, Glyph] = {}
    for key, reading in now.items():
        part = reading.id.split("/", 1)[0]
        if reading.what == "light" and reading.value is not None:
            brighter = max(reading.value / 100.0, by_part[part].light or 0.0 if part in by_part else 0.0)
            by_part[part] = Glyph(light=_step(brighter, LIGHT_STEP))
        elif reading.what == "needle" and reading.value is not None:
            before = clean.get(key)
            clean_at = before.value if before is not None else None
            by_part[part] = Glyph(
                needle=_step(reading.value, NEEDLE_STEP),
                clean_needle=None if clean_at is None else _step(clean_at, NEEDLE_STEP),
            )
    found: dict[str, list[tuple[str, Glyph]]] = {}
    for part, glyph in by_part.items():
        home = scene.symbol_of(part)
        if home is not None:
            found.setdefault(home, []).append((part, glyph))
    return {home: tuple(parts) for home, parts in found.items()}


def _step(value: float, step: float) -> float:
    return round(value / step) * step
