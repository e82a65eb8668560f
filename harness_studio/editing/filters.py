"""Filters as people write them: brown with white, size < 1.5, circuit = pump, zone: bed, open ends, no length.

Clauses are parted by commas or 'and'; a row stays if all of them hold. '=' wants the words of the value among the words
of the cell, ':' the text anywhere in it; '<' and the like compare numbers and sizes, in any unit that can be typed.
"""

from __future__ import annotations

import operator
import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from harness_studio.model.forms import Maybe, Number
from harness_studio.standards import colours

from .quantities import Refused, area_of, read_number, read_size
from .typed import SizeForm

if TYPE_CHECKING:
    from .columns import Column
    from .rows import Rows

Test = Callable[[str], bool]
_COMPARE: dict[str, Callable[[float, float], bool]] = {
    "<": operator.lt, "<=": operator.le, ">": operator.gt, ">=": operator.ge, "=": operator.eq, "!=": operator.ne,
    ":": operator.eq,
}  # fmt: skip
_SIGNS = {"≤": "<=", "≥": ">=", "≠": "!=", "==": "=", "<>": "!="}
_OPERATOR = re.compile(r"<=|>=|!=|<>|==|[<>=:≤≥≠]")
_CLAUSES = re.compile(r"[;,](?=\s|$)|\s+and\s+", re.I)
_OTHER_NAMES = {"color": "colour", "area": "size", "gauge": "size", "mark": "marked", "connector": "title"}
_SAME = 1e-6


@dataclass(frozen=True, slots=True)
class Clause:
    """One condition; `test` makes of it a question to a row's id."""

    test: Callable[[Rows], Test]


@dataclass(frozen=True, slots=True)
class Filter:
    """Conditions that must all hold; `problem` is one line about what was not understood, or empty."""

    clauses: tuple[Clause, ...] = ()
    problem: str = ""


def parse(text: str, columns: Sequence[Column]) -> Filter:
    """Read a filter for a table with these columns. What is not understood is told and looked for as words."""
    clauses: list[Clause] = []
    problems: list[str] = []
    for piece in (p.strip() for p in _CLAUSES.split(text)):
        if not piece:
            continue
        try:
            clauses += _clause(piece, columns)
        except Refused as refused:
            problems.append(str(refused))
    return Filter(tuple(clauses), "; ".join(problems))


def _clause(piece: str, columns: Sequence[Column]) -> list[Clause]:
    found = _OPERATOR.search(piece)
    if found:
        before, value = piece[: found.start()].strip().lower(), piece[found.end() :].strip()
        sign = _SIGNS.get(found[0], found[0])
        words, column = _named(before, columns)
        if column == "id":
            return [*_free(words), _id_clause(sign, value)]
        if not isinstance(column, int):
            names = ", ".join(["id", *(c.name for c in columns)])
            raise Refused(f"'{before}' is no column; columns are {names}")
        return [*_free(words), _comparison(columns, column, sign, value)]
    lowered = piece.lower()
    if re.fullmatch(r"(?:with )?open[ -]ends?|loose(?: ends?)?", lowered):
        return [Clause(_open_ends)]
    without = re.fullmatch(r"(?:no|without|not known)\s+(.+)", lowered)
    if without:
        _, column = _named(without[1], columns, whole=True)
        if isinstance(column, int):
            return [Clause(lambda rows, c=column: lambda i: not rows.texts(i)[c])]  # type: ignore[misc]
    negated = re.fullmatch(r"(?:not\s+|-)(\S.*)", lowered)
    if negated:
        inner = _words_clause(negated[1])
        return [Clause(lambda rows, t=inner.test: _opposite(t(rows)))]  # type: ignore[misc]
    return _free(piece)


def _opposite(test: Test) -> Test:
    return lambda i: not test(i)


def _named(before: str, columns: Sequence[Column], *, whole: bool = False) -> tuple[str, int | str | None]:
    """Return (words before it, number of the column or 'id') of a text that ends with a column's name."""
    words = before.split()
    for start in range(len(words)):
        if whole and start:
            break
        name = " ".join(words[start:])
        name = _OTHER_NAMES.get(name, name)
        if name == "id":
            return " ".join(words[:start]), "id"
        for number, column in enumerate(columns):
            if column.name == name:
                return " ".join(words[:start]), number
    return before, None


def _free(text: str) -> list[Clause]:
    if not text:
        return []
    codes = colours.parse(text) if len(text.split()) > 1 or "/" in text else None
    if codes and len(codes) > 1:
        wanted = colours.text(codes)
        return [Clause(lambda rows: lambda i: getattr(rows.entity(i), "colour", None) == wanted)]
    return [_words_clause(text.lower())]


def _words_clause(text: str) -> Clause:
    words = text.split()
    return Clause(lambda rows: lambda i: all(word in rows.words(i) for word in words))


def _open_ends(rows: Rows) -> Test:
    return lambda i: any(getattr(end, "point", "") is None for end in getattr(rows.entity(i), "ends", ()))


def _id_clause(sign: str, value: str) -> Clause:
    lowered = value.lower()
    if sign == "!=":
        return Clause(lambda rows: lambda i: i.lower() != lowered)
    if sign == ":":
        return Clause(lambda rows: lambda i: lowered in i.lower())
    return Clause(lambda rows: lambda i: i.lower() == lowered)


def _comparison(columns: Sequence[Column], number: int, sign: str, value: str) -> Clause:
    column = columns[number]
    form = column.field.form if column.field else None
    form = form.form if isinstance(form, Maybe) else form
    if not value:
        return Clause(lambda rows: lambda i: (not rows.texts(i)[number]) != (sign == "!="))
    if isinstance(form, SizeForm):
        return _numbers(column, sign, _area(value))
    if isinstance(form, Number):
        return _numbers(column, sign, read_number(Number("", form.unit), value))
    if sign in ("<", ">", "<=", ">="):
        return _texts_in_order(number, sign, value)
    if column.name.startswith("colour"):
        return _colour(column, number, sign, value)
    return _texts(number, sign, value)


def _area(value: str) -> float:
    """Read a size to compare with; here a bare number is an area, as the column is sorted by it."""
    bare = re.fullmatch(r"\d+(?:[.,]\d*)?", value)
    try:
        return area_of(*read_size(f"{value} mm²" if bare else value))
    except ValueError as error:
        raise Refused(str(error)) from None


def _numbers(column: Column, sign: str, wanted: float) -> Clause:
    compare = _COMPARE[sign]
    near = max(abs(wanted) * _SAME, 1e-12)

    def bind(rows: Rows) -> Test:
        def test(row_id: str) -> bool:
            held = column.number(rows.entity(row_id))
            if held is None:
                return False
            return compare(wanted if abs(held - wanted) <= near else held, wanted)

        return test

    return Clause(bind)


def _texts(number: int, sign: str, value: str) -> Clause:
    lowered = value.strip("\"'").lower()
    if sign == ":":
        return Clause(lambda rows: lambda i: lowered in _cell(rows, i, number))
    words = set(lowered.split())
    wants = sign == "="
    return Clause(
        lambda rows: lambda i: (words <= set(re.findall(r"[^\s,]+", _cell(rows, i, number)))) == wants
    )


def _cell(rows: Rows, row_id: str, number: int) -> str:
    text = rows.texts(row_id)[number].lower()
    if rows.columns[number].name != "zone" or not text:
        return text
    titles = [rows.harness.zones[z].title or "" for z in text.split(", ") if z in rows.harness.zones]
    return " ".join([text, *titles]).lower()


def _texts_in_order(number: int, sign: str, value: str) -> Clause:
    compare = {"<": operator.lt, "<=": operator.le, ">": operator.gt, ">=": operator.ge}[sign]
    lowered = value.lower()
    return Clause(
        lambda rows: lambda i: bool(rows.texts(i)[number]) and compare(rows.texts(i)[number].lower(), lowered)
    )


def _colour(column: Column, number: int, sign: str, value: str) -> Clause:
    codes = colours.parse(value)
    if codes is None:
        raise Refused(f"'{value}' is no colour: write BN/WH or brown with white")
    wanted = colours.text(codes)
    if sign == ":":
        return Clause(lambda rows: lambda i: set(codes) <= set(rows.texts(i)[number].split("/")))
    return Clause(lambda rows: lambda i: (rows.texts(i)[number] == wanted) == (sign == "="))
