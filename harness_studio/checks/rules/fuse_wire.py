"""Fuses protect their wires: rating against ampacity, clearing against withstand, a dead short at the far end."""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache

from harness_studio.checks import words
from harness_studio.checks.carrying import Carried
from harness_studio.checks.finding import Finding, finding
from harness_studio.checks.scope import Scope
from harness_studio.checks.shorts import LAW
from harness_studio.electrics.heat import short_circuit
from harness_studio.electrics.heat.short_circuit import Clearing
from harness_studio.model.parts import Part
from harness_studio.network.wires import area_mm2
from harness_studio.standards import fuse_bands, fuses
from harness_studio.standards.figures import Figure, NotJudged

from .fuse_load import fuses_in, style_of


def pairs(scope: Scope, *, returns: bool = True) -> Iterator[tuple[str, Part, Carried]]:
    """Yield (wire, the fuse it relies on with the highest rating, what the wire may carry at least).

    Feeds come first, then the `returns` of the loads behind the fuses.
    """
    parts, protection = scope.harness.parts, scope.protection
    wires = [
        *protection.fuses_of,
        *(w for w in protection.returns if returns and w not in protection.fuses_of),
    ]
    for wire in wires:
        rated = [parts[f] for f in protection.before(wire) if parts[f].ratings.rated_a is not None]
        row = scope.least.get(wire)
        if rated and row is not None:
            yield wire, max(rated, key=lambda part: float(part.ratings.rated_a)), row


def rating(scope: Scope) -> Iterator[Finding]:
    """Find fuses rated above what a wire behind them may carry."""
    for wire, fuse, row in pairs(scope):
        rated_a = float(fuse.ratings.rated_a)
        if fuse.kind == "link" or isinstance(row.may, NotJudged) or rated_a <= row.may.figure.value:
            continue
        may = row.may.figure
        over_free_air = isinstance(row.alone, Figure) and rated_a > row.alone.value
        where = "" if over_free_air else f" among {row.around.in_run} wires of its run"
        title = scope.harness.title_of(fuse.id)
        yield finding(
            "fuse_wire",
            "stop" if over_free_air else "mend",
            [wire, fuse.id],
            f"{title} ({rated_a:g} A) does not protect {_named(scope, wire)}: it may carry "
            f"{words.amps(may.value)}{where} ({may.method}), the fuse carries {rated_a:g} A for good",
            value=rated_a,
            limit=may.value,
            unit="A",
            figures=[may],
            source="fuse at most the ampacity of the smallest wire it protects, trade rule read on several pages",
            sureness="seen2",
            remedy=f"a fuse of at most {_rating_below(fuse, may.value)}, or a thicker wire up to the next fuse",
            alike=f"wires not protected by {fuse.id}",
        )


def _named(scope: Scope, wire: str) -> str:
    """Return a wire with its size, and that it is a return: 'W5 (1.5 mm²), a return from behind it'."""
    back = "" if wire in scope.protection.fuses_of else ", a return from behind it"
    return f"{wire} ({words.size(scope.harness.wires[wire])}){back}"


def _rating_below(fuse: Part, amperes: float) -> str:
    style = style_of(fuse)
    fitting = [r for r in fuse_bands.ratings_a(style) if r <= amperes] if style else []
    return f"{fitting[-1]:g} A" if fitting else words.amps(amperes)


def withstand(scope: Scope) -> Iterator[Finding]:
    """Find wires that a fault current damages before their fuse must have cleared it."""
    shorts = scope.shorts
    for wire, fuse, row in pairs(scope):
        style = style_of(fuse)
        if style is None or not row.sized or not shorts.judged:
            continue
        back = wire not in scope.protection.fuses_of
        near_a = shorts.return_a(wire, fuse.id) if back else shorts.near_a(scope.wire_branch[wire])
        found = weakest(style, fuse, row, near_a)
        if isinstance(found, NotJudged) or found.ok:
            continue
        yield finding(
            "fuse_withstand",
            "stop",
            [wire, fuse.id],
            f"at {words.amps(found.amperes)} {scope.harness.title_of(fuse.id)} ({fuse.ratings.rated_a:g} A) may take "
            f"{words.seconds(found.clears.value)}, {_named(scope, wire)} bears it for "
            f"{words.seconds(found.withstands.value)} only: the wire goes first",
            value=found.clears.value if found.clears.value != float("inf") else None,
            limit=found.withstands.value,
            unit="s",
            figures=[found.clears, found.withstands],
            remedy="a smaller or faster fuse, or a thicker wire up to the next fuse",
            alike=f"wires that go before {fuse.id}",
            because=[f"fuse_wire/{wire}"] if _told_stop(row, float(fuse.ratings.rated_a)) else (),
        )


def _told_stop(row: Carried, rated_a: float) -> bool:
    """Tell whether a wire is told as unfit for its fuse even alone in free air."""
    return (
        not isinstance(row.may, NotJudged)
        and rated_a > row.may.figure.value
        and isinstance(row.alone, Figure)
        and rated_a > row.alone.value
    )


def weakest(style: str, fuse: Part, row: Carried, up_to_a: float) -> Clearing | NotJudged:
    """Return where a fuse protects a wire least; the largest current to two digits, for which tables repeat."""
    up_to = float(f"{up_to_a:.2g}")
    return _weakest(style, float(fuse.ratings.rated_a), row.cable, up_to, row.around.ambient_c)


_weakest = lru_cache(maxsize=8192)(short_circuit.weakest)


def far_short(scope: Scope) -> Iterator[Finding]:
    """Find fuses that do not clear a dead short at the far end of a wire in time."""
    shorts, limit = scope.shorts, scope.limits["fuse_clear_s"]
    if not shorts.judged or limit.value is None:
        return
    for wire, fuse, row in pairs(scope, returns=False):
        style = style_of(fuse)
        if style is None or not (row.sized and row.measured):
            continue
        far_a = shorts.far_a(scope.wire_branch[wire], fuse.id)
        band = fuse_bands.band(style, float(fuse.ratings.rated_a), far_a)
        if isinstance(band, NotJudged) or band.longest_s <= limit.value:
            continue
        never = band.longest_s == float("inf")
        time = "need never clear" if never else f"may take {words.seconds(band.longest_s)} to clear"
        yield finding(
            "fuse_short",
            "stop" if never else "mend",
            [wire, fuse.id],
            f"a dead short at the far end of {wire} draws {words.amps(far_a)} only: {scope.harness.title_of(fuse.id)} "
            f"({fuse.ratings.rated_a:g} A) {time}; {words.seconds(limit.value)} at most",
            value=None if never else band.longest_s,
            limit=limit,
            source="; ".join(t for t in (band.source, LAW, shorts.note) if t),
            sureness=band.sureness,
            method=fuse_bands.METHOD,
            remedy="thicker wires there and back, or a smaller fuse",
        )


def breaking(scope: Scope) -> Iterator[Finding]:
    """Find fuses so near the battery that a dead short behind them draws more than they are made to interrupt."""
    shorts = scope.shorts
    if not shorts.judged:
        return
    for part in fuses_in(scope):
        style = style_of(part)
        if style is None or part.id not in scope.protection.behind:
            continue
        may, draws = fuse_bands.breaking_a(style), shorts.at_fuse_a(part.id)
        if isinstance(may, Figure) and draws > may.value:
            note = f" ({shorts.note})" if shorts.note else ""
            yield finding(
                "fuse_breaking",
                "note",
                [part.id],
                f"a dead short right behind {scope.harness.title_of(part.id)} would draw {words.amps(draws)}{note}; "
                f"its style is made to interrupt {may.value:g} A",
                value=draws,
                limit=may.value,
                unit="A",
                figures=[may],
                method=LAW,
                remedy="a main fuse with a higher breaking capacity before it, or more wire between",
            )


def ways_around(scope: Scope) -> Iterator[Finding]:
    """Find fuses that metal leads around, and stretches that two fuses feed."""
    for fuse in scope.protection.bypassed:
        yield finding(
            "fuse_bypassed",
            "stop",
            [fuse],
            f"metal leads around {scope.harness.title_of(fuse)}: what it should protect is fed without it",
            source="every way from the battery to a wire passes a fuse, common practice, no source",
            sureness="common practice, no source",
            method="walk from the battery",
            remedy="find the second feed and take it off",
        )
    for first, second in scope.protection.parallel:
        yield finding(
            "fuse_parallel",
            "mend",
            [first, second],
            f"{scope.harness.title_of(first)} and {scope.harness.title_of(second)} feed the same wires: pulling one "
            "leaves them live, and a fault draws through both",
            source="one circuit, one fuse, common practice, no source",
            sureness="common practice, no source",
            method="walk from the battery",
            remedy="part the two feeds",
        )


def links(scope: Scope) -> Iterator[Finding]:
    """Find fusible links that are not thinner enough than a wire they protect."""
    ratio = scope.limits["link_area_ratio"]
    if ratio.value is None:
        return
    for wire, before in scope.protection.fuses_of.items():
        area = area_mm2(scope.harness.wires[wire])
        for fuse in (scope.harness.parts[f] for f in before):
            link_mm2 = getattr(fuse.ratings, "area_mm2", None)
            if (
                fuse.kind != "link"
                or link_mm2 is None
                or area is None
                or area >= link_mm2 * ratio.value * 0.98
            ):
                continue
            yield finding(
                "link_size",
                "mend",
                [wire, fuse.id],
                f"link {scope.harness.title_of(fuse.id)} ({words.area(link_mm2)}) is too thick for {wire} "
                f"({words.area(area)}): the wire should be {ratio.value:g} times as thick",
                value=area / link_mm2,
                limit=ratio,
                method="sizes compared",
                remedy=f"a link of at most {words.area(area / ratio.value)}, or a fuse",
            )


def made(scope: Scope) -> Iterator[Finding]:
    """Find ratings that are not made, and name the next one."""
    for part in fuses_in(scope):
        style, rated_a = style_of(part), part.ratings.rated_a
        if style is None or rated_a is None:
            continue
        ratings = fuse_bands.ratings_a(style)
        if not ratings or any(abs(r - rated_a) < 1e-6 for r in ratings):
            continue
        following = fuse_bands.next_rating(style, rated_a)
        below = max((r for r in ratings if r < rated_a), default=None)
        near = " and ".join(
            f"{r:g} A"
            for r in (below, following.value if isinstance(following, Figure) else None)
            if r is not None
        )
        yield finding(
            "fuse_rating",
            "note",
            [part.id],
            f"{scope.harness.title_of(part.id)}: no {style} fuse of {rated_a:g} A is made; the nearest are {near}",
            value=rated_a,
            unit="A",
            figures=[following] if isinstance(following, Figure) else [],
            source=f"ratings that are made of style {style}",
            method="table",
            remedy="the lower of the two, unless every wire behind it may carry the higher",
        )


def not_judged(scope: Scope) -> Iterator[Finding]:
    """Find fuses of which too little is known to judge them."""
    for part in fuses_in(scope):
        ratings = part.ratings
        style = getattr(ratings, "style", None)
        if part.kind == "link":
            if ratings.rated_a is None and ratings.area_mm2 is None:
                yield _unjudged(part, "neither rating nor size of the link is known", "write its size")
            continue
        if ratings.rated_a is None:
            yield _unjudged(part, "rating not known", "read the rating off the fuse")
        elif style is None:
            yield _unjudged(part, "style not known, so no time band", "write its style, such as blade_medium")
        elif style not in fuses.styles():
            yield _unjudged(part, f"style '{style}' has no time band", f"one of {', '.join(fuses.styles())}")
        else:
            band = fuse_bands.band(style, ratings.rated_a, 2.0 * ratings.rated_a)
            if isinstance(band, NotJudged):
                yield _unjudged(part, band.why, "a style and rating of which the limits are known")


def _unjudged(part: Part, why: str, remedy: str) -> Finding:
    return finding(
        "fuse_not_judged",
        "note",
        [part.id],
        f"{part.id} not judged: {why}",
        source="what its record lacks, or the tables do not hold",
        method="not judged",
        remedy=remedy,
        alike=f"not judged: {why}",
    )
