"""A suspect group in words: what it is made of, how much resistance, why, and what it predicts."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import TYPE_CHECKING

from harness_studio.base.units import show_mohm
from harness_studio.diagram.words import millivolts, per_cent, signed, volts
from harness_studio.model.harness import Harness
from harness_studio.placing.links import thing_of
from harness_studio.session.case_words import mode_words

if TYPE_CHECKING:
    from harness_studio.casebook.argument import Argument
    from harness_studio.casebook.next_reading import Proposal
    from harness_studio.casebook.summary import Suspect
    from harness_studio.session.study import Answer

OPEN_FROM_OHM = 1e5
"""More than this stands for an open joint."""


def added_words(ohm: float) -> str:
    """Return an added resistance: '70 mΩ', '2.4 Ω', 'open'."""
    return show_mohm(math.inf if ohm >= OPEN_FROM_OHM else ohm)


def sure_words(suspect: Suspect, *, in_per_cent: bool) -> str:
    """Return how sure a group is: in a word, or in per cent."""
    return per_cent(suspect.probability) if in_per_cent else suspect.word


def title(harness: Harness, suspect: Suspect) -> str:
    """Return the joint that a group is called by: its likeliest member with its thing's title."""
    first, fault = suspect.members[0]
    owner = thing_of(first)
    named = harness.title_of(owner).removeprefix(owner).strip()
    words = f"{first} {named}" if named else first
    return words + {"chafed": ", chafed through", "source": ", weak inside"}.get(fault, "")


def second_line(suspect: Suspect) -> str:
    """Return the added resistance with its range, and the other members."""
    best, low, high = added_words(suspect.added_ohm), *(added_words(o) for o in suspect.range_ohm)
    chafed = suspect.members[0][1] == "chafed"
    added = f"touches metal, {best}" if chafed else best if best == "open" else f"+ {best}"
    if low != high:
        added += f" ({low} to {high})"
    others = ", ".join(address for address, _ in suspect.members[1:])
    return f"{added} · with {others}" if others else added


def verdict(answer: Answer) -> str:
    """Return why to stop measuring, as a sentence with what to do then; empty while readings tell more."""
    if not answer.stop:
        return ""
    said = answer.stop[0].upper() + answer.stop[1:].rstrip(".") + "."
    if answer.verdict == "one group is clear":
        said += " Mend it, then take the same readings again."
    elif answer.verdict == "nothing fits":
        said += " Look for what is not in this harness yet."
    return said


def why(suspect: Suspect, argument: Argument | None) -> str:
    """Return why a group is suspected, from what was seen alone; empty where nothing was seen."""
    if argument is None or not argument.changed:
        return ""
    members = {address for address, _ in suspect.members}
    loads = ", ".join(argument.changed)
    whose = f"all that changed ({loads})" if len(argument.changed) > 1 else loads
    sides = [
        side
        for side, joints in (("feed", argument.feed), ("return", argument.returns))
        if members & {*joints}
    ]
    if not sides:
        return f"Not a joint that {whose} share{'s' if len(argument.changed) == 1 else ''}."
    said = f"Carries the {' and the '.join(sides)} of {whose}"
    other = argument.feed if sides == ["return"] else argument.returns
    if len(sides) == 1 and not other and len(argument.changed) > 1:
        said += f", and no {'feed' if sides == ['return'] else 'return'} is common to them"
    against = sorted({load for joint, load in argument.cleared.items() if joint in members})
    return said + (f"; but {', '.join(against)} passes it too, and stayed." if against else ".")


def predicts(harness: Harness, suspect: Suspect, proposals: Sequence[Proposal]) -> list[str]:
    """Return what a group predicts for each proposed reading; the mode is told where they are of several."""
    several = len({p.mode for p in proposals}) > 1
    return [
        f"{p.plus} to {p.minus}{f' ({mode_words(harness, p.mode)})' if several and p.mode else ''}: "
        f"{reading(p.expected[suspect.joint])}"
        for p in proposals
        if suspect.joint in p.expected
    ]


def reading(value: float) -> str:
    """Return volts as a meter shows them, which counts to 2000: '19 mV', '0.125 V', '12.61 V', '28.1 V'."""
    size = abs(value)
    if size < 0.0995:
        return millivolts(value * 1e3)
    return volts(value) if size >= 20 else f"{signed(value, 3 if size < 2 else 2)} V"


def things_of(harness: Harness, suspect: Suspect) -> set[str]:
    """Return the ids of the things and wires that a group's members are on."""
    taken = harness.taken_ids()
    found = set()
    for address, _ in suspect.members:
        for piece in address.replace("@", "/").split("/"):
            owner = thing_of(piece)
            if owner in taken:
                found.add(owner)
    wires = {thing for thing in found if thing in harness.wires}
    return found if len(found) <= 6 else wires or found
