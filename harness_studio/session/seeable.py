"""What a person can see or hear change on the vehicle: gauges, lamps, motors and the like, to pick from."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from harness_studio.model.harness import Harness

from .case_words import thing_words

if TYPE_CHECKING:
    from harness_studio.network.network import Network

ORDER = (
    "gauge", "voltmeter", "ammeter", "lamp", "led", "motor", "flasher", "relay", "control_unit", "coil", "heater",
    "starter", "resistor", "current_load",
)  # fmt: skip
_NOT_SEEN = frozenset(
    {
        "battery",
        "diode",
        "sender",
        "ntc",
        "switch",
        "ignition_switch",
        "cut_off",
        "fuse",
        "breaker",
        "link",
        "bus_bar",
        "box",
    }
)


@dataclass(frozen=True, slots=True)
class Seeable:
    """One thing that can be picked: its address, its words, its kind."""

    address: str
    words: str
    kind: str


def seeables(harness: Harness, network: Network | None) -> list[Seeable]:
    """Return what can be picked, gauges first, then lamps, motors and the rest; without a network the parts."""
    kinds: dict[str, str] = {}
    if network is not None:
        for element in network.elements:
            kinds.setdefault(element.address, element.kind)
    else:
        kinds = {p.id: p.kind for p in harness.parts.values()}
    found = [Seeable(a, thing_words(harness, a), k) for a, k in kinds.items() if k not in _NOT_SEEN]
    place = {kind: n for n, kind in enumerate(ORDER)}
    return sorted(found, key=lambda s: (place.get(s.kind, len(ORDER)), _natural(s.address)))


def _natural(address: str) -> tuple[str, int, str]:
    letters = address.rstrip("0123456789").partition("/")[0].rstrip("0123456789")
    digits = "".join(c for c in address.partition("/")[0] if c.isdigit())
    return letters, int(digits or 0), address


def picked(harness: Harness, network: Network | None, member: str) -> str | None:
    """Return what a click on a thing means; None for what nobody can see change."""
    if member not in harness.parts:
        return None
    offered = [s.address for s in seeables(harness, network)]
    own = [a for a in offered if a.partition("/")[0] == member]
    return (own[0] if len(own) == 1 else member) if own else None
