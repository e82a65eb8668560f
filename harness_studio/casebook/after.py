"""After the mend: the same pairs again, the milliohms that both imply, whether it is closed, and false leads."""

from __future__ import annotations

import re
from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING

from harness_studio.base.errors import SolveError
from harness_studio.electrics.solve import solve
from harness_studio.model.case_edits import same_pair
from harness_studio.model.cases import Case, Reading
from harness_studio.model.harness import Harness
from harness_studio.network.expand import expand

from .observed import METER

if TYPE_CHECKING:
    from harness_studio.electrics.solution import Solution

ONE_CURRENT = 0.05
"""Part by which currents on the way between two tips may differ and still count as one."""
LEAST_A = 0.01
CLOSED_PART, CLOSED_V = 0.5, 0.05
"""How far above what a clean harness reads a pair may still be: half of it and 50 mV (common practice, no source)."""
ADDED = ("added", "second ground", "extra ground", "jumper", "another ground", "new ground")


@dataclass(frozen=True, slots=True)
class Compared:
    """A pair before and after, with the clean value; milliohms where one current flows between its tips."""

    before: Reading
    after: Reading | None
    was: float | None
    now: float | None
    clean: float | None
    was_mohm: float | None
    now_mohm: float | None
    closed: bool | None


@dataclass(frozen=True, slots=True)
class After:
    """All pairs, whether the case is closed by them (None: not all were taken again), and false leads to mind."""

    pairs: tuple[Compared, ...]
    closed: bool | None
    leads: tuple[str, ...]


def after_mend(harness: Harness, case: Case) -> After:
    """Return what the same readings say after the mend."""
    solved: dict[str | None, Solution | None] = {}
    pairs = [_compared(harness, before, after, solved) for before, after in paired(case)]
    judged = [p.closed for p in pairs]
    closed = None if not judged or None in judged else all(judged)
    return After(tuple(pairs), closed, tuple(_leads(case, pairs)))


def paired(case: Case) -> list[tuple[Reading, Reading | None]]:
    """Return the latest reading of every pair from before the mend, with the latest one after it."""
    found: list[tuple[Reading, Reading | None]] = []
    for reading in case.readings:
        if reading.after_mend or any(same_pair(reading, before) for before, _ in found):
            continue
        latest = [r for r in case.readings if not r.after_mend and same_pair(r, reading)][-1]
        again = [r for r in case.readings if r.after_mend and same_pair(r, reading)]
        found.append((latest, again[-1] if again else None))
    return found


def _compared(
    harness: Harness, before: Reading, after: Reading | None, solved: dict[str | None, Solution | None]
) -> Compared:
    solution = _solution(harness, before.mode, solved)
    was, now = value_of(before), value_of(after)
    clean, amperes = _clean(solution, before)
    closed = None
    if now is not None and clean is not None:
        part, least = METER[before.kind]
        room = (
            CLOSED_PART * abs(clean)
            + (CLOSED_V if before.kind == "volts" else 10.0 * least)
            + part * abs(now)
        )
        closed = abs(abs(now) - abs(clean)) <= room
    mohm = [
        None if v is None or amperes is None or before.kind == "amperes" else _mohm(before, abs(v), amperes)
        for v in (was, now)
    ]
    return Compared(before, after, was, now, clean, mohm[0], mohm[1], closed)


def _mohm(reading: Reading, value: float, amperes: float) -> float:
    if reading.kind == "ohms":
        return value * 1e3
    return value * (1.0 if reading.kind == "fuse_mv" else 1e3) / amperes


def value_of(reading: Reading | None) -> float | None:
    """Return the value of a reading, or the middle of its least and greatest; None while it has none."""
    if reading is None:
        return None
    if reading.value is None and reading.least is not None and reading.greatest is not None:
        return (reading.least + reading.greatest) / 2.0
    return reading.value


def _solution(
    harness: Harness, mode: str | None, solved: dict[str | None, Solution | None]
) -> Solution | None:
    if mode not in solved:
        known = mode is None or mode in harness.modes
        try:
            solved[mode] = solve(expand(harness, mode, clean=True)) if known else None
        except SolveError:
            solved[mode] = None
    return solved[mode]


def _clean(solution: Solution | None, reading: Reading) -> tuple[float | None, float | None]:
    """Return what the pair reads in a clean harness, and the one current between its tips."""
    if solution is None:
        return None, None
    if reading.kind == "amperes":
        wires = dict(solution.wires())
        found = wires.get(reading.at or "")
        return (None, None) if found is None else (abs(found.amperes), None)
    plus, minus = reading.plus, reading.minus
    if reading.kind == "fuse_mv":
        plus, minus = f"{reading.at}.in", f"{reading.at}.out"
    index = solution.network.index
    if plus not in index or minus not in index:
        return None, None
    amperes = _one_current(solution, index[str(plus)], index[str(minus)])
    if reading.kind == "ohms":
        return None, amperes or 1.0
    volts = [solution.volt(str(p)) for p in (plus, minus)]
    if volts[0] is None or volts[1] is None:
        return None, amperes
    return (volts[0] - volts[1]) * (1e3 if reading.kind == "fuse_mv" else 1.0), amperes


def _one_current(solution: Solution, first: int, second: int) -> float | None:
    """Return the current on the easiest way between two points, if it is the same all along; else None."""
    import networkx as nx
    import numpy as np

    graph: nx.Graph[int] = nx.Graph()
    branches = solution.network.branches
    for number in np.flatnonzero(np.isfinite(solution.ohm)).tolist():
        a, b = int(branches.a[number]), int(branches.b[number])
        if not graph.has_edge(a, b) or graph[a][b]["ohm"] > solution.ohm[number]:
            graph.add_edge(
                a, b, ohm=float(solution.ohm[number]) + 1e-9, amperes=abs(float(solution.amperes[number]))
            )
    if first not in graph or second not in graph or not nx.has_path(graph, first, second):
        return None
    way = nx.shortest_path(graph, first, second, weight="ohm")
    flows = [graph[a][b]["amperes"] for a, b in pairwise(way)]
    if not flows or max(flows) < LEAST_A or min(flows) < (1.0 - ONE_CURRENT) * max(flows):
        return None
    return float(sum(flows) / len(flows))


def _thing(address: str) -> str:
    """Return the thing that an address is on; nothing for a wire, which is mended with the thing it ends at."""
    thing = re.split(r"[./@:]", address)[0]
    return "" if thing.startswith("W") else thing


def _leads(case: Case, pairs: list[Compared]) -> list[str]:
    """Return what may mislead: a ground added beside the joint, two things at once, no current, not tried again."""
    found = []
    for mend in case.mends:
        if any(word in mend.did.lower() for word in ADDED):
            on = f" at {', '.join(mend.on)}" if mend.on else ""
            found.append(
                f"'{mend.did}'{on}: a second way for the current masks the joint, it does not mend it; take the added"
                " one off and measure straight across the joint"
            )
    changed = {on for mend in case.mends for on in mend.on}
    if len(case.mends) > 1 or len({_thing(on) for on in changed} - {""}) > 1:
        listed = ", ".join(sorted(changed)) or f"{len(case.mends)} mends"
        found.append(
            f"{listed}: more than one thing was changed before the readings were taken again, so which one mended it is"
            " not known; put one back and read again"
        )
    for pair in pairs:
        after = pair.after
        if (
            after is not None
            and pair.now is not None
            and abs(pair.now) < 0.005
            and not after.current_confirmed
        ):
            found.append(
                "a pair reads nothing after the mend, but nobody saw that current flows: 0 V may be no current"
            )
            break
    if case.mends and any(p.after is not None for p in pairs) and case.fault_made_to_come_back is None:
        found.append("the fault was not made to come back with the old state: it may have gone by itself")
    return found
