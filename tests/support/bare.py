"""Circuits with nothing in between: wires without length, joints without ohms."""

from collections.abc import Iterable

from harness_studio.model.harness import Harness
from harness_studio.network.expand import expand

from .sketch import Sketch


def joined(s: Sketch, *pairs: tuple[str, str]) -> None:
    """Join points by wires of no length."""
    for a, b in pairs:
        s.wire(a, b, 1.0, 0.0)


def bared(s: Sketch, keep: Iterable[str] = ()) -> Harness:
    """Return the harness with every joint at 0 mΩ but those that are recorded already, and those to be kept."""
    harness = s.done()
    branches = expand(harness).branches
    for address in dict.fromkeys(branches.address):
        if (
            address in expand(harness).joints
            and address not in harness.wires
            and address not in harness.joints
            and address not in keep
        ):
            s.found(address, 0.0)
    return s.done()


def emf(s: Sketch, volts: float, name: str = "GB1") -> None:
    """Add a battery that holds its volts to a microvolt per ampere."""
    s.battery(name, rest_v=volts, internal_mohm=1e-3, charge_mohm=1e-3)
