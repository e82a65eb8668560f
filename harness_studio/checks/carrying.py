"""What each wire carries in a mode and what it may carry: ampacity, its company in the run, its steady temperature."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import TYPE_CHECKING

from harness_studio.electrics.heat import ampacity as heat
from harness_studio.electrics.heat.ampacity import Ampacity
from harness_studio.electrics.heat.cable import Around, Cable
from harness_studio.electrics.heat.warming import after_c
from harness_studio.electrics.heat.wire import steady_temperature_c
from harness_studio.electrics.solution import Solution
from harness_studio.model.entities import Wire
from harness_studio.model.harness import Harness
from harness_studio.network.wires import ASSUMED_AREA_MM2, area_mm2, length_mm
from harness_studio.standards import bundles
from harness_studio.standards.figures import Figure, NotJudged

from .how import How

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Carried:
    """One wire in one mode.

    `sized` and `measured` tell whether its size and its length are recorded. `may` is what it may carry where it lies,
    `alone` what it may carry by itself in free air, `equal_a` the current that would heat it as much there, and
    `steady_c` the temperature that settles; None where the wire cannot be judged, with the reason in `may`. Where the
    current flows for a short time only, `for_s` is that time and `steady_c` the temperature at its end.
    """

    wire: str
    amperes: float
    drop_v: float
    sized: bool
    measured: bool
    cable: Cable
    around: Around
    may: Ampacity | NotJudged
    alone: Figure | NotJudged
    equal_a: float
    steady_c: float | None = None
    for_s: float | None = None

    @property
    def limit_c(self) -> float | None:
        """What its insulation bears."""
        return self.cable.limit_c


def cable_of(wire: Wire) -> Cable:
    """Return a wire as heat sees it; of the assumed size where its own is not known."""
    return Cable(area_mm2(wire) or ASSUMED_AREA_MM2, wire.insulation, wire.material)


def carried(harness: Harness, solution: Solution, how: How, for_s: float | None = None) -> dict[str, Carried]:
    """Return every wire of a solved harness by id; `for_s` where the currents flow for that time only."""
    wires = harness.wires
    network = solution.network
    address, branch = network.branches.address, network.conductors.branch.tolist()
    ambient = dict(zip((address[b] for b in branch), network.conductors.ambient_c.tolist(), strict=True))
    amperes = dict(zip((address[b] for b in branch), solution.amperes[branch].tolist(), strict=True))
    ohm = dict(zip((address[b] for b in branch), solution.ohm[branch].tolist(), strict=True))
    cables = {wire.id: cable_of(wire) for wire in wires.values()}
    company = companies(harness, cables, ambient, amperes)
    found = {}
    for wire in wires.values():
        cable, here = cables[wire.id], ambient[wire.id]
        sized = area_mm2(wire) is not None
        around, may = worst_of(cable, here, company.get(wire.id, ()), how, sized)
        alone = heat.free_air(cable, here)
        found[wire.id] = Carried(
            wire.id,
            amperes[wire.id],
            amperes[wire.id] * ohm[wire.id],
            sized,
            length_mm(harness, wire) is not None,
            cable,
            around,
            may,
            alone,
            equal_free_air_a(amperes[wire.id], may, alone),
        )
    return _with_temperatures(solution, list(found.values()), for_s)


def worst_of(
    cable: Cable, ambient_c: float, company: Sequence[tuple[int, float]], how: How, sized: bool = True
) -> tuple[Around, Ampacity | NotJudged]:
    """Return the surroundings in which a wire may carry least, and how much; `company` is (wires, share) per run."""
    best: tuple[Around, Ampacity | NotJudged] | None = None
    for in_run, share in company or ((1, 1.0),):
        around = Around(ambient_c, in_run, share, how.altitude_m)
        may = _ampacity(cable, around, how.method, how.table) if sized else NotJudged("the size is not known")
        if isinstance(may, NotJudged):
            return around, may
        if best is None or (isinstance(best[1], Ampacity) and may.figure.value < best[1].figure.value):
            best = around, may
    assert best is not None
    return best


_ampacity = lru_cache(maxsize=16384)(heat.ampacity)


def companies(
    harness: Harness,
    cables: Mapping[str, Cable],
    ambient_c: Mapping[str, float],
    amperes: Mapping[str, float],
) -> dict[str, list[tuple[int, float]]]:
    """Return by wire (wires in the run, share of its capacity in use) for each bundle that it lies in.

    Bundles are the runs and the sheaths of multicores. Wires without an ampacity count as wires but not as capacity;
    where none has one, the whole capacity is taken to be in use.
    """
    bundled: dict[str, list[str]] = {}
    for wire in harness.wires.values():
        for run in wire.runs:
            bundled.setdefault(f"run {run}", []).append(wire.id)
    for multicore in harness.multicores.values():
        bundled[f"multicore {multicore.id}"] = [w for w in multicore.wires if w in cables]
    found: dict[str, list[tuple[int, float]]] = {}
    for members in bundled.values():
        if len(members) > 1:
            share = used_share(members, cables, ambient_c, amperes)
            for wire_id in members:
                found.setdefault(wire_id, []).append((len(members), share))
    return found


def used_share(
    members: Sequence[str],
    cables: Mapping[str, Cable],
    ambient_c: Mapping[str, float],
    amperes: Mapping[str, float],
) -> float:
    """Return the share of a bundle's capacity that its currents use, to three digits."""
    alone = {w: heat.free_air(cables[w], ambient_c[w]) for w in members}
    judged = {w: f.value for w, f in alone.items() if isinstance(f, Figure) and f.value > 0}
    if not judged:
        return 1.0
    load = heat.load_of_capacity([amperes[w] for w in judged], list(judged.values()))
    return float(f"{bundles.used_share(len(members), load):.3g}")


def equal_free_air_a(amperes: float, may: Ampacity | NotJudged, alone: Figure | NotJudged) -> float:
    """Return the current that would heat the wire in free air as much as this one heats it where it lies.

    I · (free air / ampacity there): at the ampacity it is the current of free air, and the limit is just reached.
    """
    if isinstance(may, NotJudged) or isinstance(alone, NotJudged) or may.figure.value <= 0:
        return abs(amperes)
    return abs(amperes) * max(alone.value / may.figure.value, 1.0)


def _with_temperatures(solution: Solution, rows: list[Carried], for_s: float | None) -> dict[str, Carried]:
    """Return the wires with the temperature they come to, by the heat balance for all of them at once."""
    import numpy as np

    wires = solution.network.conductors
    equal_a = np.array([row.equal_a for row in rows])
    warm, _ = steady_temperature_c(
        equal_a,
        wires.ohm_per_m_20c,
        wires.alpha_per_k,
        wires.conductor_mm,
        wires.outer_mm,
        wires.ambient_c,
        wires.limit_c,
    )
    if for_s is not None:
        warm = after_c(for_s, equal_a, warm, wires)
    return {
        row.wire: row if isinstance(row.may, NotJudged) else replace(row, steady_c=celsius, for_s=for_s)
        for row, celsius in zip(rows, warm.tolist(), strict=True)
    }
