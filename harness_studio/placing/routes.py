"""The ways of all wires on a page: at right angles, through no symbol, each on a track of its own."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Iterator, Mapping, Sequence, Set
from itertools import pairwise

import numpy as np

from harness_studio.base.collector import collector_paused
from harness_studio.base.geometry import Box, Point, around
from harness_studio.model.entities import Page
from harness_studio.model.harness import Harness

from .bends import cleaned, quick, through
from .grid import Grid, nearest
from .jogs import Frees, jog_where_they_lie_on_each_other, split_crowded
from .laid import Laid
from .lanes import Lanes
from .links import Link, is_line, line_ids, link, links
from .pace import Tell, silent, within
from .paths import Corner, Terminal, way
from .repair import repair
from .scene import Scene, Tip, outwards
from .spines import marks_of
from .stretches import Floats, Held, Stretches, Way
from .symbols import Route, Symbol
from .tracks import separate

__all__ = ["quick", "reroute", "routes"]

_OPEN_MM = 10.0
"""How far an open end stands out from its anchor."""
_TWICE_UP_TO = 400
"""Pages with no more wires than this are laid twice: the second time each wire knows where all others run. A few that
are laid anew know of those that stay from the start."""
_AROUND_MM = 100.0
_NEAR_MM = 150.0
"""Ways that run farther than this from those that are laid anew have nothing to do with them."""
_SPLITS = 3
_SEARCHED = 0.55
"""How much of the work is done when ways are found and only need to be moved apart."""
_TOLD_EVERY = 20
_SAME_MM = 0.05

MakeField = Callable[[Floats, Iterable[float], Iterable[float]], Grid | Lanes]
"""Makes what ways are looked for in, from the boxes and from further lines (x, y)."""


def routes(harness: Harness, page: Page, symbols: Mapping[str, Symbol], tell: Tell = silent) -> Laid:
    """Return the way of every wire and link of a page.

    Parameters
    ----------
    symbols
        As `outlines.symbols(harness, page)` gives them.
    tell
        Hears how far it is; may stop it.

    Returns
    -------
    Laid
        By the wire's id, or what stands for a link (see `Route`). A wire neither of whose ends is on the page has none;
        one that has a single end there stands out from it. Bends that the user made are kept.
    """
    with collector_paused():
        scene = Scene(page, symbols)
        lines = [line for line in links(harness) if scene.is_drawn(line)]
        found = _lay(
            scene,
            lines,
            scene.sites.within(),
            Grid,
            lambda _: Held(),
            marks_of(harness, [n.id for n in lines]),
            tell,
        )
        return Laid(found, scene.sites)


def reroute(
    harness: Harness,
    page: Page,
    symbols: Mapping[str, Symbol],
    moved: Collection[str],
    old: Mapping[str, Route],
) -> Laid:
    """Return the ways after some symbols were moved, added, changed or taken away; other wires stay where they are.

    Parameters
    ----------
    moved
        Ids of all symbols that are not what and where they were (a comb follows its far ends), and of wires that
        were added or changed.
    old
        The ways before.
    """
    before = old if isinstance(old, Laid) else Laid(old)
    scene = Scene(page, symbols, before.sites, moved)
    touched = _touched(harness, scene, set(moved), before)
    again = [line for line in _lines_of(harness, touched, before) if scene.is_drawn(line)]
    gone = _no_more(harness, before) | (before.keys() & touched - {line.id for line in again})
    tips = [t.free for line in again for t in scene.tips(line) if t]
    area = around([Box(p.x_mm, p.y_mm, 0, 0) for p in tips])
    every = line_ids(harness) if gone or not all(line.id in before for line in again) else ()
    if area is None:
        return before.changed(gone, {}, every, scene.sites)
    others = touched | gone
    marks = marks_of(harness, [line.id for line in again], before)

    def field(boxes: Floats, x_mm: Iterable[float], y_mm: Iterable[float]) -> Lanes:
        there = before.beside([area.grown(_AROUND_MM)], others, marks)
        level, upright = there[False], there[True]
        return Lanes(boxes, x_mm, y_mm, _rows(level), _rows(upright), level.mark, upright.mark)

    def near(ways: Sequence[Way]) -> Held:
        found = [box.grown(_NEAR_MM) for way in ways for box in _boxes(way)]
        return Held(before.beside(found, others, marks))

    fresh = _lay(scene, again, scene.sites.within(area.grown(_AROUND_MM)), field, near, marks)
    return before.changed(gone, fresh, every, scene.sites)


def _rows(found: Stretches) -> Floats:
    return np.stack((found.at, found.low, found.high), 1)


def _no_more(harness: Harness, before: Laid) -> set[str]:
    """Return the ids of the lines that the harness does not have any more."""
    return {key for key in before.keys() - harness.wires.keys() if not is_line(harness, key)}


def _lines_of(harness: Harness, touched: Set[str], before: Laid) -> list[Link]:
    """Return those of some ids that are lines, in the order of the harness."""
    keys = [key for key in touched if is_line(harness, key)]
    if all(key in before for key in keys):
        keys = before.in_order(keys)
    else:
        keys = [key for key in line_ids(harness) if key in touched]
    return [found for key in keys if (found := link(harness, key)) is not None]


def _touched(harness: Harness, scene: Scene, moved: set[str], old: Laid) -> set[str]:
    """Return the ids of the lines to lay anew: what ends at a symbol that moved, or runs through where it is now."""
    found = set(moved)
    there = [symbol for key in moved if (symbol := scene.symbols.get(key)) is not None]
    for symbol in there:
        found.update(key for key, _ in symbol.wire_anchors)
    found |= old.crossing([scene.sites[symbol.id] for symbol in there])
    others = moved - scene.symbols.keys() - harness.wires.keys()
    if any(key not in old or old[key].kind != "wire" for key in others):
        # Something may have been taken away: what ended there is open now.
        drawn = {key for key, _ in scene.holder}
        ends = {key: sum(not is_open for is_open in route.open_ends) for key, route in old.items()}
        now: dict[str, int] = {}
        for key, _ in scene.holder:
            now[key] = now.get(key, 0) + 1
        found.update(key for key in old if key not in drawn or now[key] != ends[key])
    return found


def _boxes(way: Way) -> Iterator[Box]:
    """Yield the stretches of a way as boxes without width or height."""
    for (x0, y0), (x1, y1) in pairwise(way.points):
        yield Box(min(x0, x1), min(y0, y1), abs(x1 - x0), abs(y1 - y0))


def _lay(
    scene: Scene,
    lines: Sequence[Link],
    boxes: Floats,
    field: MakeField,
    near: Callable[[Sequence[Way]], Held],
    marks: Mapping[str, int],
    tell: Tell = silent,
) -> dict[str, Route]:
    """Lay lines between boxes and beside ways that stay.

    Parameters
    ----------
    boxes
        What must be kept clear, as `table_of` gives it.
    field
        Makes what ways are looked for in.
    near
        Tells which of the ways that stay matter once those that are laid are found.
    marks
        Which lines share a run, see `spines.marks_of`.
    """
    ends = {line.id: scene.tips(line) for line in lines}
    found: dict[str, Way] = {}
    open_ends: dict[str, tuple[bool, bool]] = {}
    searched: list[tuple[str, Tip, Tip]] = []
    for line in lines:
        first, second = ends[line.id]
        open_ends[line.id] = (first is None, second is None)
        bends = scene.page.wires.get(line.id, ())
        if first is not None and second is not None and not bends:
            searched.append((line.id, first, second))
        else:
            found[line.id] = _held_way(_plain(first, second, bends))
    found.update(_search(searched, boxes, field, marks, within(tell, 0.0, _SEARCHED)))
    ways = [found[line.id] for line in lines]
    frees = [tuple(t.free if t else None for t in ends[line.id]) for line in lines]
    _part(ways, near(ways), boxes, frees, within(tell, _SEARCHED, 1.0))
    return {
        line.id: Route(line.id, _corners(w), line.kind, open_ends[line.id])
        for line, w in zip(lines, ways, strict=True)
    }


def _corners(way: Way) -> tuple[Point, ...]:
    """Return the corners of a way, at least two: its ends may lie on each other where symbols do."""
    found = cleaned([(x, y) for x, y in way.points])
    return (*found, found[0].moved(_SAME_MM, 0.0)) if len(found) == 1 else tuple(found)


def _part(
    ways: Sequence[Way], near: Held, boxes: Floats, frees: Sequence[Frees], tell: Tell = silent
) -> None:
    """Move ways apart in place, with steps aside where a stretch finds no room, so that none lies on another."""
    passes = 2 if len(ways) <= _TWICE_UP_TO else 1
    changed: set[int] | None = None
    for _ in range(_SPLITS if passes > 1 else 1):
        crowded = separate(ways, boxes, passes, changed, near, within(tell, 0.0, 0.35))
        changed = split_crowded(ways, [(w, k) for w, k in crowded if w < len(ways)], boxes)
        if not changed:
            break
    else:
        separate(ways, boxes, passes, changed, near, within(tell, 0.4, 0.65))
    changed = jog_where_they_lie_on_each_other(ways, near, frees)
    if changed:
        separate(ways, boxes, passes, changed, near, within(tell, 0.65, 0.85))
    repair(ways, near, boxes)
    tell(0.95)
    if jog_where_they_lie_on_each_other(ways, near, frees):
        repair(ways, near, boxes)


def _plain(first: Tip | None, second: Tip | None, bends: Sequence[tuple[float, float]]) -> list[Point]:
    """Return the corners of a way that is not searched for: through the user's bends, or a stub at an open end."""
    if first is not None:
        return _from(first, second, bends)
    assert second is not None  # a line with neither end on the page is not drawn
    return _from(second, None, bends[::-1])[::-1]


def _from(start: Tip, end: Tip | None, bends: Sequence[tuple[float, float]]) -> list[Point]:
    if bends:
        return through(start.anchor, bends, end.anchor if end else None)
    return [start.anchor.at, outwards(start.anchor, _OPEN_MM)]


def _held_way(points: Sequence[Point]) -> Way:
    if len(points) < 2:
        points = [points[0], points[0].moved(_SAME_MM, 0.0)]
    pairs = [[p.x_mm, p.y_mm] for p in points]
    return Way(pairs, abs(pairs[0][1] - pairs[1][1]) < _SAME_MM, [False] * (len(pairs) - 1))


def _search(
    searched: Sequence[tuple[str, Tip, Tip]],
    boxes: Floats,
    field: MakeField,
    marks: Mapping[str, int],
    tell: Tell = silent,
) -> dict[str, Way]:
    """Return ways on the lines of a grid; several may share a line until they are separated."""
    if not searched:
        return {}
    tips = [tip for _, a, b in searched for tip in (a, b)]
    x_mm, y_mm = [tip.free.x_mm for tip in tips], [tip.free.y_mm for tip in tips]
    grid = field(boxes, x_mm, y_mm)
    rows, columns = nearest(grid.y, y_mm).tolist(), nearest(grid.x, x_mm).tolist()
    ends = [Terminal(row, column, t.level) for row, column, t in zip(rows, columns, tips, strict=True)]
    in_order = sorted(range(len(searched)), key=lambda i: (_distance(searched[i][1], searched[i][2]), i))
    corners: dict[int, list[Corner]] = {}
    twice = isinstance(grid, Grid) and len(searched) <= _TWICE_UP_TO
    for turn in range(2 if twice else 1):
        for count, number in enumerate(in_order):
            if count % _TOLD_EVERY == 0:
                tell(0.1 + 0.9 * count / len(in_order))
            if turn:
                grid.use(corners[number], -1)
            mark = marks.get(searched[number][0], 0)
            follow = grid.spines.beside(number, mark)
            corners[number] = way(grid, ends[2 * number], ends[2 * number + 1], follow=follow)
            grid.use(corners[number], 1)
            grid.spines.add(number, mark, corners[number])
    ways = {name: _way_of(grid, corners[i], a, b) for i, (name, a, b) in enumerate(searched)}
    for name, found in ways.items():
        found.mark = marks.get(name, 0)
    return ways


def _distance(a: Tip, b: Tip) -> float:
    return abs(a.free.x_mm - b.free.x_mm) + abs(a.free.y_mm - b.free.y_mm)


def _way_of(grid: Grid | Lanes, corners: Iterable[Corner], a: Tip, b: Tip) -> Way:
    """Return the way over corners of a grid with the stubs at both ends; those may not move sideways."""
    between = [(float(grid.x[c]), float(grid.y[r])) for r, c in corners]
    start, end = (a.anchor.at.x_mm, a.anchor.at.y_mm), (b.anchor.at.x_mm, b.anchor.at.y_mm)
    points = [[p.x_mm, p.y_mm] for p in cleaned([start, *between, end])]
    if len(points) < 2:
        points = [list(start), [start[0] + _SAME_MM, start[1]]]
    level = abs(points[0][1] - points[1][1]) < _SAME_MM
    # Lines of the grid are rounded: the stubs run exactly through their anchors.
    ends_level = level == (len(points) % 2 == 0)
    points[1][1 if level else 0] = points[0][1 if level else 0]
    if len(points) > 2:
        points[-2][1 if ends_level else 0] = points[-1][1 if ends_level else 0]
    loose = [0 < k < len(points) - 2 for k in range(len(points) - 1)]
    return Way(points, level, loose)
