"""Grounds in a mode: their rise, sensors beside power, several ways of one control unit, current through the body."""

from __future__ import annotations

from collections.abc import Iterator

from harness_studio.checks import words
from harness_studio.checks.causes import explained, joint_limit, rise_limit
from harness_studio.checks.finding import Finding, finding
from harness_studio.checks.loads import sides
from harness_studio.checks.scope import Scope, State
from harness_studio.checks.studs import path_ohm
from harness_studio.model.parts import Part
from harness_studio.network.fixtures import SWITCH_KINDS
from harness_studio.network.network import Element

_SOLVED = "solved volts"
SENSORS = frozenset({"sender", "ntc"})


def rise(scope: Scope, state: State) -> Iterator[Finding]:
    """Find ground studs that rise too far above the grounded post, and say what that means in milliohms."""
    limit = rise_limit(scope, state)
    if limit.value is None or state.posts is None:
        return
    for stud in state.studs.studs:
        if stud.joint not in scope.harness.grounds or not abs(stud.rise_v) > limit.value:
            continue
        record = scope.harness.joints.get(stud.joint)
        said = f"; found {record.mohm:g} mΩ: {record.note}" if record and record.mohm and record.note else ""
        own = joint_limit(scope, "stud")
        own_v = abs(stud.amperes * stud.ohm) if stud.ohm != float("inf") else abs(stud.rise_v)
        yield finding(
            "ground_rise",
            "mend",
            [stud.joint],
            f"{scope.harness.title_of(stud.joint)} lies {words.volts(stud.rise_v)} from the grounded post with "
            f"{words.amps(stud.amperes)} through it ({words.of_ohms(stud.rise_v, stud.amperes)} in all, its own joint "
            f"{words.volts(own_v)}{said}); {words.volts(limit.value)} at most",
            value=abs(stud.rise_v),
            limit=limit,
            method=_SOLVED,
            because=()
            if own and own.value is not None and own_v > own.value
            else explained(abs(stud.rise_v), limit.value, state.causes.on_return(stud.point, but=stud.joint)),
            remedy="clean the stud where its own joint loses most, else the strap between its body and the battery",
        )


def sensors(scope: Scope, state: State) -> Iterator[Finding]:
    """Find sensors whose ground lies away from that of the gauge or control unit that reads them."""
    limit = scope.limits["rise_sensor_ground_v"]
    if limit.value is None or state.posts is None:
        return
    for sensor in state.network.elements:
        reader = reader_of(state, sensor) if sensor.kind in SENSORS else None
        if reader is None:
            continue
        ground, back = _back(reader), _back(sensor)
        apart_v = float(state.solution.volts[back] - state.solution.volts[ground])
        if not abs(apart_v) > limit.value:
            continue
        names = [words.load_name(scope.harness, e.part) for e in (sensor, reader)]
        yield finding(
            "sensor_rise",
            "mend",
            [sensor.part, reader.part],
            f"the ground of {names[0]} lies {words.volts(abs(apart_v))} {'above' if apart_v > 0 else 'below'} that of "
            f"{names[1]}, which reads it: the reading is off; {words.volts(limit.value)} at most",
            value=abs(apart_v),
            limit=limit,
            method=_SOLVED,
            remedy=f"take the sensor's return to the ground of {reader.part}, away from loads",
            alike=f"sensors of {reader.part}",
        )


def reader_of(state: State, sensor: Element) -> Element | None:
    """Return the gauge or sensor input that the sensor's signal leads to."""
    node, label = state.metal.node, state.metal.label
    signal = int(label[node[next(iter(sensor.terminals.values()))]])
    for element in state.network.elements:
        at = None
        if element.kind == "gauge":
            at = element.terminals["S"]
        elif (
            element.kind == "control_unit" and element.ratings.terminals[element.state].does == "sensor_input"
        ):
            at = element.terminals[element.state or ""]
        if at is not None and int(label[node[at]]) == signal:
            return element
    return None


def _back(element: Element) -> int:
    """Return the terminal that an element returns by; it stands last."""
    return list(element.terminals.values())[-1]


def units(scope: Scope, state: State) -> Iterator[Finding]:
    """Find control units whose ground rises, and those that return by more than one stud."""
    limit = scope.limits["rise_unit_ground_cranking_v" if state.cranking else "rise_unit_ground_v"]
    for part in scope.harness.parts.values():
        if part.kind != "control_unit" or state.posts is None or not _reads_or_drives(part):
            continue
        grounds = [n for n, t in part.ratings.terminals.items() if t.does in ("ground", "sensor_ground")]
        points = [state.network.index[p] for n in grounds if (p := f"{part.id}.{n}") in state.network.index]
        if not points:
            continue
        title = scope.harness.title_of(part.id)
        up_v = max((float(state.solution.volts[p]) for p in points), key=abs)
        if limit.value is not None and abs(up_v) > limit.value:
            yield finding(
                "unit_rise",
                "mend",
                [part.id],
                f"the ground of {title} lies {words.volts(up_v)} from the grounded post; "
                f"{words.volts(limit.value)} at most",
                value=abs(up_v),
                limit=limit,
                method=_SOLVED,
                remedy="a short thick return of its own to the engine block or the battery's ground",
            )
        yield from _ways(state, part.id, title, points)


def _ways(state: State, part: str, title: str, points: list[int]) -> Iterator[Finding]:
    # A switch that stands on metal grounds what it switches; its case is no ground of the unit it leads to.
    cases = {
        f"{p.id}.{p.mount.terminal}" for p in state.scope.harness.parts.values() if p.mount and _switches(p)
    }
    used = dict.fromkeys(
        g for p in points for g in first_grounds(state, p) if g.partition("@")[0] not in cases
    )
    if len(used) < 2:
        return
    at = [state.network.branches.a[state.network.joints[g]] for g in used]
    volts = state.solution.volts[at].tolist()
    yield finding(
        "unit_grounds",
        "mend",
        [part, *used],
        f"{title} returns by {len(used)} ways: {words.listed(list(used))}, "
        f"{words.volts(max(volts) - min(volts))} apart; current of other loads flows through it",
        value=max(volts) - min(volts),
        unit="V",
        source="vendors' guidance: all returns of a control unit on one place, never on two at once",
        sureness="seen1",
        method="walk through the metal",
        remedy="bring all its grounds to one stud",
    )


def _reads_or_drives(part: Part) -> bool:
    """Tell whether a unit does more than draw current: a radio may stand on another ground without harm."""
    return any(t.does not in ("supply", "draw", "ground") for t in part.ratings.terminals.values())


def _switches(part: Part) -> bool:
    return part.kind in SWITCH_KINDS


def first_grounds(state: State, start: int) -> list[str]:
    """Return the joints by which metal that starts at a point first reaches a body: studs, mounts and places."""
    address = state.network.branches.address
    found: dict[str, None] = {}
    for _, into_metal in _before_metal(state, start):
        found.update(dict.fromkeys(address[branch] for branch in into_metal))
    return list(found)


def _before_metal(state: State, start: int) -> Iterator[tuple[int, list[int]]]:
    """Yield (point, branches into a body there) of the metal that starts at a point, up to the first bodies."""
    kinds = state.network.branches.kind
    seen, waiting = {start}, [start]
    while waiting:
        here = waiting.pop()
        near = state.neighbours.get(here, [])
        into_metal = [branch for branch, _ in near if kinds[branch] in ("stud", "mount", "body")]
        yield here, into_metal
        for _, other in () if into_metal else near:
            if other not in seen:
                seen.add(other)
                waiting.append(other)


def mixed(scope: Scope, state: State) -> Iterator[Finding]:
    """Find studs on which a sensor returns beside a load of some amperes."""
    limit = scope.limits["mixed_return_a"]
    if limit.value is None or state.posts is None:
        return
    sensed = _sensed(state)
    powered: dict[str, list[tuple[float, str]]] = {}
    for load in state.loads if sensed else ():
        if load.back is not None and load.kind not in SENSORS:
            for stud, share in state.studs.through(load.back):
                powered.setdefault(stud.joint, []).append((load.amperes * share, load.part))
    ohm = {stud.joint: stud.ohm for stud in state.studs.studs}
    for joint, sensors_here in sensed.items():
        strong = sorted((row for row in powered.get(joint, ()) if row[0] > limit.value), reverse=True)
        if not strong or joint not in scope.harness.grounds:
            continue
        amperes, part = strong[0]
        moved_v = sum(a for a, _ in strong) * ohm[joint]
        moved = "" if ohm[joint] == float("inf") else f", which moves it by {words.volts(moved_v)}"
        titles = [scope.harness.title_of(p) for _, p in strong]
        yield finding(
            "mixed_returns",
            "mend",
            [joint, *dict.fromkeys(sensors_here)],
            f"sensor {words.listed(sensors_here)} returns on {scope.harness.title_of(joint)} beside "
            f"{words.listed(titles, 3)} ({words.amps(amperes)} of {part} alone{moved})",
            value=amperes,
            limit=limit,
            method="shares of each return",
            remedy="a stud of its own for the sensor, at the ground of what reads it",
        )


def _sensed(state: State) -> dict[str, list[str]]:
    """Return by ground the sensors that return on it, but not those that return to a control unit's own terminal."""
    units = {p for e in state.network.elements if e.kind == "control_unit" for p in e.terminals.values()}
    found: dict[str, list[str]] = {}
    for element in state.network.elements:
        if element.kind not in SENSORS:
            continue
        if units and any(point in units for point, _ in _before_metal(state, _back(element))):
            continue
        for ground in first_grounds(state, _back(element)):
            found.setdefault(ground, []).append(element.part)
    return found


def body_current(scope: Scope, state: State) -> Iterator[Finding]:
    """Find places of a body that carry more returning current than the limit; off unless a project sets it."""
    limit = scope.limits["body_return_a"]
    if limit.value is None:
        return
    branches = state.network.branches
    for number, kind in enumerate(branches.kind):
        amperes = abs(state.amperes[number])
        if kind == "body" and amperes > limit.value:
            yield finding(
                "body_return",
                "mend",
                [branches.address[number]],
                f"{words.amps(amperes)} return through the metal at {branches.address[number]}; "
                f"{words.amps(limit.value)} at most",
                value=amperes,
                limit=limit,
                method="solved current",
                remedy="a return wire of its own for the largest load there",
            )


def path(scope: Scope, state: State) -> Iterator[Finding]:
    """Find ground studs with too much metal between them and the grounded post, in milliohms."""
    limit = scope.limits["ground_path_mohm"]
    if limit.value is None or state.posts is None:
        return
    sink = int(state.metal.node[state.posts.grounded])
    _, grounded = sides(state.network, state.metal)
    points = {
        s.joint: s.point
        for s in state.studs.studs
        if s.joint in scope.harness.grounds and int(state.metal.label[state.metal.node[s.point]]) in grounded
    }
    for joint, ohm in path_ohm(state.metal, sink, points).items():
        if ohm * 1e3 > limit.value:
            yield finding(
                "ground_path",
                "mend",
                [joint],
                f"between {scope.harness.title_of(joint)} and the grounded post lie {ohm * 1e3:.2g} mΩ; "
                f"{limit.value:g} mΩ at most",
                value=ohm * 1e3,
                limit=limit,
                method="resistance of all metal between",
                remedy="clean the joints on the way, or a thicker strap",
            )
