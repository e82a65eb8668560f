"""Wire colours: as people write them, IEC 60757 codes, words, and how they are drawn."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache
from typing import Any, Literal

from harness_studio.standards import tables
from harness_studio.standards.colour_reading import Reading, Vocabulary, read_with

Paper = Literal["light", "dark"]


def parse(text: str) -> tuple[str, ...] | None:
    """Read a colour as people write it into IEC 60757 codes, base first, tracers after.

    'BN/WH', 'BNWH', 'br/ws', 'brown with white', 'dark green', 'black W4' are read; marks after the colour are
    ignored. An IEC code wins over a German one. None where the text names no colour, a colour that IEC 60757 has no
    code for, or more than one possibility ('white or red').
    """
    found = read(text)
    return found.codes if found else None


def read(text: str) -> Reading | None:
    """Read a colour like `parse`, and tell what was left out of the codes (a shade, a mark on the wire)."""
    return read_with(_vocabulary(german_first=False), text)


def german(text: str) -> tuple[str, ...] | None:
    """Read a colour of a German harness file ('sw', 'br/ws', 'gnge', 'hellblau') into IEC 60757 codes, base first.

    A German code wins over an IEC one. None as for `parse`.
    """
    found = read_with(_vocabulary(german_first=True), text)
    return found.codes if found else None


def words(codes: Sequence[str]) -> str:
    """Return the colour in words: ('BN', 'WH') is 'brown with white tracer'.

    Raises
    ------
    ValueError
        If a code is not of IEC 60757.
    """
    base, *tracers = [str(_code(code)["word"]) for code in codes]
    if not tracers:
        return base
    if len(tracers) == 1:
        return f"{base} with {tracers[0]} tracer"
    return f"{base} with {', '.join(tracers[:-1])} and {tracers[-1]} tracers"


def text(codes: Sequence[str]) -> str:
    """Return the codes as they are written in a project file: 'BN/WH', base first."""
    return "/".join(codes)


def codes() -> tuple[str, ...]:
    """Return all codes, in the order of IEC 60757."""
    return tuple(tables.load("colours.yaml")["codes"])


def stripes(code: str) -> tuple[str, ...]:
    """Return the single colours that a code is drawn with: 'GNYE' is ('GN', 'YE'), 'BK' is ('BK',).

    Raises
    ------
    ValueError
        If the code is not of IEC 60757.
    """
    return tuple(_code(code).get("of", (code,)))


def srgb(code: str, *, paper: Paper = "light") -> str:
    """Return the drawing colour of a code as '#rrggbb' (own choice: our drawing, not a maker's dye).

    Raises
    ------
    ValueError
        If the code is not of IEC 60757.
    """
    _code(code)
    return str(tables.load("colours.yaml")["drawing"]["srgb"][code][paper]).lower()


def _code(code: str) -> dict[str, Any]:
    known: dict[str, dict[str, Any]] = tables.load("colours.yaml")["codes"]
    if code not in known:
        raise ValueError(f"'{code}' is no colour code of IEC 60757; known: {', '.join(known)}")
    return known[code]


@cache
def _vocabulary(*, german_first: bool) -> Vocabulary:
    data = tables.load("colours.yaml")
    iec = {code.lower(): code for code in data["codes"]}
    foreign = {**data["german"]["map"], **data["german_more"]["map"]}
    return Vocabulary(
        codes={**iec, **foreign} if german_first else {**foreign, **iec},
        words=dict(data["words"]["map"]),
        shades=frozenset(data["shades"]["list"]),
        guarded=frozenset() if german_first else frozenset(foreign) - frozenset(iec),
    )
