"""Volts lost on the way: along wires, across joints and contacts, to each load and back."""

from __future__ import annotations

from collections.abc import Iterator

from harness_studio.checks import words
from harness_studio.checks.causes import CONTACTS, Cause, explained, joint_limit, told_loaded, wire_limit
from harness_studio.checks.finding import Finding, finding
from harness_studio.checks.limits import Limit
from harness_studio.checks.loads import LEAST_A, Load
from harness_studio.checks.scope import Scope, State
from harness_studio.network.network import Element
from harness_studio.standards import wires as sizes

_SOLVED = "solved volts"
SENSORS = frozenset({"sender", "ntc"})
CRITICAL = frozenset({"control_unit", "gauge", "stabiliser", "voltmeter", "ammeter"})
"""Kinds that count as electronics and instruments where a limit set tells them apart."""


def wire(scope: Scope, state: State) -> Iterator[Finding]:
    """Find wires that lose more than one wire should."""
    limit = wire_limit(scope, state)
    if limit.value is None:
        return
    for row in state.wires.values():
        if abs(row.drop_v) <= limit.value:
            continue
        entity = scope.harness.wires[row.wire]
        wanted = next_size_mm2(row.cable.area_mm2 * abs(row.drop_v) / limit.value)
        thicker = (
            f"at least {words.area(wanted)} for this length and current, or a shorter way" if wanted else ""
        )
        yield finding(
            "wire_drop",
            "mend",
            [row.wire],
            f"{row.wire} ({words.size(entity)}) loses {words.volts(abs(row.drop_v))} at {words.amps(row.amperes)} "
            f"({words.of_ohms(row.drop_v, row.amperes)}); one wire should lose {words.volts(limit.value)} at most",
            value=abs(row.drop_v),
            limit=limit,
            method=_SOLVED,
            remedy=thicker or "a shorter way, or two wires",
        )


def next_size_mm2(area_mm2: float) -> float | None:
    """Return the smallest usual size that is not below an area; None where there is none."""
    return next((size for size in sizes.standard_sizes_mm2() if size >= area_mm2 * (1 - 1e-9)), None)


def joint(scope: Scope, state: State) -> Iterator[Finding]:
    """Find joints and contacts that lose more than one should."""
    branches = state.network.branches
    for number, kind in enumerate(branches.kind):
        contact = kind in CONTACTS
        limit = joint_limit(scope, kind)
        if limit is None:
            continue
        drop_v, amperes = abs(state.drops_v[number]), state.amperes[number]
        if limit.value is None or not drop_v > limit.value:
            continue
        address = branches.address[number]
        what = "contact" if contact else "joint"
        rises = address in scope.rising
        yield finding(
            "contact_drop" if contact else "joint_drop",
            "mend",
            [address],
            f"{what} {address} loses {words.volts(drop_v)} at {words.amps(amperes)} "
            f"({words.of_ohms(drop_v, amperes)}); one {what} should lose {words.volts(limit.value)} at most",
            value=drop_v,
            limit=limit,
            method=_SOLVED,
            remedy="renew the contact, or let a relay carry the load"
            if contact
            else "part, clean and remake the joint",
            because=[f"ground_rise/{address}"] if rises else (),
        )


def paths(scope: Scope, state: State) -> Iterator[Finding]:
    """Find loads that lose too much on their feed, on their return, or on both together."""
    if state.posts is None:
        return
    supply_v = state.posts.volts(state.solution)
    for load in state.loads:
        starting = load.kind == "starter"
        if (starting and not state.cranking) or load.kind in SENSORS:
            continue  # what a sensor's ground does to its reading is judged by a rule of its own
        pre = "starter_" if starting else ""
        feed, back = scope.limits[f"{pre}feed_drop_v"], return_limit(scope, state, load)
        path = scope.limits[f"{pre}path_drop_v"]
        causes = state.causes
        yield from _side(scope, load, "feed_drop", load.feed_drop_v, feed, causes.on_feed(load.feed))
        yield from _side(scope, load, "return_drop", load.back_drop_v, back, causes.on_return(load.back))
        sides = list(_sides_beyond(load, feed, back))
        yield from _side(scope, load, "path_drop", load.path_drop_v, path, iter(sides))
        if not starting:
            yield from _percent(scope, load, supply_v, path, sides)


def return_limit(scope: Scope, state: State, load: Load) -> Limit:
    """Return what a load may lose on its return: while cranking the starter's current is on the way of all others."""
    if load.kind == "starter":
        return scope.limits["starter_return_drop_v"]
    ordinary, cranking = scope.limits["return_drop_v"], scope.limits["return_cranking_drop_v"]
    wider = ordinary.value is not None and cranking.value is not None and cranking.value > ordinary.value
    return cranking if state.cranking and wider else ordinary


def _sides_beyond(load: Load, feed: Limit, back: Limit) -> Iterator[Cause]:
    """Yield the sides of a way that are told themselves, with the volts by which each is beyond its limit."""
    for rule, drop_v, limit in (
        ("return_drop", load.back_drop_v, back),
        ("feed_drop", load.feed_drop_v, feed),
    ):
        if drop_v is not None and limit.value is not None and drop_v > limit.value:
            yield Cause(f"{rule}/{load.part}", drop_v - limit.value)


_SIDES = {
    "feed_drop": (
        "on its feed",
        "measure from the battery's post along the feed: the step that reads most is the fault",
    ),
    "return_drop": (
        "on its return",
        "measure from its ground to the grounded post: the step that reads most is the fault",
    ),
    "path_drop": ("there and back", "thicker wires, a shorter way, or a relay near the load"),
}


def _side(
    scope: Scope, load: Load, rule: str, drop_v: float | None, limit: Limit, causes: Iterator[Cause]
) -> Iterator[Finding]:
    if drop_v is None or limit.value is None or drop_v <= limit.value:
        return
    where, remedy = _SIDES[rule]
    name = words.load_name(scope.harness, load.element)
    yield finding(
        rule,
        "mend",
        [load.part, load.element] if load.element != load.part else [load.part],
        f"{name} loses {words.volts(drop_v)} {where} at {words.amps(load.amperes)} "
        f"({words.of_ohms(drop_v, load.amperes)} as seen from it); {words.volts(limit.value)} at most",
        value=drop_v,
        limit=limit,
        method=_SOLVED,
        remedy=remedy,
        alike=f"{rule} of {load.part}",
        because=explained(drop_v, limit.value, causes),
    )


def _percent(scope: Scope, load: Load, supply_v: float, path: Limit, sides: list[Cause]) -> Iterator[Finding]:
    critical = scope.limits["path_critical_percent"]
    limit = (
        critical
        if load.kind in CRITICAL and critical.value is not None
        else scope.limits["path_drop_percent"]
    )
    if load.path_drop_v is None or limit.value is None or not supply_v > 0.0:
        return
    percent = 100.0 * load.path_drop_v / supply_v
    if percent <= limit.value:
        return
    name = words.load_name(scope.harness, load.element)
    told = path.value is not None and load.path_drop_v > path.value
    allowed_v = limit.value * supply_v / 100.0
    yield finding(
        "path_percent",
        "mend",
        [load.part, load.element] if load.element != load.part else [load.part],
        f"{name} loses {percent:.1f} % of the battery's {words.volts(supply_v)} there and back "
        f"({words.volts(load.path_drop_v)} at {words.amps(load.amperes)}, "
        f"{words.of_ohms(load.path_drop_v, load.amperes)} as seen from it); {limit.value:g} % at most",
        value=percent,
        limit=limit,
        method=_SOLVED,
        remedy=_SIDES["path_drop"][1],
        alike=f"path_percent of {load.part}",
        because=[f"path_drop/{load.part}"] if told else explained(load.path_drop_v, allowed_v, iter(sides)),
    )


def charging(scope: Scope, state: State) -> Iterator[Finding]:
    """Find what is lost between a charging alternator and the battery, on either side."""
    if not state.running or state.posts is None:
        return
    volts, posts = state.solution.volts, state.posts
    for element in state.network.elements:
        if element.kind not in ("alternator", "dynamo") or element.part == posts.source:
            continue
        amperes = _charges(state, element)
        if amperes is None:
            continue
        live, case = ("B+", "B-") if posts.sign > 0 else ("B-", "B+")
        feed_v = posts.sign * float(volts[element.terminals[live]] - volts[posts.hot])
        back_v = posts.sign * float(volts[posts.grounded] - volts[element.terminals[case]])
        for side, drop_v, where in (
            ("feed", feed_v, "to the battery's post"),
            ("return", back_v, "from the grounded post"),
        ):
            limit = scope.limits[f"charging_{side}_drop_v"]
            if limit.value is not None and drop_v > limit.value:
                yield finding(
                    "charging_drop",
                    "mend",
                    [element.part, f"{element.part}.{live if side == 'feed' else case}"],
                    f"{scope.harness.title_of(element.part)} loses {words.volts(drop_v)} {where} at "
                    f"{words.amps(amperes)} ({words.of_ohms(drop_v, amperes)} as seen from it); "
                    f"{words.volts(limit.value)} at most on each side",
                    value=drop_v,
                    limit=limit,
                    method=_SOLVED,
                    remedy="a thicker charging wire; clean posts, case and straps",
                )


def _charges(state: State, generator: Element) -> float | None:
    """Return what a generator gives; None if nothing, or if no metal leads to both posts (a cut-off may be open)."""
    posts = state.posts
    assert posts is not None
    given = next((e for e in state.solution.elements if e.address == generator.address), None)
    amperes = max(map(abs, given.amperes), default=0.0) if given is not None else 0.0
    if amperes < LEAST_A:
        return None
    label, node = state.metal.label, state.metal.node
    ends = {int(label[node[generator.terminals[t]]]) for t in ("B+", "B-")}
    joined = {int(label[node[posts.hot]]), int(label[node[posts.grounded]])} == ends
    return amperes if joined else None


def poor_joint(scope: Scope) -> Iterator[Finding]:
    """Find joints that were recorded much worse than a clean one, however little they carry now."""
    limit = scope.limits["joint_times_clean"]
    recorded = [j for j in scope.harness.joints.values() if j.mohm is not None]
    if limit.value is None or not recorded:
        return
    clean = scope.clean
    ohm = clean.branches.resistance_ohm
    for record in recorded:
        number = clean.joints.get(record.id)
        if number is None or record.mohm is None or clean.branches.kind[number] in ("body", "bond", "fuse"):
            continue
        clean_mohm = float(ohm[number]) * 1e3
        if not record.mohm > limit.value * clean_mohm:
            continue
        said = f": {record.note}" if record.note else ""
        found = "open" if record.mohm == float("inf") else f"{record.mohm:g} mΩ"
        yield finding(
            "joint_poor",
            "mend",
            [record.id],
            f"joint {record.id} was found {found}, a clean one has {clean_mohm:.2g} mΩ{said}",
            value=record.mohm,
            limit=limit.value * clean_mohm,
            unit="mΩ",
            source=f"limit joint_times_clean: {limit.source} | clean joint: working range, common practice, no source",
            sureness=limit.sureness,
            method="as recorded",
            remedy="part, clean to bright metal and remake the joint; then measure it again under load",
            because=told_loaded(scope, record.id),
        )
