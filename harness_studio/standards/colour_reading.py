"""Reads a colour out of free text, one word after the other."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass

_TOKEN = re.compile(r"[^\W_]+|[^\w\s]|_")
_JOINERS = frozenset(
    {"/", "-", "+", "&", ",", "_", ".", "|", ";", "\\", "(", ")", "with", "and", "w", "mit", "und"}
)
_STRIPE = frozenset({"stripe", "striped", "stripes", "tracer", "tracers", "trace", "line", "base"})
_MOST_COLOURS = 3


@dataclass(frozen=True, slots=True)
class Reading:
    """A colour read from text: IEC 60757 codes, base first, and the words that the codes do not hold."""

    codes: tuple[str, ...]
    ignored: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Vocabulary:
    """What a word may mean: short codes and words (lower case) → IEC 60757; words that only shade a colour.

    A `guarded` code is not read after a spelled colour unless something joins them: the 'go' of 'red go' is English,
    not German gold, and 'brown/ws' is brown with white.
    """

    codes: Mapping[str, str]
    words: Mapping[str, str]
    shades: frozenset[str]
    guarded: frozenset[str] = frozenset()


def read_with(vocabulary: Vocabulary, text: str) -> Reading | None:
    """Read a colour from text, or None if it names none, an unknown one, or more than one possibility.

    The colour comes first; joining words may stand between its colours. Words after it that are no colour (a mark, a
    place) are ignored and reported; a colour word after such a mark makes the text ambiguous.
    """
    tokens = _TOKEN.findall(text.strip().lower())
    codes: list[str] = []
    ignored: list[str] = []
    ended = spelled = False
    for at, token in enumerate(tokens):
        if _means_either(tokens, at):
            return None
        loose = spelled and tokens[at - 1] not in _JOINERS
        found = None if loose and token in vocabulary.guarded else _colours(vocabulary, token)
        if found is None:
            if token in vocabulary.shades:
                ignored.append(token)
            elif token not in _JOINERS and token not in _STRIPE:
                if not codes:
                    return None
                ended = True
                ignored.append(token)
            continue
        if ended:
            return None
        spelled = spelled or token not in vocabulary.codes
        shade, colours = found
        ignored.extend(shade)
        codes.extend(colours)
    return _reading(codes, ignored)


def _reading(codes: list[str], ignored: list[str]) -> Reading | None:
    distinct = tuple(dict.fromkeys(codes))
    if not 0 < len(distinct) <= _MOST_COLOURS:
        return None
    return Reading(distinct, tuple(ignored))


def _means_either(tokens: list[str], at: int) -> bool:
    """Tell whether this word offers a choice; 'or' is also the German code of orange, between other codes."""
    if tokens[at] != "or":
        return tokens[at] == "oder"
    before = tokens[at - 1] if at else ""
    after = tokens[at + 1] if at + 1 < len(tokens) else ""
    return before.isalnum() and after.isalnum()


def _colours(vocabulary: Vocabulary, token: str) -> tuple[tuple[str, ...], tuple[str, ...]] | None:
    """Return (shade, codes) of one word: 'brown', 'bn', 'bnwh', 'hellblau', 'dgn'; None if it is no colour."""
    whole = vocabulary.words.get(token) or vocabulary.codes.get(token)
    if whole:
        return (), (whole,)
    run = _run_of_codes(vocabulary, token)
    if run:
        return (), run
    for shade in sorted(vocabulary.shades, key=len, reverse=True):
        rest = token.removeprefix(shade)
        found = vocabulary.words.get(rest) or vocabulary.codes.get(rest)
        if rest != token and found:
            return (shade,), (found,)
    return None


def _run_of_codes(vocabulary: Vocabulary, token: str) -> tuple[str, ...]:
    """Split 'bnwh' or 'gnyebk' into its codes, longest code first; empty if it is no run of codes."""
    found: list[str] = []
    while token:
        part = next((token[:n] for n in (4, 2) if token[:n] in vocabulary.codes and len(token) >= n), None)
        if part is None:
            return ()
        found.append(vocabulary.codes[part])
        token = token[len(part) :]
    return tuple(found)
