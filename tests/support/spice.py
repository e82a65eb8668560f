"""A solution's circuit written as a SPICE netlist, and ngspice's answer to it.

The netlist is written from the network's list of branches and from each element's equation, never from a matrix of
ours: resistances as R, zero ohms as a source of 0 V, an open branch left out, an EMF as V and R, a current source as I,
other linear elements as controlled sources, nonlinear two-poles as behavioural sources with the formula of the law
(diodes by the simulator's own model). What has no way to the grounded post is left out and listed.
"""

import shutil
import subprocess
import tempfile
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from pathlib import Path

import networkx as nx
import numpy as np
import pytest
from numpy.typing import NDArray

from harness_studio.electrics.laws import curves
from harness_studio.electrics.laws.pieces import Pieces
from harness_studio.electrics.laws.poles import TwoPole
from harness_studio.electrics.lawset import FULL, LawSet
from harness_studio.electrics.solution import Solution
from harness_studio.electrics.stamps import Stamp, emf
from harness_studio.network.network import Network

from .leaks import seen_ohm

OPTIONS = "reltol=1e-9 abstol=1e-11 vntol=1e-9 gmin=1e-15 itl1=500 pivrel=0.3"
"""A thousandth of the tolerance below. Tighter ones the simulator's own rounding cannot meet from some 300 circuits on:
it then steps its way through minutes to no answer. With the usual pivot threshold (1e-3) single points come out wrong
by up to volts, in steps of a power of two, where 50 µΩ and 500 Ω meet; a node set at every point makes that worse."""
EASED = (
    (("reltol=1e-9", "reltol=1e-8"), ("vntol=1e-9", "vntol=1e-8")),
    (("reltol=1e-9", "reltol=1e-8"), ("vntol=1e-9", "vntol=1e-8"), ("abstol=1e-11", "abstol=1e-10")),
    (("reltol=1e-9", "reltol=1e-7"), ("vntol=1e-9", "vntol=1e-7"), ("abstol=1e-11", "abstol=1e-10")),
)
"""Where the simulator's rounding misses the first options: still a hundredth, then a tenth of the tolerance below.
A diode from the battery to a dead end is such a circuit."""
QUIET_A = 1e-8
DEVICES, ROUNDINGS = 3.0, 4.0
"""At a point behind a leak: elements that the simulator lets be off by `abstol` each, and branches of the greatest
conductance of which it cannot tell the last digit (13 V through 20 kS round to 60 pA)."""
Floats = NDArray[np.float64]
CHARGE, BOLTZMANN, CELSIUS = 1.6021766208e-19, 1.38064852e-23, 273.15
"""As ngspice 39 has them; the temperature below makes its kT/q ours."""
TEMPERATURE_C = curves.THERMAL_V * CHARGE / BOLTZMANN - CELSIUS
NEAR_V, NEAR_PART = 1e-6, 1e-6
"""Two answers agree within 1 µV + 1e-6 of the volts."""


@dataclass(frozen=True, slots=True)
class Circuit:
    """A netlist: its lines, the node of each point that is in it (None: not connected to the grounded post)."""

    lines: tuple[str, ...]
    nodes: tuple[str | None, ...]

    @property
    def text(self) -> str:
        return "\n".join(self.lines) + "\n"


def circuit_of(
    network: Network,
    ohm: Floats,
    pieces: Pieces,
    guess_v: Mapping[int, float] | None = None,
) -> Circuit:
    """Return the netlist of a network in one discrete state.

    Parameters
    ----------
    network, ohm, pieces
        Points and branches, the resistance of each branch, and what the laws give for the elements.
    guess_v
        Volts of some points that the simulator starts from (a node set, released before the end): where there is more
        than one answer.
    """
    assert network.grounded is not None, "nothing to read against"
    reference = network.index[network.grounded]
    alive = _reached(network, ohm, pieces, reference)
    nodes = [("0" if i == reference else f"p{i}") if i in alive else None for i in range(network.size)]
    lines = ["a harness", f".options {OPTIONS} temp={TEMPERATURE_C!r} tnom={TEMPERATURE_C!r}"]
    lines += _branch_lines(network, ohm, nodes)
    for number, stamp in enumerate(pieces.stamps):
        if nodes[stamp.terms[0]]:
            lines += _stamp_lines(f"s{number}", stamp, [str(nodes[t]) for t in stamp.terms])
    for number, pole in enumerate(pieces.poles):
        if nodes[pole.plus]:
            lines += _pole_lines(f"n{number}", pole, str(nodes[pole.plus]), str(nodes[pole.minus]))
    for i, volts in (guess_v or {}).items():
        if nodes[i] not in (None, "0"):
            lines.append(f".nodeset v({nodes[i]})={volts!r}")
    return Circuit((*lines, ".op", ".end"), tuple(nodes))


def circuit_of_solution(
    solution: Solution, laws: LawSet = FULL, *, straight: bool = False, quiet: bool = False
) -> Circuit:
    """Return the netlist of what was solved, in the states it came to; temperatures as they were.

    `straight` draws of a battery the straight line that it stands on: at the bend, without current, the simulator
    goes to and fro between both. `quiet` draws a junction that carries next to nothing (less than 10 nA: its other
    side is a dead end) as its tangent.
    """
    pieces = laws.pieces(solution.network, solution.states)
    for pole in [p for p in pieces.poles if straight and p.curve is curves.battery]:
        rest_v, out_ohm, in_ohm = pole.parameters
        charges = solution.volts[pole.plus] - solution.volts[pole.minus] > rest_v
        pieces.poles.remove(pole)
        pieces.stamps.append(emf(pole.address, pole.plus, pole.minus, rest_v, in_ohm if charges else out_ohm))
    for pole in [p for p in pieces.poles if quiet and p.curve is curves.diode]:
        over = np.nan_to_num(np.array([solution.volts[pole.plus] - solution.volts[pole.minus]]))
        amperes, slope = (float(x[0]) for x in pole.curve(over, np.array([pole.parameters])))
        if abs(amperes) < QUIET_A:
            rest = amperes - slope * float(over[0])
            pieces.poles.remove(pole)
            matrix = ((slope, -slope), (-slope, slope))
            pieces.stamps.append(Stamp(pole.address, (pole.plus, pole.minus), matrix, (rest, -rest)))
    return circuit_of(solution.network, solution.ohm, pieces)


def _reached(network: Network, ohm: Floats, pieces: Pieces, start: int) -> set[int]:
    graph = nx.Graph()
    graph.add_node(start)
    live = np.flatnonzero(np.isfinite(ohm))
    graph.add_edges_from(
        zip(network.branches.a[live].tolist(), network.branches.b[live].tolist(), strict=True)
    )
    for stamp in pieces.stamps:
        graph.add_edges_from((stamp.terms[0], t) for t in stamp.terms[1:])
    graph.add_edges_from((p.plus, p.minus) for p in pieces.poles)
    return set(nx.node_connected_component(graph, start))


def _branch_lines(network: Network, ohm: Floats, nodes: list[str | None]) -> list[str]:
    lines = []
    merged = nx.utils.UnionFind(range(network.size))
    ends = zip(network.branches.a.tolist(), network.branches.b.tolist(), ohm.tolist(), strict=True)
    for number, (a, b, value) in enumerate(ends):
        if np.isinf(value) or nodes[a] is None or a == b:
            continue
        if value > 0.0:
            lines.append(f"Rb{number} {nodes[a]} {nodes[b]} {value!r}")
        elif merged[a] != merged[b]:  # a loop of 0 V sources has no answer
            merged.union(a, b)
            lines.append(f"Vb{number} {nodes[a]} {nodes[b]} 0")
    return lines


def _stamp_lines(name: str, stamp: Stamp, at: list[str]) -> list[str]:
    g = stamp.siemens
    if len(at) == 2 and g[0][0] == g[1][1] == -g[0][1] == -g[1][0]:
        ohm = 1.0 / g[0][0] if g[0][0] else None
        if ohm is None:
            return [f"I{name} {at[0]} {at[1]} {stamp.amperes[0]!r}"]
        if stamp.amperes == (0.0, 0.0):
            return [f"R{name} {at[0]} {at[1]} {ohm!r}"]
        return [f"V{name} {name}x {at[1]} {-stamp.amperes[0] * ohm!r}", f"R{name} {at[0]} {name}x {ohm!r}"]
    lines = []
    last = at[-1]
    for k, (row, amperes) in enumerate(zip(g[:-1], stamp.amperes[:-1], strict=True)):
        for j, siemens in enumerate(row[:-1]):
            if siemens:
                lines.append(f"G{name}_{k}_{j} {at[k]} {last} {at[j]} {last} {siemens!r}")
        if amperes:
            lines.append(f"I{name}_{k} {at[k]} {last} {amperes!r}")
    return lines


def _pole_lines(name: str, pole: TwoPole, plus: str, minus: str) -> list[str]:
    if pole.curve is curves.diode:
        saturation, emission, series = pole.parameters
        model = f".model m{name} D(IS={saturation!r} N={emission!r} RS={series!r})"
        return [f"D{name} {plus} {minus} m{name}", model, f"R{name}k {plus} {minus} {LEAK_OHM!r}"]
    formula = FORMULAS[pole.curve.__name__]
    values = {f"p{k}": repr(value) for k, value in enumerate(pole.parameters)}
    v = f"v({plus},{minus})" if minus != "0" else f"v({plus})"
    if plus == "0":
        v = f"(-v({minus}))"
    lines = [f"B{name} {plus} {minus} I={formula.format(v=v, **values)}"]
    if pole.curve.__name__ in LEAKY:
        lines.append(f"R{name}k {plus} {minus} {LEAK_OHM!r}")
    return lines


LEAKY, LEAK_OHM = ("fan", "constant_torque", "constant_current"), 1e9
"""Beside every curve with flat stretches lies a leak, as in the program: a dangling end is then at definite volts."""
FORMULAS = {
    "lamp": "{v}/{p0}*exp(-0.225*ln(({v}*{v}+{p2}*{p2})/({p1}*{p1})))",
    "fan": "sgn({v})*{p2}*(2*abs({v})/({p1}+sqrt({p1}*{p1}+4*{p0}*{p2}*abs({v}))))^2",
    "constant_torque": "abs({v})<{p0}*{p1} ? {v}/{p0} : sgn({v})*{p1}",
    "constant_power": "{v}>{p1} ? {p0}/{v} : {v}*{p0}/({p1}*{p1})",
    "constant_current": "abs({v})<{p1} ? {p0}*{v}/{p1} : sgn({v})*{p0}",
    "battery": "{v}>{p0} ? ({v}-{p0})/{p2} : ({v}-{p0})/{p1}",
}
"""Current from plus to minus by the name of the curve: v the volts across, p0, p1, ... its parameters."""


def needs_ngspice() -> str:
    """Return the path of the simulator, or skip the test."""
    found = shutil.which("ngspice")
    if found is None:
        pytest.skip("ngspice is not installed")
    return found


def run_batch(circuit: Circuit) -> dict[str, float]:
    """Return the volts of each node by `ngspice -b` and its binary raw file."""
    program = needs_ngspice()
    with tempfile.TemporaryDirectory() as folder:
        source, raw = Path(folder) / "harness.cir", Path(folder) / "harness.raw"
        source.write_text(circuit.text, encoding="ascii")
        done = subprocess.run(
            [program, "-b", "-r", str(raw), str(source)],
            capture_output=True,
            text=True,
            check=False,
            cwd=folder,
        )
        assert raw.exists(), f"ngspice gave no answer:\n{done.stdout[-2000:]}\n{done.stderr[-2000:]}"
        return read_raw(raw.read_bytes())


def read_raw(data: bytes) -> dict[str, float]:
    """Return volts by node from a binary raw file of one operating point."""
    head, mark, body = data.partition(b"Binary:\n")
    assert mark, "ngspice found no operating point"
    lines = head.decode("ascii").splitlines()
    count = next(int(line.split(":")[1]) for line in lines if line.startswith("No. Variables"))
    start = next(i for i, line in enumerate(lines) if line.startswith("Variables:")) + 1
    names = [line.split()[1].lower() for line in lines[start : start + count]]
    values = np.frombuffer(body, dtype="<f8", count=count)
    found = {name[2:-1]: float(v) for name, v in zip(names, values, strict=True) if name.startswith("v(")}
    return {**found, "0": 0.0}


def assert_agrees(
    solution: Solution, circuit: Circuit, volts: dict[str, float], laws: LawSet = FULL
) -> float:
    """Assert that every point agrees within 1 µV + 1e-6·|V|, and that what the simulator lacks is an island here.

    A point that sees more than 0.1 MΩ (only leaks and blocked junctions tie it to the rest) may be off by what the
    simulator's own `abstol` of 10 pA for each element, and its rounding, make of that resistance.

    Returns
    -------
    float
        How near the worst point came to its tolerance: 1 would be on it.
    """
    names = solution.network.points
    off: dict[int, float] = {}
    allowed: dict[int, float] = {}
    for index, node in enumerate(circuit.nodes):
        ours = float(solution.volts[index])
        if node is None:
            assert np.isnan(ours), (
                f"{names[index]} has no way to the grounded post, yet it is said to be at {ours} V"
            )
            continue
        assert not np.isnan(ours), f"{names[index]} is called an island; ngspice has it at {volts[node]} V"
        off[index] = abs(ours - volts[node])
        allowed[index] = NEAR_V + NEAR_PART * abs(volts[node])
    beyond = [i for i, value in off.items() if value > allowed[i]]
    if beyond:
        options = next(line for line in circuit.lines if line.startswith(".options"))
        abstol_a = float(options.partition("abstol=")[2].split()[0])
        real = solution.ohm[np.isfinite(solution.ohm) & (solution.ohm > 0.0)]
        digit_a = np.finfo(float).eps * float(np.nanmax(np.abs(solution.volts))) / float(real.min())
        for index, ohm in seen_ohm(solution, laws, beyond).items():
            if abstol_a * ohm > NEAR_V:
                allowed[index] += (DEVICES * abstol_a + ROUNDINGS * digit_a) * ohm
    worst = max(off, key=lambda i: off[i] / allowed[i], default=None)
    if worst is None:
        return 0.0
    theirs = volts[str(circuit.nodes[worst])]
    assert off[worst] <= allowed[worst], (
        f"{names[worst]}: {float(solution.volts[worst])!r} V here, {theirs!r} V in ngspice"
    )
    return off[worst] / allowed[worst]


def run_eased(
    solution: Solution, laws: LawSet = FULL, run: Callable[[Circuit], dict[str, float]] = run_batch
) -> tuple[Circuit, dict[str, float]]:
    """Return the circuit of a solution and the volts of each node.

    Where the simulator finds no operating point it gets straight batteries and quiet junctions, and `EASED` options.
    """
    drawn = [
        circuit_of_solution(solution, laws, straight=straight, quiet=quiet)
        for straight, quiet in ((False, False), (True, False), (True, True))
    ]
    for subs in ((), *EASED):
        for circuit in drawn:
            lines = circuit.lines
            for old, new in subs:
                lines = tuple(line.replace(old, new) if line[0] == "." else line for line in lines)
            tried = replace(circuit, lines=lines)
            try:
                return tried, run(tried)
            except AssertionError as error:
                if "no operating point" not in str(error):
                    raise
    raise AssertionError("ngspice found no operating point")


def assert_ngspice_agrees(solution: Solution, laws: LawSet = FULL) -> float:
    """Assert that ngspice finds the same volts at every point of a solved network."""
    return assert_agrees(solution, *run_eased(solution, laws), laws)
