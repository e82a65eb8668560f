"""The solution of a network: Newton on every discrete state until the states fit, then the warmth of the wires."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from itertools import product
from typing import TYPE_CHECKING

from harness_studio.base.errors import SolveError
from harness_studio.network.network import Network

from .laws.discrete import RELIEF, RESTLESS, Flip, Judged, turning_together
from .lawset import FULL, LawSet
from .newton import STEP_V
from .one_pass import ROUGH_V, solve_states
from .passes import Pass, Trail, same_branches
from .results import finish
from .solution import Solution
from .states import branch_ohm

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]

MOST_PASSES = 120
"""Flips of discrete states before a network is given up as having no steady state."""
MOST_MEMBERS = 6
"""Members of a cycle of states that are tried in every combination before they are said to have no steady state."""
MOST_ROUNDS = 8
"""Rounds of warming up: solve, temperatures, resistances, solve again."""
NEARLY_V, CLEAR_V = 1e-6, 0.01
"""Accuracy while wires warm up, and how far from the bounds of its state everything is then that need not be looked at
more closely."""
WARM_ENOUGH, AGREED = 1e-5, 1e-7
"""Relative change of the resistances that ends the warming with a last solution, and one that needs none any more."""


@dataclass(slots=True)
class _Walk:
    """The way through discrete states: what was seen, and who turned since."""

    seen: dict[tuple[str, ...], int] = field(default_factory=dict)
    turned: list[str] = field(default_factory=list)


def solve(
    network: Network,
    laws: LawSet = FULL,
    *,
    before: Mapping[str, str] | None = None,
    warm: bool = True,
    trail: Trail | None = None,
    known: Trail | None = None,
) -> Solution:
    """Solve a network.

    Kirchhoff's current law at every node, every element by its law. Points that zero ohms join are one node; a part of
    the network without a way to the grounded post is an island: its volts are NaN and it is named in `unsolved`.
    Discrete states start released (or as `before` says) and flip one at a time, the most violated first; members of a
    cycle without a state that fits are said to 'chatter' or 'hiccup'.

    Parameters
    ----------
    network
        What to solve.
    laws
        Laws of the elements.
    before
        Discrete states to start from: relays remember.
    warm
        Let wires and fuses warm up with their current; else wires are at 20 °C and fuses cold.
    trail
        Filled with the passes of this call, by their states.
    known
        The trail of another call, for a network that differs in nothing but resistances: where the states turn in the
        same order as there, each pass starts from its volts. Where they turn otherwise nothing is taken from it.

    Raises
    ------
    SolveError
        If Newton's method finds no solution; names element and iteration.
    """
    done, temperatures = settle(network, laws, before=before, warm=warm, trail=trail, known=known)
    return finish(network, done, temperatures)


def settle(
    network: Network,
    laws: LawSet = FULL,
    *,
    before: Mapping[str, str] | None = None,
    warm: bool = True,
    trail: Trail | None = None,
    known: Trail | None = None,
) -> tuple[Pass, Floats | None]:
    """Return the last pass of `solve`, whose system later steps work on, and the temperatures of the wires in °C."""
    ohm = network.branches.resistance_ohm
    states = laws.initial(network, before)
    warm = warm and network.grounded is not None
    done = _retraced(network, laws, ohm, states, known, rough=warm) if known else None
    if done is None:
        done = _settle(network, laws, ohm, states, None, trail, rough=warm)
    return _warmed(network, laws, done) if warm else (done, None)


def _warmed(network: Network, laws: LawSet, cold: Pass) -> tuple[Pass, Floats]:
    """Return the pass and the temperatures with which heat and currents agree."""
    from .heat.warming import warmed

    positions, cold_ohm = laws.positions, network.branches.resistance_ohm
    temperatures, first = warmed(network, _branch_amperes(network, cold))
    ohm, change, start, guessed = first, _change(cold_ohm, first), cold, False
    if positions is not None:
        ohm, start, guessed = positions.warmer(network, cold, first)
    for left in reversed(range(MOST_ROUNDS)):
        enough = change < WARM_ENOUGH or not left
        done = _settle(network, laws, ohm, start.states, start, rough=not (enough or guessed))
        if enough:
            break
        temperatures, hot = warmed(network, _branch_amperes(network, done))
        change, start, guessed = _change(ohm, hot), done, False
        if change < AGREED and done.settled.exact:
            break
        ohm = hot
    if positions is not None:
        positions.warmed(network, cold, first, done, ohm)
    return done, temperatures


def settle_from(
    network: Network, laws: LawSet, ohm: Floats, last: Pass, states: Mapping[str, str] | None = None
) -> Pass:
    """Solve again with other resistances, from the volts of an earlier pass; wires stay as warm as given.

    States start from that pass, or as `states` says.
    """
    return _settle(network, laws, ohm, dict(last.states if states is None else states), last)


def _change(cold: Floats, hot: Floats) -> float:
    import numpy as np

    real = np.isfinite(cold) & (cold > 0.0)
    return float(np.max(np.abs(hot[real] / cold[real] - 1.0), initial=0.0))


def _branch_amperes(network: Network, done: Pass) -> Floats:
    """Return the size of the current in each branch; its sign is not needed for heat."""
    import numpy as np

    reduced, settled = done.system.reduced, done.settled
    across = settled.high[reduced.a] - settled.high[reduced.b]
    across += settled.low[reduced.a] - settled.low[reduced.b]
    edge = np.abs(done.system.edge_siemens * across)
    amperes = np.zeros(len(network.branches))
    on = reduced.edge_of >= 0
    amperes[on] = np.nan_to_num(edge[reduced.edge_of[on]])
    return amperes


def _settle(
    network: Network,
    laws: LawSet,
    ohm: Floats,
    states: dict[str, str],
    last: Pass | None,
    trail: Trail | None = None,
    *,
    rough: bool = False,
) -> Pass:
    """Flip states until they fit; `rough` says that it goes on from here, so that accurate states are enough.

    All that do not fit are flipped at once while that leads on (relays of one switch pull in together); once a
    state comes back they are flipped one at a time, the most violated first.
    """
    walk, careful, begun = _Walk(), False, states
    for _ in range(MOST_PASSES):
        key = tuple(states.values())
        done, flips = _tried(network, laws, ohm, states, last, rough=rough)
        if done is not None and trail is not None:
            trail[key] = done
        if done is not None and not flips:
            return done if states == begun else _calmed(network, laws, ohm, done) or done
        last = done or last
        walk.seen.setdefault(key, len(walk.turned))
        turned = states
        for flip in flips[:1] if careful else flips:
            turned = _turn(network, turned, flip.element, flip.to)
            walk.turned.append(flip.element)
        since = walk.seen.get(tuple(turned.values()))
        if since is None:
            states = turned
        elif not careful:
            walk, careful = _Walk(), True
        else:
            members = list(dict.fromkeys(walk.turned[since:]))
            states = _out_of_cycle(network, laws, ohm, states, members, last)
            walk = _Walk()
    raise SolveError(
        "the discrete states do not come to rest", element=flips[0].element, iteration=MOST_PASSES
    )


def _retraced(
    network: Network, laws: LawSet, ohm: Floats, states: dict[str, str], known: Trail, *, rough: bool
) -> Pass | None:
    """Return the states that fit, found from the passes of another solution; None where the way leaves those."""
    for _ in known:
        last = known.get(tuple(states.values()))
        if last is None or not same_branches(last.ohm, branch_ohm(network, states, ohm)):
            return None
        done, flips = _tried(network, laws, ohm, states, last, rough=rough, within=ROUGH_V if rough else None)
        if done is None:
            return None
        if not flips:
            restless = any(state in RESTLESS.values() for state in states.values())
            return None if restless else done
        for flip in flips:
            states = _turn(network, states, flip.element, flip.to)
    return None


def _tried(
    network: Network,
    laws: LawSet,
    ohm: Floats,
    states: dict[str, str],
    last: Pass | None,
    *,
    rough: bool = False,
    within: float | None = None,
) -> tuple[Pass | None, list[Flip]]:
    """Return a pass in given states with what does not fit in it; None and what has to ask less without a solution.

    States that fit are judged on exact volts; with `rough` only where one of them stands near its bounds. `within` is
    the accuracy that is asked for first.
    """
    try:
        known = last is not None and last.states == states  # only resistances changed: near enough at once
        nearly = within or (NEARLY_V if known and rough else STEP_V if known else ROUGH_V)
        done = solve_states(network, laws, ohm, states, last, nearly)
        flips = _unfitting(network, laws, done)
        if not flips and nearly > STEP_V and done.again is None and not (rough and _clear(done)):
            done = solve_states(network, laws, ohm, states, done)
            flips = _unfitting(network, laws, done)
        return done, flips
    except SolveError as error:
        return None, _relief(network, states, error)


def _clear(done: Pass) -> bool:
    """Tell whether every state stands clear of its bounds, so that more digits could not turn it."""
    at: Judged | None = done.memo.get("judged")
    return at is not None and at.room(done.point_volts) > CLEAR_V


def _relief(network: Network, states: Mapping[str, str], error: SolveError) -> list[Flip]:
    """Return the flip that relieves a network without a solution: of the element named, else of all that can.

    A load that asks for more than its feed can give has no working point. Once nothing can ask less the error stands.
    """
    found = []
    for element in network.elements:
        to = RELIEF.get(element.kind, {}).get(states.get(element.address, ""))
        if to is not None:
            found.append(Flip(element.address, to, 1.0))
    named = [f for f in found if f.element == error.element]
    if not found:
        raise error
    return named or found


def _unfitting(network: Network, laws: LawSet, done: Pass) -> list[Flip]:
    flips = laws.flips(network, done.states, done.point_volts, done.memo)
    return [f for f in flips if done.states.get(f.element) not in RESTLESS.values()]


def _turn(network: Network, states: Mapping[str, str], element: str, to: str) -> dict[str, str]:
    """Return the states with one turned, and with it what cannot turn without it."""
    units = turning_together(network, states, element, to)
    return {k: (to if k in units else v) for k, v in states.items()}


def _out_of_cycle(
    network: Network,
    laws: LawSet,
    ohm: Floats,
    states: dict[str, str],
    members: Sequence[str],
    last: Pass | None,
) -> dict[str, str]:
    """Return states in which the members of a cycle fit, or in which they are said to have no steady state."""
    kinds = {e.address: e.kind for e in network.elements}
    for tried in _combinations(network, laws, states, members):
        try:
            done = solve_states(network, laws, ohm, tried, last)
        except SolveError:
            continue
        if not {f.element for f in laws.flips(network, tried, done.point_volts, done.memo)} & set(members):
            return tried
    restless = [m for m in members if kinds[m] in RESTLESS]
    if not restless:
        raise SolveError(f"no steady state: {', '.join(members)} keep turning", element=members[0])
    for member in restless:
        states = _turn(network, states, member, RESTLESS[kinds[member]])
    return states


def _calmed(network: Network, laws: LawSet, ohm: Floats, done: Pass) -> Pass | None:
    """Return a pass in which everything fits, if elements are said to be restless and there is one after all.

    Others that turned since may have taken the reason away. Tried are all combinations of the restless ones, and of
    everything that has states where that is little.
    """
    restless = [e for e, state in done.states.items() if state in RESTLESS.values()]
    if not restless:
        return None
    part = {e.address: e.part for e in network.elements}
    for some in (restless, [e for e, state in done.states.items() if state != "standing"]):
        for tried in _combinations(network, laws, done.states, list({part[e]: e for e in some}.values())):
            found = _fitting(network, laws, ohm, tried, done)
            if found is not None:
                return found
    return None


def _fitting(
    network: Network, laws: LawSet, ohm: Floats, states: Mapping[str, str], last: Pass
) -> Pass | None:
    try:
        found = solve_states(network, laws, ohm, states, last)
    except SolveError:
        return None
    return None if laws.flips(network, states, found.point_volts, found.memo) else found


def _combinations(
    network: Network, laws: LawSet, states: Mapping[str, str], members: Sequence[str]
) -> Iterator[dict[str, str]]:
    """Yield the states with every combination of those of the members; nothing if they are too many."""
    kinds = {e.address: e.kind for e in network.elements}
    if len(members) > MOST_MEMBERS:
        return
    for choice in product(*(laws.choices[kinds[m]] for m in members)):
        tried = dict(states)
        for member, state in zip(members, choice, strict=True):
            tried = _turn(network, tried, member, state)
        yield tried
