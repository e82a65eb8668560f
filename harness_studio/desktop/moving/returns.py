"""Which wire is meant when a return is moved, where it may go, and what that did; no Qt."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from harness_studio.diagram.words import amperes, counted, millivolts

if TYPE_CHECKING:
    from collections.abc import Mapping

    from harness_studio.electrics.readings import Reading
    from harness_studio.electrics.solution import Solution
    from harness_studio.model.harness import Harness
    from harness_studio.session.session import Session

LEAST_SHARE = 0.05
LEAST_MOVED_A = 0.05
MOST_ROWS = 7


@dataclass(frozen=True, slots=True)
class Return:
    """A wire's ring on a ground, and the loads that return by it."""

    wire: str
    ground: str
    parts: tuple[str, ...]


def return_of(session: Session, part: str | None) -> Return | None:
    """Return the ring of the chosen ground by which a part returns; of the chosen ring itself without a part."""
    ground, _, ring = (session.chosen or "").partition("/")
    harness = session.harness
    if ground not in harness.grounds:
        return None
    wires = [wire for rings in harness.grounds[ground].stack for wire in rings]
    best: tuple[float, str, tuple[str, ...]] | None = None
    for wire in wires if not ring else [ring]:
        found = session.computed.shares(f"{ground}/{wire}")
        if found is None:
            continue
        rows = [r for r in found.rows if r.side == "return" and abs(r.share) >= LEAST_SHARE]
        share = max((abs(r.share) for r in rows if part is None or r.part == part), default=0.0)
        if share >= LEAST_SHARE and (best is None or share > best[0]):
            best = (share, wire, tuple(dict.fromkeys(r.part for r in rows)))
    return Return(best[1], ground, best[2]) if best is not None else None


def only_part(session: Session) -> str | None:
    """Return the selected part, if one part is selected."""
    parts = [thing for thing in session.selection if thing in session.harness.parts]
    return parts[0] if len(parts) == 1 else None


@dataclass(frozen=True, slots=True)
class Place:
    """A ground that a return could be put on: its title, and what stands there now."""

    ground: str
    title: str
    about: str


def places(session: Session, moved: Return) -> list[Place]:
    """Return the other grounds: those of the same zone first, then those of the same body, the calmest first."""
    harness, solution = session.harness, session.solution
    here = harness.grounds[moved.ground]
    rows = []
    for ground in harness.grounds.values():
        if ground.id == moved.ground or not ground.place:
            continue
        body = ground.place.partition(".")[0]
        near = (ground.zone != here.zone, body != (here.place or "").partition(".")[0])
        rise = (
            None if solution is None or ground.id not in solution.network.index else solution.volt(ground.id)
        )
        carries = 0.0
        if solution is not None and ground.id in solution.network.joints:
            carries = abs(solution.joint(ground.id).amperes)
        said = [counted(len(ground.stack), "ring"), amperes(carries)]
        if rise is not None:
            said.append(f"rise {millivolts(rise * 1e3)}")
        said.append(ground.place)
        rows.append((near, abs(rise or 0.0), Place(ground.id, harness.title_of(ground.id), " · ".join(said))))
    return [place for _, _, place in sorted(rows, key=lambda r: (r[0], r[1], r[2].ground))]


@dataclass(frozen=True, slots=True)
class Line:
    """One line of the table: what, before, after; `worse` where a person would notice that it got worse or weaker."""

    what: str
    before: str
    after: str
    noticed: bool = False


def table(
    harness: Harness,
    before: tuple[Solution, Mapping[str, Reading]],
    after: tuple[Solution, Mapping[str, Reading]],
) -> list[Line]:
    """Return what a move changed: the grounds whose load or rise changed, then readings, the most noticeable first."""
    from harness_studio.electrics.readings import compare, one_each
    from harness_studio.electrics.what_if import ground_changes

    lines = []
    for g in ground_changes(harness, before[0], after[0]):
        if abs(g.after_a - g.before_a) >= LEAST_MOVED_A:
            lines.append(Line(g.ground, _ground(g.before_a, g.before_v), _ground(g.after_a, g.after_v)))
    changes = one_each([c for c in compare(before[1], after[1]) if c.weight >= 0.25])
    for c in changes[: max(0, MOST_ROWS - len(lines))]:
        lines.append(Line(c.reading, _value(c.clean, c.unit), _value(c.bad, c.unit), c.weight >= 1.0))
    return lines


def _ground(amps: float, rise_v: float | None) -> str:
    return amperes(amps) + ("" if rise_v is None else f", {millivolts(rise_v * 1e3)}")


def _value(value: float | None, unit: str) -> str:
    return "none" if value is None else f"{value:.4g} {unit}".removesuffix(" of scale")


def words(session: Session, moved: Return, to: str) -> str:
    """Return what was moved, and what goes along with it."""
    harness: Harness = session.harness
    along: Sequence[str] = moved.parts
    return f"{moved.wire} from {moved.ground} to {harness.title_of(to)}: return of {', '.join(along) or 'nothing'}"
