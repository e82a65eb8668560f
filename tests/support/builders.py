"""Small harnesses with a known shape."""

import random
from collections.abc import Mapping, Sequence
from itertools import pairwise

from harness_studio.model.harness import Harness
from harness_studio.network.expand import expand

from .sketch import Sketch

Resistance = tuple[str, str, float]
"""(node, node, ohms)."""
Source = tuple[str, str, str, float]
"""(name, plus node, minus node, volts)."""


def of_resistances(
    resistances: Sequence[Resistance],
    sources: Sequence[Source],
    ground: str,
    internal_mohm: Mapping[str, float] | None = None,
) -> Harness:
    """Return the harness of a bare circuit: its nodes are splices, its resistances parts, its sources batteries.

    Every wire has no length and every joint no resistance, so that nothing but the circuit is in it. The first source
    must stand on the ground node; its post there is the 0 V of all readings. `internal_mohm` gives the resistance that
    a source stands behind; 0 mΩ, if it says nothing, is 1 µΩ (the least that the laws take).
    """
    first = sources[0]
    assert ground in first[1:3], "the first source does not stand on the ground node"
    s = Sketch(grounded="negative" if first[2] == ground else "positive")
    for node in dict.fromkeys(n for a, b, _ in resistances for n in (a, b)):
        s.splice(f"N{node}")
    for _, plus, minus, _ in sources:
        for node in (plus, minus):
            if f"N{node}" not in s.harness.splices:
                s.splice(f"N{node}")
    for name, plus, minus, volts in sources:
        up, down = (plus, minus) if volts >= 0.0 else (minus, plus)
        mohm = (internal_mohm or {}).get(name, 0.0)
        s.battery(name, rest_v=abs(volts), internal_mohm=mohm, charge_mohm=mohm)
        s.wire(f"{name}.30", f"N{up}", mm=0.0)
        s.wire(f"{name}.31", f"N{down}", mm=0.0)
    for number, (a, b, ohm) in enumerate(resistances, 1):
        s.part(f"R{number}", "resistor", ohm=ohm)
        s.wire(f"N{a}", f"R{number}.1", mm=0.0)
        s.wire(f"R{number}.2", f"N{b}", mm=0.0)
    for joint in expand(s.harness).branches.address:
        if joint not in s.harness.wires:
            s.found(joint, 0.0)
    return s.done()


def ladder_resistances(n: int, seed: int) -> list[Resistance]:
    """Return n rungs between two rails, the rails' pieces between them; 10 mΩ to 1 kΩ, evenly over the decades."""
    rng = random.Random(f"ladder {n} {seed}")
    ohms = [10.0 ** rng.uniform(-2.0, 3.0) for _ in range(3 * n)]
    found: list[Resistance] = []
    for i in range(n):
        found.append((f"a{i}", f"b{i}", ohms[3 * i]))
        if i:
            found.append((f"a{i - 1}", f"a{i}", ohms[3 * i + 1]))
            found.append((f"b{i - 1}", f"b{i}", ohms[3 * i + 2]))
    return found


def mesh_resistances(n: int, seed: int, extra: float = 1.0) -> list[Resistance]:
    """Return a random connected mesh of n nodes: a random tree, and extra·n more resistances between any nodes."""
    rng = random.Random(f"mesh {n} {seed}")
    found = [(f"m{rng.randrange(i)}", f"m{i}", 10.0 ** rng.uniform(-3.0, 2.0)) for i in range(1, n)]
    for _ in range(int(extra * n)):
        a, b = rng.sample(range(n), 2)
        found.append((f"m{a}", f"m{b}", 10.0 ** rng.uniform(-3.0, 2.0)))
    return found


def ladder(n: int, seed: int = 1) -> Harness:
    """Return the harness of a random ladder, fed at its first rung."""
    source = ("GB1", "a0", "b0", 12.0)
    return of_resistances(ladder_resistances(n, seed), [source], "b0", {"GB1": 5.0})


def shared_stud(loads: int = 3, *, others: int = 1, mohm: float | None = None) -> Harness:
    """Return lamps M1.. whose returns lie on one stud GP1, and E1.. each on a stud of its own; one body, one battery.

    `mohm` is what GP1's stud was found with. The battery's return stud is GP0.
    """
    s = Sketch()
    s.battery()
    s.body("shell", front=0.2, rear=0.6)
    s.ground("GP0", "shell.front", "M8")
    s.wire("GB1.31", "GP0", 16.0, 400.0)
    s.ground("GP1", "shell.rear")
    s.splice("SP1")
    s.wire("GB1.30", "SP1", 6.0, 800.0)
    for number in range(1, loads + 1):
        s.part(f"M{number}", "lamp", circuit=f"Shared {number}", rated_v=13.5, rated_w=5.0 * number)
        s.wire("SP1", f"M{number}.1", 1.0, 1500.0)
        s.wire(f"M{number}.31", "GP1", 1.0, 600.0)
    for number in range(1, others + 1):
        s.body("shell", {f"own{number}": 0.4})
        s.ground(f"GP{number + 1}", f"shell.own{number}")
        s.part(f"E{number}", "lamp", circuit=f"Own {number}", rated_v=13.5, rated_w=10.0)
        s.wire("SP1", f"E{number}.1", 1.0, 1500.0)
        s.wire(f"E{number}.31", f"GP{number + 1}", 1.0, 500.0)
    if mohm is not None:
        s.found("GP1", mohm)
    return s.done()


BODIES = ("shell", "engine", "frame")


def parallel_returns(n_returns: int, bodies: int = 2, *, engine: str = "off", loads: int = 3) -> Harness:
    """Return loads whose return splice SPR lies on n grounds GP1.. of several bodies; battery and alternator feed them.

    The battery's return is on the first body (shell), the alternator's case on the second (engine) where there is one;
    a strap and a stray bond join neighbouring bodies. Mode `now` has the engine as given. M1 is also bolted to metal.
    """
    s = Sketch()
    used = BODIES[:bodies]
    for number, body in enumerate(used):
        s.body(body, centre=0.05 + 0.02 * number, strap=0.3, bond=0.4)
    s.battery()
    s.ground("GPB", "shell.centre", "M8")
    s.wire("GB1.31", "GPB", 25.0, 350.0)
    s.part(
        "G1", "alternator", mount=("B-", f"{used[min(1, bodies - 1)]}.centre"), set_v=14.2, droop_mohm=10.0
    )
    s.splice("SPF")
    s.wire("GB1.30", "SPF", 10.0, 900.0)
    s.wire("G1.B+", "SPF", 10.0, 1300.0)
    for first, second in pairwise(used):
        s.ground(f"GS_{first}", f"{first}.strap", "M8")
        s.ground(f"GT_{second}", f"{second}.strap", "M8")
        s.wire(f"GS_{first}", f"GT_{second}", 16.0, 400.0, name=f"strap_{second}")
        s.bond(f"cable_{second}", f"{first}.bond", f"{second}.bond", 120.0)
    s.splice("SPR")
    for number in range(1, n_returns + 1):
        body = used[(number - 1) % bodies]
        s.body(body, {f"stud{number}": 0.2 + 0.1 * number})
        s.ground(f"GP{number}", f"{body}.stud{number}")
        s.wire("SPR", f"GP{number}", 1.5, 500.0 + 300.0 * number)
    for number in range(1, loads + 1):
        mount = ("31", f"{used[-1]}.centre") if number == 1 else None
        s.part(
            f"M{number}", "motor", mount=mount, circuit=f"Motor {number}", rated_v=13.5, rated_a=2.0 * number
        )
        s.wire("SPF", f"M{number}.15", 1.5, 1200.0)
        s.wire(f"M{number}.31", "SPR", 1.5, 300.0 + 50.0 * number)
    s.mode("now", engine=engine)
    return s.done()
