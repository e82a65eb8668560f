"""Small circuits against lcapy, which solves them in exact rationals."""

from fractions import Fraction

import lcapy
import pytest

from tests.support.builders import Resistance, Source, of_resistances
from tests.support.physics import solved

CIRCUITS: dict[str, tuple[list[Source], list[Resistance]]] = {
    "divider": ([("V1", "1", "0", 12.0)], [("1", "2", 3.0), ("2", "0", 7.0)]),
    "bridge": (
        [("V1", "1", "0", 13.0)],
        [("1", "2", 7.0), ("1", "3", 11.0), ("2", "3", 5.0), ("2", "0", 13.0), ("3", "0", 3.0)],
    ),
    "two batteries": (
        [("V1", "1", "0", 12.0), ("V2", "3", "0", 14.0)],
        [("1", "2", 0.125), ("3", "2", 0.25), ("2", "0", 1.5)],
    ),
    "ladder": (
        [("V1", "a0", "0", 12.0)],
        [("a0", "a1", 1.0), ("a1", "0", 3.0), ("a1", "a2", 0.5), ("a2", "0", 9.0), ("a2", "a3", 0.25),
         ("a3", "0", 27.0)],
    ),
    "three on a shared return": (
        [("V1", "p", "0", 12.0)],
        [("p", "a", 3.0), ("p", "b", 5.0), ("p", "c", 11.0), ("a", "s", 0.0625), ("b", "s", 0.03125),
         ("c", "s", 0.0625), ("s", "0", 0.5), ("s", "e", 0.25), ("e", "0", 0.125)],
    ),
    "five decades": ([("V1", "1", "0", 12.0)], [("1", "2", 0.0009765625), ("2", "3", 64.0), ("3", "0", 0.00048828125)]),
}  # fmt: skip
INTERNAL_OHM = Fraction(1, 128)


@pytest.mark.parametrize("name", CIRCUITS)
def test_every_node_to_the_last_digits(name: str) -> None:
    sources, resistances = CIRCUITS[name]
    circuit = lcapy.Circuit()
    for number, (source, plus, minus, volts) in enumerate(sources):
        circuit.add(f"{source} e{number} {minus} {{{Fraction(volts)}}}")
        circuit.add(f"Ri{number} e{number} {plus} {{{INTERNAL_OHM}}}")
    for number, (a, b, ohm) in enumerate(resistances):
        circuit.add(f"R{number} {a} {b} {{{Fraction(ohm)}}}")
    mohm = {source: 1000.0 * float(INTERNAL_OHM) for source, *_ in sources}
    ours = solved(of_resistances(resistances, sources, "0", mohm), warm=False)
    nodes = sorted({n for a, b, _ in resistances for n in (a, b)} - {"0"})
    exact = {node: float(Fraction(str(circuit[node].V.dc.sympy))) for node in nodes}
    assert {node: ours.volt(f"N{node}") for node in nodes} == pytest.approx(exact, rel=1e-13, abs=1e-15)
