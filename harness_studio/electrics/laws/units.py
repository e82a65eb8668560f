"""Control units: what each of their terminals draws, drives and measures."""

from __future__ import annotations

from harness_studio.electrics.stamps import Stamp, resistor, series_regulator
from harness_studio.model.kinds.control import UnitTerminal
from harness_studio.network.network import Element

from . import curves
from .instruments import LEAK_OHM
from .pieces import Pieces
from .poles import TwoPole

DRIVER_OHM, PULL_UP_OHM, REFERENCE_OHM, REFERENCE_V = 0.1, 1000.0, 1.0, 5.0
"""Driver on-resistance, sensor pull-up, what stands behind a reference, and its volts where not known (from memory)."""
DRAW_A = 0.5
"""What a terminal draws where it is not known (from memory)."""
LEAST_DUTY = 1e-3


def terminal_of(element: Element) -> UnitTerminal:
    """Return what is declared of the element's terminal; the element's own state is that terminal's name."""
    found: UnitTerminal = element.ratings.terminals[element.state or ""]
    return found


def first_that(element: Element, does: str) -> str | None:
    """Return the unit's first terminal that does something, if the element has to do with it."""
    name = next((n for n, t in element.ratings.terminals.items() if t.does == does), None)
    return name if name in element.terminals else None


def supply_of(element: Element) -> tuple[str, str] | None:
    """Return the two terminals between which an element of a control unit has its supply; None if nobody knows.

    What a terminal draws by itself (the memory of a unit that the key switches) comes from that terminal.
    """
    supply, ground = first_that(element, "supply"), first_that(element, "ground")
    if draws_itself(element):
        supply, ground = element.state, terminal_of(element).to or ground
    return None if supply is None or ground is None else (supply, ground)


def draws_itself(element: Element) -> bool:
    """Tell whether an element draws its current at a terminal of its own, whatever the unit's supply does."""
    return terminal_of(element).does == "draw"


def duty_of(element: Element) -> float | None:
    """Return the part of the time for which a pulsed output conducts; None where it is not pulsed."""
    what = terminal_of(element)
    if what.does not in ("pwm_low", "pwm_high") or what.duty is None or what.duty >= 1.0:
        return None
    return max(what.duty, LEAST_DUTY)


def pulsed_between(element: Element) -> tuple[str, str, str, float] | None:
    """Return (own, near, far, 1 − duty) of a pulsed output, or None.

    The output conducts to `near` for its duty; for the rest of the time it stands, on average, at `far`. Current flows
    its own way while the output lies beyond near + (1 − duty)·(far − near), the mean of both.
    """
    duty, what = duty_of(element), terminal_of(element)
    if duty is None:
        return None
    supply, ground = first_that(element, "supply"), first_that(element, "ground")
    high = what.does == "pwm_high"
    near, far = what.to or (supply if high else ground), ground if high else supply
    if near is None or far is None or near == far:
        return None
    return element.state or "", near, far, 1.0 - duty


def control_unit(element: Element, state: str | None, pieces: Pieces) -> None:
    """One terminal of a control unit; the element's own state is that terminal's name.

    What draws leaks once it is cut out. A sensor input or reference is `reference_v` above its own ground behind the
    pull-up, the current drawn from the unit's supply. A driver is a resistance while it is on; see `pulsed` for one
    that pulses.
    """
    what = terminal_of(element)
    if not what.on or (state in ("cut out", "hiccups") and what.does != "draw"):
        return
    name = element.state or ""
    supply, ground = first_that(element, "supply"), first_that(element, "ground")
    to = what.to or (supply if what.does in ("high_side", "pwm_high") else ground)
    if to is None:
        pieces.note(element, "no ground or supply terminal is declared for it, left out")
        return
    own, other = element.terminals[name], element.terminals[to]
    if what.does in ("sensor_input", "reference"):
        volts = what.reference_v or REFERENCE_V
        ohm = what.pull_up_ohm or (PULL_UP_OHM if what.does == "sensor_input" else REFERENCE_OHM)
        feed = own if supply is None else element.terminals[supply]
        if supply is None:
            pieces.note(
                element, "no supply terminal is declared: its pull-up current comes from its own ground"
            )
            feed = other
        pieces.stamps.append(series_regulator(element.address, feed, own, other, volts, ohm))
        if feed != other:
            pieces.stamps.append(resistor(element.address, feed, other, LEAK_OHM))
        return
    if what.does == "draw":
        amperes = what.amps if what.amps is not None else DRAW_A
        if state in ("cut out", "hiccups"):
            pieces.stamps.append(resistor(element.address, own, other, LEAK_OHM))
        elif what.ohm:
            pieces.stamps.append(resistor(element.address, own, other, what.ohm))
        elif amperes > 0.0:
            parameters = (amperes, 1.0)
            pieces.poles.append(TwoPole(element.address, own, other, curves.constant_current, parameters))
        return
    ohm = what.ohm or DRIVER_OHM
    pulse, duty = pulsed_between(element), duty_of(element)
    if pulse is not None:
        pieces.stamps.append(resistor(element.address, own, other, LEAK_OHM))
        if state != "blocked":
            points = (own, other, element.terminals[pulse[2]])
            pieces.stamps.append(pulsed(element.address, points, ohm, 1.0 - pulse[3], element.inductive))
        return
    if duty is not None:
        pieces.note(element, "its supply or ground is not declared: it pulses as a resistance of R/duty")
    pieces.stamps.append(resistor(element.address, own, other, ohm / (duty or 1.0)))


def pulsed(
    address: str, points: tuple[int, int, int], ohm: float, duty: float, inductive: bool = False
) -> Stamp:
    """Return a pulsed output between (own, near, far) as its mean over many periods.

    Ideal averaging over the duty D (the averaged switch of power electronics): the mean volts at the output are those
    of `near` for D and those of `far` for 1 − D of the time, so a load between `far` and the output has D times the
    supply across it, less what its current loses in the driver.

    - Resistive load (lamp, heater): no current while the driver is off; the mean current I flows for D of the time as
      I/D, loses R·I on average, and all of it passes `near`.
    - Inductive load (motor, valve, coil): its current I flows on while the driver is off, through a freewheel diode to
      `far` (taken as ideal): `near` carries D·I, `far` (1 − D)·I, and R·D·I is lost.

    Current flows one way only: the discrete state 'blocked' stands for an output whose load has no feed. A lamp's
    filament feels the effective volts, √D times the supply, not the mean: its light is then more than is shown.
    """
    inside = ohm * duty if inductive else ohm
    to_near = duty if inductive else 1.0
    # The current into the driver at its own terminal: (v_own − D·v_near − (1 − D)·v_far) / inside.
    g = 1.0 / inside
    row = (g, -g * duty, -g * (1.0 - duty))
    return Stamp(
        address,
        points,
        (row, tuple(-to_near * x for x in row), tuple(-(1.0 - to_near) * x for x in row)),
        (0.0, 0.0, 0.0),
    )
