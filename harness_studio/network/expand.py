"""Expansion of a harness in a mode into its network."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

from harness_studio.model.harness import Harness
from harness_studio.model.parts import Part

from .builder import Builder, total_ohm
from .dialling import check_joints
from .elements import Made, expand_elements, expand_terminals
from .fixtures import bar_tabs, expand_bodies, expand_halves, expand_parts, plugged_terminals
from .modes import resolve
from .network import Branches, Conductors, Element, FuseElements, Network, Overrides, ResolvedMode
from .wires import expand_wires

if TYPE_CHECKING:
    from .network import Ints


def expand(
    harness: Harness, mode: str | None = None, overrides: Overrides | None = None, *, clean: bool = False
) -> Network:
    """Return the network of a harness in a mode (None: every switch in its first position, engine off).

    `clean` takes every joint as clean, whatever was found at it or is dialled: what the readings are compared with.

    Raises
    ------
    AddressError
        If the mode or a dialled joint is not there.
    """
    overrides = overrides or Overrides()
    expansion = Expansion(harness, clean=clean, joint_ohm=() if clean else overrides.joint_ohm)
    return expansion.network(mode, overrides)


@dataclass(frozen=True, slots=True)
class _Metal:
    """What no position of a switch changes: bodies, wires, halves, terminals, in the air of a mode."""

    ambient_c: Mapping[str, float]
    build: Builder
    a: Ints
    b: Ints
    conductors: Conductors
    body_centres: Mapping[str, int]


class Expansion:
    """One harness, expanded in one mode after the other; what they share is worked out once.

    Parameters
    ----------
    harness
        The harness; it must not change.
    clean
        Take every joint as clean.
    joint_ohm
        Joints dialled; those in the overrides of a mode are not looked at.
    """

    def __init__(
        self, harness: Harness, *, clean: bool = False, joint_ohm: Iterable[tuple[str, float]] = ()
    ) -> None:
        self._harness = harness
        recorded = {j.id: total_ohm(j.mohm) for j in harness.joints.values() if j.mohm is not None}
        self._joint_ohm = dict(joint_ohm)
        self._recorded_ohm = {} if clean else recorded
        self._tabs = bar_tabs(harness)
        self._circuits = _circuits(harness)
        self._made: Made = {}
        self._metal: _Metal | None = None

    def network(
        self, mode: str | None = None, overrides: Overrides | None = None, *, every_contact: bool = False
    ) -> Network:
        """Return the network in a mode, as `expand` does.

        Parameters
        ----------
        every_contact
            Close the contacts of all positions of each switch: what all positions have in common.

        Raises
        ------
        AddressError
            If the mode or a dialled joint is not there.
        """
        import numpy as np

        harness, overrides = self._harness, overrides or Overrides()
        resolved = resolve(harness, mode, overrides)
        metal = self._metal_in(resolved)
        build = metal.build.copy()
        contacts = expand_parts(build, harness, resolved, overrides, self._tabs, every_contact=every_contact)
        elements = expand_elements(build, harness, resolved, self._made)
        build.settle_aliases()
        check_joints(self._joint_ohm, build.joints)
        grounded = grounded_post(harness)
        return Network(
            points=tuple(build.points),
            index=build.index,
            branches=Branches(
                tuple(build.address),
                tuple(build.kind),
                np.concatenate((metal.a, np.array(build.a[len(metal.a) :], dtype=np.int64))),
                np.concatenate((metal.b, np.array(build.b[len(metal.b) :], dtype=np.int64))),
                np.array(build.ohm, dtype=np.float64),
            ),
            conductors=metal.conductors,
            fuses=FuseElements(
                np.array([f[0] for f in build.fuses], dtype=np.int64),
                np.array([f[1] for f in build.fuses], dtype=np.float64),
                np.array([f[2] for f in build.fuses], dtype=np.float64),
            ),
            elements=elements,
            contacts=contacts,
            joints=build.joints,
            mode=resolved,
            grounded=grounded,
            unknown_returns=_unknown_returns(build, harness),
            assumed=tuple(build.assumed),
            circuits=self._circuits,
            body_centres=metal.body_centres,
            worked=_worked(build, elements, grounded),
        )

    def _metal_in(self, mode: ResolvedMode) -> _Metal:
        import numpy as np

        metal, harness = self._metal, self._harness  # read once: another thread may put another one there
        if metal is None or metal.ambient_c != mode.ambient_c:
            build = Builder(self._joint_ohm, self._recorded_ohm)
            centres = expand_bodies(build, harness)
            expand_wires(build, harness, mode)
            used = {end.text for wire in harness.wires.values() for end in wire.ends if end.what == "point"}
            expand_halves(build, harness, used)
            expand_terminals(build, harness)
            a, b = (np.array(ends, dtype=np.int64) for ends in (build.a, build.b))
            metal = self._metal = _Metal(mode.ambient_c, build, a, b, _conductors(build), centres)
        return metal


def _worked(build: Builder, elements: tuple[Element, ...], grounded: str | None) -> Ints:
    import numpy as np

    points = {index for element in elements for index in element.terminals.values()}
    for number, kind in enumerate(build.kind):
        if kind == "through":
            points.update((build.a[number], build.b[number]))
    if grounded is not None:
        points.add(build.index[grounded])
    return np.array(sorted(points), dtype=np.int64)


def _conductors(build: Builder) -> Conductors:
    import numpy as np

    columns = np.array(build.conductors, dtype=np.float64).reshape(-1, 9).T
    return Conductors(columns[0].astype(np.int64), *columns[1:])


def grounded_post(harness: Harness) -> str | None:
    """Return the address of the grounded post of the first battery, or None without a battery."""
    battery = next((p for p in harness.parts.values() if p.kind == "battery"), None)
    if battery is None:
        return None
    return f"{battery.id}.31" if harness.settings.grounded == "negative" else f"{battery.id}.30"


def _unknown_returns(build: Builder, harness: Harness) -> tuple[str, ...]:
    """Return the points where circuits leave what is recorded: unmated cavities, and terminals of bare devices.

    Only a harness without a source has them: once loads and sources are recorded, currents are solved instead.
    """
    if any(p.kind in ("battery", "alternator", "dynamo") for p in harness.parts.values()):
        return ()
    mated = {other for half in harness.halves.values() for other in half.mates}
    open_halves = {h.id for h in harness.halves.values() if not h.part and not h.mates and h.id not in mated}
    return tuple(
        address
        for address in build.points
        if "." in address
        and address[0] != "~"
        and "@" not in address
        and _leaves(address, open_halves, harness)
    )


def _leaves(address: str, open_halves: set[str], harness: Harness) -> bool:
    owner = address.split(".", 1)[0]
    part: Part | None = harness.parts.get(owner)
    return owner in open_halves or (part is not None and part.kind == "device")


def _circuits(harness: Harness) -> dict[str, str]:
    """Return the circuit of each point at which a wire of a named circuit ends, and of each part that names one."""
    found: dict[str, str] = {}
    for wire in harness.wires.values():
        if wire.circuit:
            for end in wire.ends:
                if end.what == "point":
                    found.setdefault(end.text, wire.circuit)
    for half in harness.halves.values():
        for cavity, terminal in plugged_terminals(harness, half):
            if cavity in found:
                found.setdefault(terminal, found[cavity])
    for part in harness.parts.values():
        if part.circuit:
            found[part.id] = part.circuit
    return found
