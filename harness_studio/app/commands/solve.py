"""``solve PROJECT``: volts and amperes everywhere in one mode."""

from __future__ import annotations

import argparse
from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

from harness_studio.app import solving
from harness_studio.app.output import amperes, millivolts, open_or, say, say_json, table, volts, watts
from harness_studio.base.units import show_mohm

if TYPE_CHECKING:
    from harness_studio.electrics.solution import Solution

NAME = "solve"
HELP = "volts at every point, amperes in every wire, joint and part"
ABOUT = (
    "Solves the harness in one mode. Volts are against the grounded battery post; currents are positive from a wire's "
    "first end to its second and into a part's terminal. Whatever the file does not say is listed under 'assumed'."
)
FOLD_BELOW_V = 0.001


def add_arguments(parser: argparse.ArgumentParser) -> None:
    solving.add_project(parser)
    solving.add_mode(parser)


def run(arguments: argparse.Namespace) -> int:
    done = solving.solved(arguments.project, arguments.mode)
    if arguments.json:
        say_json({"mode": done.mode, **as_json(done.solution)})
    else:
        say("\n".join(as_text(done)))
    return 0


def as_json(solution: Solution) -> dict[str, Any]:
    """Return everything that was solved, by id."""
    return {
        "points": dict(solution.points()),
        "wires": {
            wire: {"amperes": found.amperes, "drop_v": found.drop_v, "watts": found.watts}
            for wire, found in solution.wires()
        },
        "joints": {
            joint: {"amperes": found.amperes, "drop_v": found.drop_v, "mohm": open_or(found.ohm * 1e3)}
            for joint, found in solution.joints()
        },
        "parts": {
            part: {"amperes": dict(found.terminals), "watts": found.watts} for part, found in solution.parts()
        },
        "states": dict(solution.states),
        "assumed": [{"id": note.id, "what": note.what} for note in solution.assumed],
        "unsolved": [{"what": lost.what, "points": list(lost.points)} for lost in solution.unsolved],
    }


def as_text(done: solving.Solved) -> list[str]:
    """Return tables of parts, wires and joints, then what was assumed and what has no answer."""
    solution = done.solution
    text = [
        f"{done.harness.settings.title}, {done.mode_words}; volts against {done.network.grounded or 'nothing'}"
    ]
    text += ["", *table(("part", "terminal", "volts", "into it", "takes"), _parts(done), right=(2, 3, 4))]
    text += ["", *table(("wire", "from", "to", "current", "lost", "heat"), _wires(done), right=(3, 4, 5))]
    large = [item for item in solution.joints() if not abs(item[1].drop_v) < FOLD_BELOW_V]
    rows = [
        (joint, amperes(found.amperes), millivolts(found.drop_v * 1e3), show_mohm(found.ohm))
        for joint, found in sorted(large, key=lambda item: -abs(item[1].drop_v))
    ]
    text += ["", *table(("joint", "current", "lost", "resistance"), rows, right=(1, 2, 3))]
    more = sum(1 for _ in solution.joints()) - len(rows)
    if more:
        text.append(f"{more} more that lose less than 1 mV")
    if solution.states:
        states = [(done.harness.title_of(key), state) for key, state in solution.states.items()]
        text += ["", *table(("state of", ""), states)]
    if solution.assumed:
        text += ["", "assumed", *(f"  {note}" for note in solution.assumed)]
    if solution.unsolved:
        text += ["", "no answer", *(f"  {lost.what}" for lost in solution.unsolved)]
    return text


def _parts(done: solving.Solved) -> Iterator[tuple[str, ...]]:
    for part, found in done.solution.parts():
        title, taken = done.harness.title_of(part), watts(found.watts)
        for address, into in found.terminals.items():
            name = address.removeprefix(f"{part}.")
            yield title, name, volts(done.solution.volt(address)), amperes(into), taken
            title, taken = "", ""


def _wires(done: solving.Solved) -> Iterator[tuple[str, ...]]:
    for wire, found in done.solution.wires():
        ends = done.harness.wires[wire].ends
        yield (
            wire,
            str(ends[0]),
            str(ends[1]),
            amperes(found.amperes),
            millivolts(found.drop_v * 1e3),
            watts(found.watts),
        )
