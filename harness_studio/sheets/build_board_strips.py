"""Build board at 1:n: on one page where everything has room, else cut into strips, else on several pages."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field

from harness_studio.base.geometry import Box, Point
from harness_studio.drawing.fonts import REGULAR, STRONG
from harness_studio.drawing.strokes import Stroke, Text, line
from harness_studio.placing.build_board.flags import Flag, Put, place
from harness_studio.placing.build_board.plan import Plan
from harness_studio.placing.build_board.stretch import Stretch
from harness_studio.placing.build_board.strips import Strip, strips
from harness_studio.placing.build_board.tags import Tag, tags
from harness_studio.placing.faces import natural

from . import build_board_art as art
from .diagram_page import best_way_up
from .job import Job
from .leaf import Leaf
from .lettering import LEAST_MM, SMALL_MM
from .paper import Paper

NAME = "Build board"
_NICE = (1, 2, 2.5, 4, 5, 8, 10, 12, 15, 20, 25, 30, 40, 50, 60, 80, 100)
_SIDE_MM, _ABOVE_MM = 14.0, 12.0
"""Room beside and above the bundle for flags."""
_FOOT_MM = 8.0
_MOST_STRIPS = 12
_MOST_BUNCHED = 4
"""So many ends may be named together with others of their breakout rather than on a flag of their own."""
Bars = Sequence[tuple[tuple[Point, Point], float]]
Discs = Sequence[tuple[Point, float]]


@dataclass(slots=True)
class Laid:
    """A strip on its page: what is drawn there, and the flags round it."""

    strip: Strip
    room: Box
    page: int = 0
    pieces: list[tuple[Stretch, tuple[Point, Point]]] = field(default_factory=list)
    breakouts: dict[str, Point] = field(default_factory=dict)
    splices: dict[str, Point] = field(default_factory=dict)
    cuts: list[Point] = field(default_factory=list)
    tags: dict[tuple[str, str], Tag] = field(default_factory=dict)
    puts: dict[tuple[str, str], Put] = field(default_factory=dict)
    lost: list[tuple[str, str]] = field(default_factory=list)


@dataclass(frozen=True, slots=True)
class Arranged:
    """The whole build board on paper at 1:`scale`."""

    paper: Paper
    scale: float
    laid: Sequence[Laid]

    @property
    def pages(self) -> int:
        """How many pages it takes."""
        return self.laid[-1].page + 1

    @property
    def lost(self) -> int:
        """How many flags have no place."""
        return sum(len(one.lost) for one in self.laid)


def arranged(job: Job, made: Plan) -> Arranged:
    """Return the build board with the fewest pages and strips on which every flag has a place."""
    said = tags(job.harness, made)
    paper = best_way_up(job.paper, made.extent)
    ways = sorted(_ways(made, paper), key=lambda way: (way[0], len(way[2])))
    for _, scale, cut in ways:
        laid = _laid(said, made, paper, scale, cut)
        if not any(one.lost for one in laid) and len(laid) == len(cut):
            return Arranged(paper, scale, laid)
    _, scale, cut = ways[-1]
    return Arranged(paper, scale, _laid(said, made, paper, scale, cut, whole=True))


def _ways(made: Plan, paper: Paper) -> Iterator[tuple[int, float, list[Strip]]]:
    """Yield (pages, scale, strips), each at the largest scale that so many strips allow."""
    before = math.inf
    usable = paper.body.width_mm - 2 * _SIDE_MM
    for count in range(1, _MOST_STRIPS + 1):
        for scale in (
            *_NICE,
            math.ceil(made.extent.width_mm / usable),
            math.ceil(made.extent.height_mm / 60),
        ):
            cut = strips(made, count, usable * scale)
            pages = _pages(cut, scale, paper) if cut else None
            if cut and pages and scale < before:
                before = scale
                yield pages[-1] + 1, scale, cut
            if cut and pages:
                break


def _need(strip: Strip, scale: float) -> float:
    return (strip.bottom_mm - strip.top_mm) / scale + 2 * _ABOVE_MM


def _pages(cut: Sequence[Strip], scale: float, paper: Paper) -> list[int] | None:
    """Return the page of each strip; None where one is higher than a page."""
    most = paper.body.height_mm - _FOOT_MM
    pages, left = [0], most
    for number, strip in enumerate(cut):
        need = _need(strip, scale)
        if need > most:
            return None
        if number:
            pages.append(pages[-1] + (need > left))
            left = most if pages[-1] != pages[-2] else left
        left -= need
    return pages


def _laid(
    said: Sequence[Tag], made: Plan, paper: Paper, scale: float, cut: list[Strip], *, whole: bool = False
) -> list[Laid]:
    """Return the strips laid out; unless the whole is wanted, only up to one on which something has no place."""
    body = paper.body
    found: list[Laid] = []
    pages = _pages(cut, scale, paper) or [0] * len(cut)
    letters: dict[tuple[int, str], str] = {}
    for page in sorted(set(pages)):
        here = [strip for strip, on in zip(cut, pages, strict=True) if on == page]
        spare = (body.height_mm - _FOOT_MM - sum(_need(s, scale) for s in here)) / len(here)
        top = body.top_mm
        for strip in here:
            high = _need(strip, scale) + spare
            room = Box(body.left_mm, top, body.width_mm, high)
            found.append(_strip(said, made, strip, room, scale, page, letters, hurried=not whole))
            top += high
            if found[-1].lost and not whole:
                return found
    return found


def _strip(
    said: Sequence[Tag],
    made: Plan,
    strip: Strip,
    room: Box,
    scale: float,
    page: int,
    letters: dict[tuple[int, str], str],
    *,
    hurried: bool,
) -> Laid:
    """Lay one strip out in its room."""
    dx = room.left_mm + (room.width_mm - (strip.right_mm - strip.left_mm) / scale) / 2 - strip.left_mm / scale
    dy = room.centre.y_mm - (strip.top_mm + strip.bottom_mm) / 2 / scale

    def on_page(p: Point) -> Point:
        return Point(p.x_mm / scale + dx, p.y_mm / scale + dy)

    laid = Laid(strip, room, page)
    flags: list[Flag] = []
    for stretch in made.stretches:
        part = strip.part_of(stretch)
        if part:
            laid.pieces.append((stretch, (on_page(part[0]), on_page(part[1]))))
            for end, whole in zip(part, (stretch.start, stretch.end), strict=True):
                if abs(end.x_mm - whole.x_mm) > 1e-6:
                    _cut(laid, flags, stretch, on_page(end), round(end.x_mm), letters)
    laid.breakouts = {node: on_page(at) for node, at in made.nodes.items() if strip.holds(at)}
    laid.splices = {name: on_page(at) for name, at in made.splices.items() if strip.holds(at)}
    for tag in said:
        if not strip.holds(tag.at[0]):
            continue
        laid.tags[tag.key] = tag
        flags.append(art.flag_of(tag, [on_page(p) for p in tag.at if strip.holds(p)]))
    bars = [(ends, (art.RUN_MM if s.kind == "run" else art.TAIL_MM) / 2 + 0.15) for s, ends in laid.pieces]
    discs = [(at, art.BREAKOUT_MM + 0.2) for at in laid.breakouts.values()]
    discs += [(at, art.SPLICE_MM + 0.2) for at in laid.splices.values()]
    inner = Box(room.left_mm + 0.5, room.top_mm + 4.0, room.width_mm - 1.0, room.height_mm - 4.5)
    laid.puts, laid.lost = place(flags, bars, discs, inner, hurried=hurried)
    bunched: dict[str, list[Tag]] = {}
    while 0 < len(laid.lost) <= _MOST_BUNCHED and _bunch(laid, made, bunched):
        own = {tag.key for some in bunched.values() for tag in some}
        joint = [art.flag_of(tag, tag.at) for key, tag in laid.tags.items() if key[0] == "bunch"]
        laid.puts, laid.lost = place(
            [*joint, *(f for f in flags if f.key not in own)], bars, discs, inner, hurried=hurried
        )
    return laid


def _bunch(laid: Laid, made: Plan, bunched: dict[str, list[Tag]]) -> bool:
    """Name the ends that have no room of their own together, led to their breakout; tell whether there are more."""
    nodes = {(at.x_mm, at.y_mm): node for node, at in made.nodes.items()}
    more = False
    for key in laid.lost:
        if key[0] in ("connector", "thing"):
            start = made.tail_of(key[1]).start
            node = nodes[start.x_mm, start.y_mm]
            if node in laid.breakouts:
                bunched.setdefault(node, []).append(laid.tags[key])
                more = True
    for node, some in bunched.items():
        names = " ".join(sorted((tag.name for tag in some), key=natural))
        tag = Tag(node, "bunch", names, ((names, ""),), (laid.breakouts[node],))
        laid.tags[tag.key] = tag
    return more


def _cut(
    laid: Laid,
    flags: list[Flag],
    stretch: Stretch,
    at: Point,
    where: int,
    letters: dict[tuple[int, str], str],
) -> None:
    """Mark where a piece is cut with a letter, the same in both strips."""
    key = (where, f"{stretch.kind} {stretch.id}")
    letter = letters.setdefault(key, _letter(len(letters)))
    laid.cuts.append(at)
    outward = 1.0 if at.x_mm > laid.room.centre.x_mm else -1.0
    tag = Tag(f"{letter} {outward:g}", "cut", letter, ((letter, ""),), (at,), (outward, 0.0))
    laid.tags[tag.key] = tag
    flags.append(art.flag_of(tag, [at]))


def _letter(number: int) -> str:
    return ("" if number < 26 else _letter(number // 26 - 1)) + chr(97 + number % 26)


def leaves_of(all_of_it: Arranged) -> list[Leaf]:
    """Return the pages of a build board."""
    leaves = []
    count = len(all_of_it.laid)
    for page in range(all_of_it.pages):
        subject = f"1:{all_of_it.scale:g}" + (
            f", page {page + 1} of {all_of_it.pages}" if all_of_it.pages > 1 else ""
        )
        leaf = Leaf(all_of_it.paper, NAME, subject, [(0, NAME)] if page == 0 else [])
        here = [(n, one) for n, one in enumerate(all_of_it.laid) if one.page == page]
        for number, one in here:
            _draw(leaf, one, f"strip {number + 1} of {count}" if count > 1 else "", rule=number != here[0][0])
        body = leaf.paper.body
        said = (
            f"scale 1:{all_of_it.scale:g}; every run straight and in its true length, branch angles free; square frame:"
            " connector, round frame: other thing, ring: breakout, dot: splice; at a flag the length of its tail"
        )
        if count > 1:
            said += "; a letter: goes on at the same letter"
        if all_of_it.lost:
            said += f"; {all_of_it.lost} texts have no free place here: see the list"
        leaf.add(Text(body.left_mm, body.bottom_mm - 1.2, said, LEAST_MM, REGULAR, "muted"))
        leaves.append(leaf)
    return leaves


def _draw(leaf: Leaf, laid: Laid, title: str, *, rule: bool) -> None:
    room = laid.room
    if rule:
        leaf.add(Stroke(line((room.left_mm, room.top_mm), (room.right_mm, room.top_mm)), "hairline", 0.25))
    if title:
        leaf.add(Text(room.left_mm, room.top_mm + 2.4, title, SMALL_MM, STRONG, "muted"))
    leaf.add(*art.leaders(laid.puts.values()))
    for stretch, ends in sorted(laid.pieces, key=lambda one: one[0].kind != "tail"):
        leaf.add(art.piece(stretch, ends))
    leaf.add(*map(art.cut_mark, laid.cuts))
    leaf.add(*(art.breakout(at) for at in laid.breakouts.values()))
    leaf.add(*(art.splice(at) for at in laid.splices.values()))
    for key, put in laid.puts.items():
        leaf.add(*art.flag_art(laid.tags[key], put))
