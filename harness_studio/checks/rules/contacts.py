"""Contacts and cavities: rating, crimp range, plating, seals and plugs, two wires in one place."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from harness_studio.base.ids import split_point
from harness_studio.checks import limits as limit_files
from harness_studio.checks import words
from harness_studio.checks.finding import Finding, finding
from harness_studio.checks.loads import LEAST_A
from harness_studio.checks.scope import Scope, State
from harness_studio.model.entities import Half
from harness_studio.model.harness import Harness
from harness_studio.model.values import Contact
from harness_studio.network.fixtures import mated_cavities, plugged_terminals
from harness_studio.network.wires import area_mm2
from harness_studio.standards import provenance

_TRADE = "contact and wire are a pair, common practice, no source"


def contact_at(half: Half, cavity: str) -> Contact | None:
    """Return the contact of a cavity: its own, else the half's."""
    own = half.cavities.get(cavity)
    return (own.contact if own else None) or half.contact


def _row(tab_mm: float | None) -> Mapping[str, Any] | None:
    rows = limit_files.load("contact_ratings")["rows"]
    return next((row for row in rows if tab_mm is not None and abs(row["tab_mm"] - tab_mm) < 0.05), None)


def _mark(row: Mapping[str, Any]) -> provenance.Provenance:
    return provenance.of(row, limit_files.load("contact_ratings"))


def rated_a(contact: Contact | None) -> tuple[float, str, str] | None:
    """Return (amperes, source, sureness) of a contact: as recorded, else by its tab width; None if neither."""
    if contact is None:
        return None
    if contact.rated_a is not None:
        return contact.rated_a, "the contact's own rating, as recorded", "seen1"
    row = _row(contact.tab_mm)
    if row is None:
        return None
    mark = _mark(row)
    return (
        float(row["amperes"]),
        f"contact of a {row['tab_mm']:g} mm tab: {mark.source} (upper figure)",
        mark.sureness,
    )


def wires_at(harness: Harness) -> dict[str, list[str]]:
    """Return the wires that end in each cavity, by its address."""
    found: dict[str, list[str]] = {}
    for wire in harness.wires.values():
        for end in wire.ends:
            if end.what == "point" and split_point(end.text)[0] in harness.halves:
                found.setdefault(end.text, []).append(wire.id)
    return found


def current(scope: Scope, state: State) -> Iterator[Finding]:
    """Find contacts that carry more than their rating, the weaker of the two that meet, and those without any."""
    share = scope.limits["contact_share"]
    for half in scope.harness.halves.values():
        pairs = [*mated_cavities(scope.harness, half), *plugged_terminals(scope.harness, half)]
        for own, theirs in pairs:
            amperes = state.branch_amperes(own)
            rated = min(filter(None, (_rating_at(scope, at) for at in (own, theirs))), default=None)
            if rated is None and share.value is not None and amperes >= LEAST_A:
                yield _not_judged(own, amperes)
            if rated is None or share.value is None or amperes <= share.value * rated[0]:
                continue
            yield finding(
                "contact_current",
                "stop",
                [own],
                f"contact {own} carries {words.amps(amperes)} and is rated {words.amps(rated[0])}",
                value=amperes,
                limit=share.value * rated[0],
                unit="A",
                source=f"{rated[1]} | limit {share.name}: {share.source}",
                sureness=provenance.lower(rated[2], share.sureness) if share.value != 1.0 else rated[2],
                method="solved current",
                remedy="a larger contact, or two cavities with a wire each",
            )


def _not_judged(at: str, amperes: float) -> Finding:
    return finding(
        "contact_not_judged",
        "note",
        [at],
        f"contact {at} carries {words.amps(amperes)} and is not judged: neither rating nor tab width recorded",
        source="what the contact's record lacks",
        method="not judged",
        remedy="write tab_mm or rated_a under the contact of the half, or of the cavity",
        alike="contacts not judged, neither rating nor tab width recorded",
    )


def _rating_at(scope: Scope, at: str) -> tuple[float, str, str] | None:
    owner, cavity = split_point(at)
    half = scope.harness.halves.get(owner)
    return rated_a(contact_at(half, cavity)) if half and cavity else None


def crimp(scope: Scope) -> Iterator[Finding]:
    """Find crimps outside the range of their contact: all wires of the cavity together."""
    for at, here in wires_at(scope.harness).items():
        owner, cavity = split_point(at)
        contact = contact_at(scope.harness.halves[owner], cavity or "")
        areas = [area_mm2(scope.harness.wires[w]) for w in here]
        known = [a for a in areas if a is not None]
        if contact is None or not known or len(known) < len(areas):
            continue
        row = _row(contact.tab_mm)
        if row is None and contact.tab_mm is not None and contact.crimp_mm2 is None:
            yield _crimp_not_judged(at, here, contact.tab_mm)
            continue
        span = contact.crimp_mm2 or (tuple(row["crimp_mm2"]) if row and "crimp_mm2" in row else None)
        total = sum(known)
        if span is None or span[0] * 0.98 <= total <= span[1] * 1.02:
            continue
        recorded = contact.crimp_mm2 is not None
        source, sureness = _crimp_source(row) if row is not None and not recorded else (None, "seen1")
        yield finding(
            "crimp_range",
            "mend",
            [at, *here],
            f"{words.listed(here)} in {at}: {words.area(total)}, the contact takes {span[0]:g} to {span[1]:g} mm²",
            value=total,
            limit=span[0] if total < span[0] else span[1],
            unit="mm²",
            source=f"crimp range of the tab width: {source}"
            if source
            else "the contact's own crimp range, as recorded",
            sureness=sureness,
            method="sizes compared",
            remedy="a contact for this size, or a splice to a wire that fits",
        )


def _crimp_source(row: Mapping[str, Any]) -> tuple[str, str]:
    if "crimp_source" in row:
        return str(row["crimp_source"]), str(row["crimp_sureness"])
    mark = _mark(row)
    return mark.source, mark.sureness


def _crimp_not_judged(at: str, here: list[str], tab_mm: float) -> Finding:
    known = ", ".join(f"{row['tab_mm']:g}" for row in limit_files.load("contact_ratings")["rows"])
    return finding(
        "crimp_not_judged",
        "note",
        [at, *here],
        f"crimp and rating at {at} not judged: no figures for a tab of {tab_mm:g} mm",
        value=tab_mm,
        unit="mm",
        source="what the tables do not hold",
        method="not judged",
        remedy=f"write crimp_mm2 and rated_a of the contact, or the tab width it really has ({known} mm)",
        alike=f"crimp and rating not judged, no figures for a tab of {tab_mm:g} mm",
    )


def plating(scope: Scope) -> Iterator[Finding]:
    """Find mated contacts of different plating."""
    for half in scope.harness.halves.values():
        for own, theirs in mated_cavities(scope.harness, half):
            if own not in scope.network.joints:
                continue
            first, second = (_plating(scope, at) for at in (own, theirs))
            if first is None or second is None or first == second:
                continue
            yield finding(
                "plating_mixed",
                "mend",
                [own, theirs],
                f"{own} is {first}, {theirs} is {second}: mixed plating frets and corrodes",
                source="vendors' guidance: mating gold to tin gains nothing, the tin oxidises on the gold",
                sureness="seen1",
                method="as recorded",
                remedy="the same plating on both sides",
                alike=f"mixed plating, {' against '.join(sorted((first, second)))}",
            )


def _plating(scope: Scope, at: str) -> str | None:
    owner, cavity = split_point(at)
    contact = contact_at(scope.harness.halves[owner], cavity or "")
    return contact.plating.strip().lower() if contact and contact.plating else None


def seals(scope: Scope) -> Iterator[Finding]:
    """Find sealed halves with an open cavity or a wire without a seal; what is not recorded is told as that."""
    used = wires_at(scope.harness)
    for half in scope.harness.halves.values():
        for name in half.cavity_names() if half.sealed else ():
            at, cavity = f"{half.id}.{name}", half.cavities.get(name)
            if at in used:
                yield from _seal(half, at, cavity.seal if cavity else None)
            else:
                yield from _plug(half, at, cavity.plug if cavity else None)


_SEALING = "vendors' guidance: one open cavity defeats a sealed connector"
NONE_WORDS = frozenset({"none", "missing", "no", "without", "lost"})
"""Words by which a seal is recorded as lacking."""


def _seal(half: Half, at: str, seal: str | None) -> Iterator[Finding]:
    lacking = seal is not None and seal.strip().lower() in NONE_WORDS
    if seal is not None and not lacking:
        return
    said = "has no seal" if lacking else "has no seal recorded"
    yield finding(
        "seal_missing",
        "mend" if lacking else "note",
        [at],
        f"{at} of the sealed half {half.id} holds a wire and {said}",
        source=_SEALING,
        sureness="seen1",
        method="as recorded",
        remedy="a seal that fits the insulation's diameter" if lacking else "look, and write the seal down",
        alike=f"wire seal {'missing' if lacking else 'not recorded'} in sealed half {half.id}",
    )


def _plug(half: Half, at: str, plug: str | None) -> Iterator[Finding]:
    if plug == "fitted":
        return
    lacking = plug == "missing"
    yield finding(
        "plug_missing",
        "mend" if lacking else "note",
        [at],
        f"empty cavity {at} of the sealed half {half.id} has no plug{'' if lacking else ' recorded'}",
        source=_SEALING,
        sureness="seen1",
        method="as recorded",
        remedy="a cavity plug" if lacking else "look, and write 'plug: fitted' or 'missing'",
        alike=f"plug {'missing' if lacking else 'not recorded'} in sealed half {half.id}",
    )


def shared_cavity(scope: Scope) -> Iterator[Finding]:
    """Find cavities that hold two wires or more, and terminals of a part that two cavities plug onto."""
    for at, here in wires_at(scope.harness).items():
        if len(here) > 1:
            yield finding(
                "cavity_shared",
                "note" if len(here) == 2 else "mend",
                [at, *here],
                f"{len(here)} wires in cavity {at}: {words.listed(here)}; two crimps and one contact",
                value=float(len(here)),
                limit=1.0 if len(here) == 2 else 2.0,
                unit="wires",
                source="two wires in one crimp are allowed if it is sized for them, trade article",
                sureness="seen1",
                method="as recorded",
                remedy="see that the crimp takes both, or splice them before the connector",
            )
    onto: dict[str, list[str]] = {}
    for half in scope.harness.halves.values():
        for own, terminal in plugged_terminals(scope.harness, half):
            onto.setdefault(terminal, []).append(own)
    for terminal, cavities in onto.items():
        if len(cavities) > 1:
            yield finding(
                "cavity_twice",
                "mend",
                [*cavities, terminal],
                f"{words.listed(cavities)} both plug onto {terminal}: one of them is another terminal",
                source=_TRADE,
                sureness="common practice, no source",
                method="as recorded",
                remedy="ring the terminals out and correct the cavity",
            )


def colours(scope: Scope) -> Iterator[Finding]:
    """Find wires whose colour changes across a mated pair."""
    used = wires_at(scope.harness)
    for half in scope.harness.halves.values():
        for own, theirs in mated_cavities(scope.harness, half):
            for first in used.get(own, ()):
                for second in used.get(theirs, ()):
                    one, other = scope.harness.wires[first].colour, scope.harness.wires[second].colour
                    if one and other and one != other:
                        yield finding(
                            "colour_change",
                            "note",
                            [first, second, own],
                            f"colour changes at {own}: {first} is {one}, {second} is {other}",
                            source="owners' practice: one colour from end to end, common practice, no source",
                            sureness="common practice, no source",
                            method="as recorded",
                            remedy="the same colour on both sides, or a label at the connector",
                        )
