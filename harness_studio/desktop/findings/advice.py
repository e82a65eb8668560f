"""Advice on sizes and on grounds as the window asks for it: worked out beside the window, one at a time."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from html import escape
from threading import Event
from typing import TYPE_CHECKING

from harness_studio.placing.faces import natural
from harness_studio.session.attempt import attempt
from harness_studio.session.scheduler import Scheduler

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from harness_studio.checks.finding import Finding
    from harness_studio.checks.ground_advice import GroundAdvice
    from harness_studio.checks.proposals import Checked as Sized
    from harness_studio.checks.scope import Scope
    from harness_studio.model.edits import Together


@dataclass(frozen=True, slots=True)
class Question:
    """What advice is wanted on: 'size' of wires, or 'ground'; the whole harness where `of` is empty."""

    kind: str
    of: str
    words: str


@dataclass(frozen=True, slots=True)
class Advised:
    """What is advised: as rich text, before and after in it, and the one edit that does it (None for nothing)."""

    question: Question
    html: str
    edit: Together | None
    problem: str | None = None


class Adviser:
    """Works out one piece of advice at a time; a newer question, or `stop`, drops the former."""

    def __init__(self, scheduler: Scheduler, arrived: Callable[[Advised | None], None]) -> None:
        self._scheduler = scheduler
        self._arrived = arrived
        self._cancel: Event | None = None

    @property
    def busy(self) -> bool:
        """Whether advice is on its way."""
        return self._cancel is not None

    def ask(self, scope: Scope, question: Question) -> None:
        """Work out advice on a harness as it was checked."""
        self.stop()
        cancel = self._cancel = Event()

        def work() -> Advised | None:
            found, problem = attempt("the advice", lambda: answer(scope, question, cancel.is_set))
            return None if cancel.is_set() else found or Advised(question, "", None, problem)

        def done(found: Advised | None) -> None:
            if self._cancel is cancel:
                self._cancel = None
                self._arrived(found)

        self._scheduler.run(work, done)

    def stop(self) -> None:
        """Drop what is on its way."""
        if self._cancel is not None:
            self._cancel.set()
            self._cancel = None


def answer(scope: Scope, question: Question, stopped: Callable[[], bool]) -> Advised:
    """Return advice, tried on a copy and checked. On any thread."""
    if question.kind == "ground":
        from harness_studio.checks import ground_advice

        found = ground_advice.advise(scope, ground_advice.chosen(scope.harness, question.of or None), stopped)
        return Advised(question, ground_html(scope, found), found.edit)
    from harness_studio.checks import adviser, proposals

    wires = (
        adviser.chosen(scope.harness, wire=question.of)
        if question.of in scope.harness.wires
        else adviser.chosen(scope.harness, circuit=question.of or None)
    )
    sized = proposals.size(scope, wires, stopped)
    return Advised(question, size_html(scope, sized), sized.proposal.edit)


def ground_html(scope: Scope, advice: GroundAdvice) -> str:
    """Return the moves with what they are for, and before and after."""
    from harness_studio.checks.words import amps, volts

    harness = scope.harness
    parts = (
        [_heading("First")] + [_line(f"clean it: {text}") for text in advice.clean] if advice.clean else []
    )
    if advice.by_cleaning:
        parts.append(_line(f"that alone takes away {_counted(advice.by_cleaning)}"))
    if not advice.targets:
        return "".join([*parts, _line("Nothing sensitive on it is beyond its limit.")])
    parts += [_heading("For the sake of"), *_list(f.sentence for f in advice.targets)]
    moves = [m.words(harness) for m in advice.moves]
    parts += [
        _heading("Move"),
        *_list(moves or ["no move of these returns helps without bringing something new"]),
    ]
    if advice.moves and advice.rises:
        rows = [
            (
                harness.title_of(r.ground) if r.ground in harness.grounds else f"{r.ground}, new",
                volts(r.before_v) if r.ground in harness.grounds else "–",
                volts(r.after_v),
                amps(r.before_a) if r.ground in harness.grounds else "–",
                amps(r.after_a),
            )
            for r in advice.rises
        ]
        parts.append(_table(("ground", "rise", "then", "carries", "then"), rows))
    if advice.straps:
        straps = [(s.wire, amps(s.before_a), amps(s.after_a), s.may) for s in advice.straps]
        parts.append(_table(("strap", "carries", "then", "may carry"), straps))
    parts += _effects(advice.gone if advice.moves else (), advice.left, advice.withdrawn)
    if advice.kept_off:
        parts += [_heading("No stud to move anything to, by its words"), *_list(advice.kept_off)]
    return "".join(parts)


def size_html(scope: Scope, sized: Sized) -> str:
    """Return the sizes and fuses to change, before and after, with the rule that decided."""
    proposal = sized.proposal
    changed = [r for r in proposal.wires if r.proposed is not None]
    parts = []
    if changed:
        rows = [
            (r.wire, str(r.present or "not known"), str(r.proposed), r.decided_by, r.why) for r in changed
        ]
        parts += [_heading("Wires"), _table(("wire", "now", "make it", "decided by", "it"), rows)]
        rests = dict.fromkeys(text for r in changed for text in r.source.split(" | ") if text)
        parts += [_heading("These numbers rest on"), *_list(rests)] if rests else []
    fuses = [f for f in proposal.fuses if f.proposed_a is not None]
    if fuses:
        parts += [
            _heading("Fuses"),
            _table(
                ("fuse", "now", "make it", "because"),
                [
                    (
                        scope.harness.title_of(f.fuse),
                        "not known" if f.present_a is None else f"{f.present_a:g} A",
                        f"{f.proposed_a:g} A",
                        f.why,
                    )
                    for f in fuses
                ],
            ),
        ]
    if not changed and not fuses:
        parts.append(_line("Nothing is to be changed."))
    lacking = _grouped([(r.wire, r.problem) for r in proposal.wires if r.problem])
    lacking += [f"{f.fuse}: {f.problem}" for f in proposal.fuses if f.problem]
    parts += _effects(sized.gone if changed or fuses else (), (), sized.withdrawn)
    if proposal.beyond:
        parts += [_heading("Not mended by the size of these wires"), *_list(proposal.beyond)]
    if lacking:
        parts += [_heading("No advice"), *_list(lacking)]
    return "".join(parts)


def _grouped(problems: Sequence[tuple[str, str]]) -> list[str]:
    """Return one line for each problem with the wires that have it, and where it is put right."""
    wires: dict[str, list[str]] = {}
    for wire, problem in problems:
        wires.setdefault(problem, []).append(wire)
    lines = []
    for problem, ids in wires.items():
        said = problem.replace("its ", "their ", 1) if len(ids) > 1 else problem
        where = "; write it in the list of wires" if problem.startswith("its ") else ""
        lines.append(f"{', '.join(sorted(ids, key=natural))}: {said}{where}")
    return lines


def _effects(gone: Sequence[Finding], left: Sequence[Finding], withdrawn: Sequence[str]) -> list[str]:
    parts = []
    if gone:
        parts += [_heading(f"Takes away {len(gone)}"), *_list(f"{f.rule} {f.ids[0]}: {f.text}" for f in gone)]
    if left:
        parts += [_heading("Still stands"), *_list(f.sentence for f in left)]
    if withdrawn:
        parts += [_heading("Left out, for what it would bring"), *_list(withdrawn)]
    return parts


def _counted(found: Sequence[Finding]) -> str:
    named = ", ".join(f"{f.rule} {f.ids[0]}" for f in found[:6])
    return f"{named} and {len(found) - 6} more" if len(found) > 6 else named


def _heading(text: str) -> str:
    return f"<p style='margin:8px 0 2px 0'><b>{escape(text)}</b></p>"


def _line(text: str) -> str:
    return f"<p style='margin:0 0 4px 0'>{escape(text)}</p>"


def _list(texts: Iterable[str]) -> list[str]:
    return [_line(f"· {text}") for text in texts]


def _table(head: Sequence[str], rows: Iterable[Sequence[str]]) -> str:
    top = "".join(f"<th align='left'>{escape(text)}&nbsp;&nbsp;</th>" for text in head)
    body = "".join(
        "<tr>" + "".join(f"<td>{escape(text)}&nbsp;&nbsp;</td>" for text in row) + "</tr>" for row in rows
    )
    return f"<table cellpadding='1'><tr>{top}</tr>{body}</table>"
