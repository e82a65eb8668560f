"""``solve PROJECT``: volts and amperes everywhere in one mode."""

from __future__ import annotations

import argparse
from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

from harness_studio.app import solving
from harness_studio.app.output import amperes, millivolts, open_or, say, say_json, table, volts, watts
from harness_studio.base.units import show_mohm

if TYPE_CHECKING:
    from harness_studio.electrics.coupling import Coupling

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
    solving.add_joints(parser)
    parser.add_argument(
        "--coupling",
        action="store_true",
        help="add how many millivolts the return of each load rises per ampere of each other load",
    )
    parser.add_argument(
        "--against", metavar="MODE", help="only what differs between --mode and this mode, side by side"
    )


def run(arguments: argparse.Namespace) -> int:
    if arguments.against is not None:
        return _against(arguments)
    done = solving.solved(arguments.project, arguments.mode, arguments.joint)
    between = _coupling(done) if arguments.coupling else None
    if arguments.json:
        more = (
            {}
            if between is None
            else {"coupling": {"points": between.points, "mv_per_a": between.mv_per_a.tolist()}}
        )
        say_json({"mode": done.mode, **as_json(done), **more})
    else:
        say("\n".join(as_text(done) + (_coupling_table(between) if between else [])))
    return 0


def _against(arguments: argparse.Namespace) -> int:
    from harness_studio.app import mode_table
    from harness_studio.electrics.mode_changes import mode_changes

    done = solving.solved(arguments.project, arguments.mode, arguments.joint)
    found = mode_changes(done.harness, done.mode, arguments.against, done.overrides, done.solution)
    if arguments.json:
        say_json(mode_table.as_json(found))
    else:
        say("\n".join(mode_table.lines(done.harness, found)))
    return 0


def _coupling(done: solving.Solved) -> Coupling:
    """Return the coupling between the returns of all loads, those that share metal together."""
    from harness_studio.electrics.coupling import coupling, in_blocks, return_points
    from harness_studio.electrics.sweep import prepare

    points = return_points(done.network, done.solution)
    return in_blocks(coupling(prepare(done.network), points))


def _coupling_table(between: Coupling) -> list[str]:
    rows = [
        (point, *(f"{value:.2f}" for value in line))
        for point, line in zip(between.points, between.mv_per_a.tolist(), strict=True)
    ]
    head = ("mV of rise per A of", *between.points)
    return ["", *table(head, rows, right=tuple(range(1, len(head))))]


def as_json(done: solving.Solved) -> dict[str, Any]:
    """Return everything that was solved, by id."""
    from harness_studio.electrics.sneak import sneak_paths

    solution = done.solution
    warmth = solution.wire_temperatures_c()
    read = _readings(done)
    return {
        "points": dict(solution.points()),
        "wires": {
            wire: {
                "amperes": found.amperes,
                "drop_v": found.drop_v,
                "watts": found.watts,
                "temperature_c": warmth.get(wire),
            }
            for wire, found in solution.wires()
        },
        "joints": {
            joint: {"amperes": found.amperes, "drop_v": found.drop_v, "mohm": open_or(found.ohm * 1e3)}
            for joint, found in solution.joints()
        },
        "parts": {
            part: {"amperes": dict(found.terminals), "watts": found.watts, "readings": read.pop(part, {})}
            for part, found in solution.parts()
        }
        | {part: {"readings": rows} for part, rows in read.items()},
        "states": dict(solution.states),
        "assumed": [{"id": note.id, "what": note.what} for note in solution.assumed],
        "unsolved": [{"what": lost.what, "points": list(lost.points)} for lost in solution.unsolved],
        "sneak_paths": [
            {"element": s.element, "amperes": s.amperes, "why": s.why, "path": list(s.path)}
            for s in sneak_paths(done.network, solution)
        ],
    }


def _readings(done: solving.Solved) -> dict[str, dict[str, Any]]:
    """Return the readings by part: value now and in a clean harness."""
    from harness_studio.electrics.readings import readings

    now = readings(done.harness, done.solution)
    clean = readings(done.harness, solving.clean_of(done))
    found: dict[str, dict[str, Any]] = {}
    for key, reading in now.items():
        before = clean.get(key)
        found.setdefault(reading.id.split("/", 1)[0], {})[key] = {
            "value": reading.value,
            "clean": before.value if before else None,
            "unit": reading.unit,
            "words": reading.words,
            "clean_words": before.words if before else None,
        }
    return found


def as_text(done: solving.Solved) -> list[str]:
    """Return tables of parts, wires and joints, then what was assumed and what has no answer."""
    from harness_studio.electrics.sneak import sneak_paths

    solution = done.solution
    text = [
        f"{done.harness.settings.title}, {done.mode_words}; volts against {done.network.grounded or 'nothing'}"
    ]
    text += ["", *table(("part", "terminal", "volts", "into it", "takes"), _parts(done), right=(2, 3, 4))]
    rows_read = [
        (
            key,
            row["words"],
            "" if row["clean_words"] in (row["words"], None) else f"clean {row['clean_words']}",
        )
        for rows in _readings(done).values()
        for key, row in rows.items()
    ]
    text += ["", *table(("reading", "now", ""), rows_read)]
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
    sneaks = sneak_paths(done.network, solution)
    if sneaks:
        text += [
            "",
            "sneak paths",
            *(f"  {s.element} {s.why}, {amperes(s.amperes)}: {' → '.join(s.path)}" for s in sneaks),
        ]
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
