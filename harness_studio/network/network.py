"""The expanded network: what is solved. Frozen; nothing here knows volts."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING, Any, TypeVar

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]
    Ints = NDArray[np.int64]

_Value = TypeVar("_Value")
BRANCH_KINDS = (
    "wire", "crimp", "ring", "stud", "mated", "terminal", "splice_leg", "clip", "fuse", "switch", "relay", "mount",
    "bus", "body", "bond", "through",
)  # fmt: skip
"""What a resistance of the network stands for."""


@dataclass(frozen=True, slots=True)
class Assumption:
    """Something the file does not say and the solver had to suppose."""

    id: str
    what: str

    def __str__(self) -> str:
        return f"{self.id}: {self.what}"


@dataclass(frozen=True, slots=True)
class Branches:
    """Every resistance, column by column; all columns have the same length.

    `address` is the wire's id, the joint's address, a bond's id, or a body place. `a` and `b` are indices of points.
    `resistance_ohm` may be 0 (the two points are one) and infinite (open).
    """

    address: tuple[str, ...]
    kind: tuple[str, ...]
    a: Ints
    b: Ints
    resistance_ohm: Floats

    def __len__(self) -> int:
        return len(self.address)


@dataclass(frozen=True, slots=True)
class Conductors:
    """What heats and cools each wire; one row per wire branch, in the order of `branch`.

    `branch` indexes the network's branches; areas and diameters are those of the recorded or assumed size.
    """

    branch: Ints
    length_m: Floats
    ohm_per_m_20c: Floats
    alpha_per_k: Floats
    conductor_mm: Floats
    outer_mm: Floats
    ambient_c: Floats
    limit_c: Floats
    heat_j_per_k_m: Floats


@dataclass(frozen=True, slots=True)
class FuseElements:
    """Fuses whose resistance grows with their load: branch, rated amperes, hot over cold resistance at that load."""

    branch: Ints
    rated_a: Floats
    hot_ratio: Floats


@dataclass(frozen=True, slots=True)
class Element:
    """One working element of a part: a load, a source or a coil between some of the part's terminals.

    `address` is the part's id, or PART/NAME where a part has several elements. `terminals` maps the part's terminal
    names to indices of points. `state` is what the mode says of it. `inductive` marks a pulsed output of a control
    unit whose load has a winding: its current flows on between the pulses.
    """

    address: str
    part: str
    kind: str
    ratings: Any
    terminals: Mapping[str, int]
    state: str | None = None
    inductive: bool = False


@dataclass(frozen=True, slots=True)
class RelayContact:
    """A contact of a relay: the branch it is when closed, and whether it closes when the coil pulls in."""

    relay: str
    branch: int
    makes: bool


@dataclass(frozen=True, slots=True)
class ResolvedMode:
    """A mode with everything it takes from `like` filled in."""

    id: str | None
    engine: str = "off"
    positions: Mapping[str, str] = field(default_factory=dict)
    loads: Mapping[str, str] = field(default_factory=dict)
    senders: Mapping[str, str] = field(default_factory=dict)
    ambient_c: Mapping[str, float] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Overrides:
    """What a session sets on top of the file: joints dialled, switches pressed, fuses pulled. Never saved.

    Each is a tuple of pairs, so that an `Overrides` can be a key.
    """

    joint_ohm: tuple[tuple[str, float], ...] = ()
    positions: tuple[tuple[str, str], ...] = ()
    loads: tuple[tuple[str, str], ...] = ()
    senders: tuple[tuple[str, str], ...] = ()
    engine: str | None = None
    pulled: tuple[str, ...] = ()

    def with_joint(self, address: str, ohm: float | None) -> Overrides:
        """Return these with a joint dialled to `ohm` (inf: open), or as the file has it (None)."""
        return replace(self, joint_ohm=_with(self.joint_ohm, address, ohm))

    def with_position(self, switch: str, position: str | None) -> Overrides:
        """Return these with a switch in a position, or as the mode has it (None)."""
        return replace(self, positions=_with(self.positions, switch, position))

    def with_load(self, part: str, state: str | None) -> Overrides:
        """Return these with a load off, on, turning, starting or in stall, or as the mode has it (None)."""
        return replace(self, loads=_with(self.loads, part, state))

    def with_sender(self, part: str, state: str | None) -> Overrides:
        """Return these with a sender in a state or at a quantity, or as the mode has it (None)."""
        return replace(self, senders=_with(self.senders, part, state))

    def with_engine(self, engine: str | None) -> Overrides:
        """Return these with the engine in a state, or as the mode has it (None)."""
        return replace(self, engine=engine)

    def with_pulled(self, fuse: str, pulled: bool) -> Overrides:
        """Return these with a fuse pulled or put back."""
        kept = tuple(f for f in self.pulled if f != fuse)
        return replace(self, pulled=(*kept, fuse) if pulled else kept)

    @property
    def joints_as_found(self) -> Overrides:
        """These without what is dialled."""
        return replace(self, joint_ohm=())


def _with(
    pairs: tuple[tuple[str, _Value], ...], key: str, value: _Value | None
) -> tuple[tuple[str, _Value], ...]:
    kept = tuple(pair for pair in pairs if pair[0] != key)
    return kept if value is None else (*kept, (key, value))


@dataclass(frozen=True, slots=True)
class Network:
    """Points, resistances and elements of a harness in a mode.

    Parameters
    ----------
    points
        Address of each point by index. Points that nobody can touch (wire cores, fuse blades) start with '~'.
    index
        Index by address; aliases (a contact named by its wire) included.
    joints
        Branch index by the joint's address; aliases included.
    mode
        The resolved mode.
    grounded
        Address of the grounded battery post, the 0 V of all readings; None without a battery.
    unknown_returns
        Points of an imported harness at which circuits may return to nobody knows what.
    worked
        Indices of points whose volts something works with: terminals of elements, ends of what current passes
        through, the grounded post; sorted.
    """

    points: tuple[str, ...]
    index: Mapping[str, int]
    branches: Branches
    conductors: Conductors
    fuses: FuseElements
    elements: tuple[Element, ...]
    contacts: tuple[RelayContact, ...]
    joints: Mapping[str, int]
    mode: ResolvedMode
    grounded: str | None
    unknown_returns: tuple[str, ...]
    assumed: tuple[Assumption, ...]
    circuits: Mapping[str, str]
    body_centres: Mapping[str, int]
    worked: Ints

    @property
    def size(self) -> int:
        """Number of points."""
        return len(self.points)
