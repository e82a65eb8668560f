"""Which laws a solve uses: every element by its law, or every element at its rated point."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from harness_studio.network.network import Network

from . import rated, states
from .laws import catalogue, discrete
from .laws.pieces import Pieces

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    from .positions import Positions

    Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class LawSet:
    """How elements become equations.

    Parameters
    ----------
    pieces
        (network, states) → stamps and two-poles.
    initial
        (network, states before or None) → states of the first pass.
    flips
        (network, states, volts, what to keep for the same states) → states that do not fit, the worst first.
    choices
        States an element of a kind may be in.
    positions
        What the positions of one harness share, where many are solved.
    """

    pieces: Callable[[Network, Mapping[str, str]], Pieces]
    initial: Callable[[Network, Mapping[str, str] | None], dict[str, str]]
    flips: Callable[[Network, Mapping[str, str], Floats, dict[str, Any] | None], list[discrete.Flip]]
    choices: Mapping[str, tuple[str, ...]]
    positions: Positions | None = None


def _rated_pieces(network: Network, at: Mapping[str, str]) -> Pieces:
    pieces = Pieces()
    for element in network.elements:
        pieces.stamps.extend(rated.stamps_of(states.applied(element, at), pieces.notes))
    return pieces


def _rated_initial(network: Network, before: Mapping[str, str] | None) -> dict[str, str]:
    return {**states.initial(network), **(before or {})}


def _rated_flips(
    network: Network, at: Mapping[str, str], volts: Floats, memo: dict[str, Any] | None
) -> list[discrete.Flip]:
    flip = states.wanted(network, at, volts)
    return [discrete.Flip(flip.element, flip.to, flip.by)] if flip else []


FULL = LawSet(catalogue.pieces_of, discrete.initial, discrete.flips, discrete.CHOICES)
"""Every element by its law."""
RATED = LawSet(
    _rated_pieces,
    _rated_initial,
    _rated_flips,
    {
        "relay": ("released", "pulled in"),
        "battery": ("discharging", "charging"),
        "diode": ("blocked", "conducts"),
        "stabiliser": ("passing", "regulating"),
    },
)
"""Every load a resistance at its rated point, every source an EMF behind a resistance: linear but for its states."""
