"""Which plots there are, what each is about, and how it is made for the state of a session."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING

from harness_studio.diagram.joints import joint_of_thing
from harness_studio.electrics.loading import FUSES

from .bars import before_after, coupling_plot, loading_plot
from .curves import fuse_plot
from .plot import Plot
from .stairs import stairs

if TYPE_CHECKING:
    from harness_studio.session.session import Session


@dataclass(frozen=True, slots=True)
class Kind:
    """One kind of plot.

    Parameters
    ----------
    id, title
        Name in the code, and what it is called.
    subject
        Finds what it is about; '' for the whole harness, None for nothing.
    make
        Draws it, or says why there is nothing; None for one that is computed beside the window.
    hint
        What to do where there is no subject.
    beside
        Whether it takes long enough on a large harness to be made on another thread, from a still of the session.
    """

    id: str
    title: str
    subject: Callable[[Session], str | None]
    make: Callable[[Session, str], Plot | str] | None
    hint: str = ""
    beside: bool = False


def load_of(session: Session) -> str | None:
    """Return the element of the selected load that takes most current; None if no load is selected."""
    solution = session.solution
    if solution is None:
        return None
    from harness_studio.electrics.rated import SOURCE_KINDS

    own = [e for e in solution.elements if e.part in session.selection and e.kind not in SOURCE_KINDS]
    known = [
        e for e in solution.network.elements if e.part in session.selection and e.kind not in SOURCE_KINDS
    ]
    if own:
        return max(own, key=lambda e: max((abs(a) for a in e.amperes), default=0.0)).address
    return known[0].address if known else None


def joint_here(session: Session) -> str | None:
    """Return the chosen joint, or the joint that the selected thing is."""
    if session.chosen is not None:
        return session.chosen
    found = (joint_of_thing(session.harness, thing) for thing in sorted(session.selection))
    return next((j for j in found if j is not None), None)


def fuse_here(session: Session) -> str | None:
    """Return the selected or the chosen fuse."""
    names = [*sorted(session.selection), session.chosen or ""]
    parts = session.harness.parts
    return next((n for n in names if n in parts and parts[n].kind in FUSES), None)


def whole(_: Session) -> str | None:
    """Return that a plot is about the whole harness."""
    return ""


def clean_and_now(session: Session, _: str) -> Plot | str:
    """Return the readings in a clean harness and now."""
    computed = session.computed
    return before_after(
        session, computed.clean_readings, computed.readings, ("clean", "now"), "Every joint clean, and now"
    )


KINDS = (
    Kind("stairs", "Voltage staircase", load_of, stairs, "Select a load on the diagram: a lamp, a motor, a gauge.",
         beside=True),
    Kind("against", "Readings against resistance", joint_here, None,
         "Click a ground, a splice, a fuse or a contact on the diagram."),
    Kind("coupling", "Coupling between circuits", whole, lambda s, _: coupling_plot(s), beside=True),
    Kind("loading", "Load of grounds and fuses", whole, lambda s, _: loading_plot(s)),
    Kind("fuse", "Fuse band and wires", fuse_here, fuse_plot, "Select a fuse on the diagram."),
    Kind("before", "Before and after", whole, clean_and_now),
)  # fmt: skip
