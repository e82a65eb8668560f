"""What must stop when the engine stops, when the key is off, and when the battery is cut off."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING

from harness_studio.base.errors import HarnessError
from harness_studio.base.ids import split_point
from harness_studio.checks import words
from harness_studio.checks.finding import Finding, finding
from harness_studio.checks.loads import Posts, posts_of
from harness_studio.checks.scope import Scope, State
from harness_studio.electrics.matrix import components
from harness_studio.electrics.returns import metal_of
from harness_studio.electrics.solution import Solution
from harness_studio.model.parts import Part
from harness_studio.network.network import Overrides

if TYPE_CHECKING:
    from harness_studio.electrics.matrix import Ints

PUMP_KINDS = frozenset({"motor", "converter", "current_load", "resistor", "device"})
FUELS = ("fuel", "petrol", "gasoline", "diesel")
CUT_OUTS = (
    "inertia",
    "impact",
    "crash",
    "collision",
    "rollover",
    "roll-over",
    "tilt",
    "oil pressure",
    "oil-pressure",
)
"""Words by which a switch is taken for one that opens in a crash or without oil pressure."""
DRIVERS = frozenset({"low_side", "high_side", "pwm_low", "pwm_high"})
STILL_RUNS = 0.2
"""Part of its current in the mode from which a load is said to go on working (common practice, no source)."""


def fuel_pump_word(part: Part) -> str | None:
    """Return why a part is taken for an electric fuel pump, or None."""
    title, circuit = (part.title or "").lower(), (part.circuit or "").lower()
    for name, text in (("title", title), ("circuit", circuit)):
        fuel = next((f for f in FUELS if f in text), None)
        if fuel and "pump" in text and part.kind in PUMP_KINDS:
            return f"its {name} says '{getattr(part, name)}'"
        if fuel and part.kind == "motor":
            return f"it is a motor and its {name} says '{getattr(part, name)}'"
    return None


def fuel_pump(scope: Scope, state: State) -> Iterator[Finding]:
    """Find fuel pumps that run on when the engine stops with the key on, as after a crash.

    What stops a pump: its current ends by itself when the engine is off (a relay held by the alternator), a control
    unit switches it, or a switch in its way is named as one that opens in a crash or without oil pressure.
    """
    pumps = {p.id: why for p in scope.harness.parts.values() if (why := fuel_pump_word(p))}
    running = {load.part: load.amperes for load in state.loads if load.part in pumps} if state.running else {}
    if not running:
        return
    loads = tuple((pump, "turning") for pump in running if scope.harness.parts[pump].kind == "motor")
    after = _solved(scope, state, Overrides(engine="off", loads=loads))
    for pump, amperes in running.items():
        if after is not None and _takes(after, pump) < STILL_RUNS * amperes:
            continue
        if after is not None and _guarded(scope, after, pump):
            continue
        title = scope.harness.title_of(pump)
        yield finding(
            "fuel_pump_runs_on",
            "stop",
            [pump],
            f"{title} keeps running when the engine stops with the key on, as after a crash: no run signal, "
            f"oil-pressure switch or inertia switch in its way (taken for a fuel pump: {pumps[pump]})",
            value=_takes(after, pump) if after else None,
            unit="A" if after else "",
            source="a fuel pump stops with the engine and in a crash, common practice, no source",
            sureness="common practice, no source",
            method="solved again with the engine off",
            remedy="feed it by a relay that a run signal holds (control unit, alternator, oil-pressure switch), and "
            "put an inertia switch in its feed",
        )


def _solved(scope: Scope, state: State, overrides: Overrides) -> Solution | None:
    try:
        return scope.solve_with(state.mode, overrides, state)
    except HarnessError:
        return None


def _takes(solution: Solution, part: str) -> float:
    return max((abs(i) for e in solution.elements if e.part == part for i in e.amperes), default=0.0)


def _guarded(scope: Scope, solution: Solution, pump: str) -> bool:
    """Tell whether the pump's own way, or that of the coil of a relay on it, passes what opens in a crash."""
    relays: list[str] = []
    seen = [pump]
    for part in seen:
        for device in _on_way(scope, solution, part):
            entity = scope.harness.parts[device]
            if entity.kind == "control_unit" or _names_cut_out(entity):
                return True
            if entity.kind == "relay" and device not in relays:
                relays.append(device)
                seen.append(device)
    return False


def _names_cut_out(part: Part) -> bool:
    text = f"{part.id} {part.title or ''} {part.circuit or ''} {part.note or ''}".lower()
    return part.kind in ("switch", "cut_off") and any(word in text for word in CUT_OUTS)


def _on_way(scope: Scope, solution: Solution, part: str) -> set[str]:
    """Return the switches, relays and driving control units whose loss would part a load from its source or ground."""
    network = solution.network
    metal = metal_of(network, solution.ohm)
    element = next((e for e in network.elements if e.part == part), None)
    if element is None:
        return set()
    labels = {int(metal.label[metal.node[p]]) for p in element.terminals.values()}
    found, posts = set(), posts_of(network)
    whole = _joined(solution)
    for number, kind in enumerate(network.branches.kind):
        if kind in ("switch", "relay") and solution.ohm[number] != float("inf") and posts is not None:
            a = int(metal.label[metal.node[network.branches.a[number]]])
            points = element.terminals.values()
            if a in labels and _parts_it(whole, _joined(solution, number), points, posts):
                found.add(split_point(network.branches.address[number].partition(":")[0])[0])
    for other in network.elements:
        if other.kind == "control_unit" and other.ratings.terminals[other.state].does in DRIVERS:
            own = int(metal.label[metal.node[other.terminals[other.state or ""]]])
            ground = network.index.get(network.grounded or "")
            if own in labels and (ground is None or own != int(metal.label[metal.node[ground]])):
                found.add(other.part)
    return found


def _joined(solution: Solution, without: int | None = None) -> Ints:
    """Return by point the number of the piece of metal that it belongs to, with one branch open where that is asked."""
    network = solution.network
    live = solution.ohm != float("inf")
    if without is not None:
        live[without] = False
    return components(network.size, network.branches.a[live], network.branches.b[live])[1]


def _parts_it(before: Ints, after: Ints, points: Iterable[int], posts: Posts) -> bool:
    """Tell whether a load is left without hot or ground metal when one contact opens."""
    for point in points:
        for post in (posts.hot, posts.grounded):
            if before[point] == before[post] and after[point] != after[post]:
                return True
    return False


def cut_off(scope: Scope, state: State) -> Iterator[Finding]:
    """Find battery cut-offs that leave the engine running on its alternator."""
    switches = [p for p in scope.harness.parts.values() if p.kind == "cut_off"]
    if not state.running or not switches:
        return
    needs = {load.part: load.amperes for load in state.loads if _runs_engine(scope, load.part)}
    for switch in switches:
        opened = _open_position(switch, state)
        if opened is None or not needs:
            if not any(_judged(scope, other, switch) for other in scope.states):
                yield _cut_off_not_judged(scope, switch, opened)
            continue
        after = _solved(scope, state, Overrides(positions=((switch.id, opened),)))
        still = [
            p for p, amperes in needs.items() if after is None or _takes(after, p) > STILL_RUNS * amperes
        ]
        if still:
            yield finding(
                "cut_off_leaves_engine",
                "stop",
                [switch.id, *still],
                f"{scope.harness.title_of(switch.id)} in position '{opened}' leaves the engine running: "
                f"{words.listed([scope.harness.title_of(p) for p in still])} goes on, fed by the alternator",
                source="a battery cut-off must stop the engine, vendor's guidance and owners' accounts",
                sureness="seen1",
                method="solved again with the cut-off open",
                remedy="a second pole in the ignition's or control unit's feed, and one that loads the alternator down",
            )


def _open_position(switch: Part, state: State) -> str | None:
    """Return the first position that opens a cut-off's main poles as they stand in the mode."""
    positions = switch.ratings.positions.items()
    return next((name for name, groups in positions if not _joins_now(switch, state, name, groups)), None)


def _judged(scope: Scope, state: State, switch: Part) -> bool:
    """Tell whether a cut-off can be judged in a mode: it is closed there and something runs the engine."""
    runs = state.running and any(_runs_engine(scope, load.part) for load in state.loads)
    return runs and _open_position(switch, state) is not None


def _joins_now(switch: Part, state: State, name: str, groups: Iterable[Iterable[str]]) -> bool:
    """Tell whether a position joins the cut-off's main poles: those that the position of the mode joins."""
    now = state.network.mode.positions.get(switch.id) or next(iter(switch.ratings.positions))
    closed = {frozenset(g) for g in switch.ratings.positions[now]}
    return name == now or bool(closed & {frozenset(g) for g in groups})


def _runs_engine(scope: Scope, part: str) -> bool:
    """Tell whether the engine needs a part: ignition coils, control units, electric fuel pumps."""
    entity = scope.harness.parts[part]
    return entity.kind in ("coil", "control_unit") or fuel_pump_word(entity) is not None


def _cut_off_not_judged(scope: Scope, switch: Part, opened: str | None) -> Finding:
    why = (
        "none of its positions opens it"
        if opened is None
        else "no ignition coil, control unit or fuel pump works in this mode"
    )
    return finding(
        "cut_off_not_judged",
        "note",
        [switch.id],
        f"whether {scope.harness.title_of(switch.id)} stops the engine was not judged: {why}",
        source="what the record lacks",
        method="not judged",
        remedy="record what the engine runs on, and the cut-off's open position",
    )


def key_off(scope: Scope, state: State) -> Iterator[Finding]:
    """Find loads that stay on with the key off, and too much current in all."""
    why = key_off_because(scope, state)
    if why is None:
        return
    limit = scope.limits["key_off_load_a"]
    for load in state.loads:
        if limit.value is not None and load.amperes > limit.value and load.feed is not None:
            yield finding(
                "on_with_key_off",
                "stop",
                [load.part, load.element] if load.element != load.part else [load.part],
                f"{words.load_name(scope.harness, load.element)} takes {words.amps(load.amperes)} with the key off "
                f"({why}); {words.amps(limit.value)} at most",
                value=load.amperes,
                limit=limit,
                method="solved current",
                remedy="feed it from a terminal that the key switches (15), or over a relay that it holds",
            )
    total, drain = scope.limits["key_off_total_a"], _drain(state)
    if total.value is not None and drain > total.value:
        yield finding(
            "key_off_drain",
            "mend",
            [state.posts.source] if state.posts else [],
            f"{words.amps(drain)} leave the battery with the key off ({why}); {words.amps(total.value)} at most",
            value=drain,
            limit=total,
            method="solved current",
            remedy="pull fuses one by one: the one that lowers it most feeds the load",
        )


def key_off_because(scope: Scope, state: State) -> str | None:
    """Return why a mode counts as one with the key off, or None: by its ignition switches, else by its name."""
    if state.network.mode.engine != "off":
        return None
    switches = [p for p in scope.harness.parts.values() if p.kind == "ignition_switch"]
    for switch in switches:
        position = state.network.mode.positions.get(switch.id) or next(iter(switch.ratings.positions), None)
        if position is None or switch.ratings.positions[position]:
            return None
    if switches:
        return f"{words.listed([s.id for s in switches])} joins nothing"
    mode = scope.harness.modes.get(state.mode or "")
    text = f"{mode.id.replace('_', ' ')} {mode.title or ''}".lower() if mode else ""
    return (
        f"by the mode's name '{mode.title or mode.id}'"
        if mode and any(w in text for w in ("key off", "parked"))
        else None
    )


def _drain(state: State) -> float:
    if state.posts is None:
        return 0.0
    source = state.posts.source
    return max(
        (abs(i) for e in state.solution.elements if e.address == source for i in e.amperes), default=0.0
    )
