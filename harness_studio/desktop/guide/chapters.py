"""The chapters of the guide and what is found in them."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cache

from harness_studio.base import resources

TUTORIAL = "ten-minutes"
CHAPTERS = (
    TUTORIAL,
    "record",
    "ground-map",
    "meter",
    "casebook",
    "sizing",
    "sheets",
    "numbers",
    "project-file",
    "commands",
    "keys",
)
"""Names of the chapters' files, in the order in which they are read."""

FOR_PAGE = {
    **dict.fromkeys(
        ("details", "stock", "lists", "bench", "ring_out", "face", "notes", "pages", "photo"), "record"
    ),
    **dict.fromkeys(("donor", "history"), "record"),
    **dict.fromkeys(("ground_map", "common", "plots", "sweep", "two_modes"), "ground-map"),
    "meter": "meter",
    "casebook": "casebook",
    "findings": "sizing",
    **dict.fromkeys(("sheets", "build_board"), "sheets"),
    "keys": "keys",
}
"""Which chapter tells of a page of the drawer."""

SAMPLES = "../../sample_projects/"
"""How a link to a sample project begins; it leads there from a checkout's page, too."""

_COMMENT = re.compile(r"<!--.*?-->\n?", re.S)
_HEADING = re.compile(r"^(#{1,4}) +(.*?)\s*$")
_PLAIN = re.compile(r"!\[[^\]]*\]\([^)]*\)|[*_`|]|\[([^\]]*)\]\([^)]*\)")
_AROUND = 60


@dataclass(frozen=True, slots=True)
class Section:
    """A heading of a chapter and the plain text below it, up to the next heading."""

    chapter: str
    heading: str
    text: str


@dataclass(frozen=True, slots=True)
class Found:
    """A section in which all words of a search stand, with the place of the first one."""

    section: Section
    about: str


@cache
def markdown(chapter: str) -> str:
    """Return a chapter as it is written, without remarks for those who write it."""
    return _COMMENT.sub("", resources.text("guide", f"{chapter}.md"))


@cache
def title(chapter: str) -> str:
    """Return a chapter's title."""
    return markdown(chapter).splitlines()[0].lstrip("# ").strip()


@cache
def sections() -> Sequence[Section]:
    """Return the sections of all chapters."""
    return tuple(section for chapter in CHAPTERS for section in _sections_of(chapter))


def _sections_of(chapter: str) -> Iterator[Section]:
    heading, lines, code = title(chapter), list[str](), False
    for line in markdown(chapter).splitlines()[1:]:
        code = code != line.startswith("```")
        found = None if code else _HEADING.match(line)
        if found is None:
            lines.append(line)
            continue
        yield Section(chapter, heading, _words(lines))
        heading, lines = found.group(2).replace("`", ""), []
    yield Section(chapter, heading, _words(lines))


def _words(lines: Sequence[str]) -> str:
    return " ".join(_PLAIN.sub(lambda m: m.group(1) or " ", " ".join(lines)).split())


def find(text: str) -> list[Found]:
    """Return the sections that hold all words of a text; those with a word in their heading come first."""
    words = text.lower().split()
    if not words:
        return []
    found: list[tuple[int, Found]] = []
    for section in sections():
        heading, body = section.heading.lower(), section.text.lower()
        if all(word in heading or word in body for word in words):
            rank = -sum(word in heading for word in words)
            found.append((rank, Found(section, _around(section.text, words))))
    return [f for _, f in sorted(found, key=lambda pair: pair[0])]


def _around(text: str, words: Sequence[str]) -> str:
    places = [at for word in words if (at := text.lower().find(word)) >= 0]
    start = max(0, min(places, default=0) - _AROUND // 2)
    start = text.rfind(" ", 0, start) + 1 if start else 0
    piece = text[start : start + 2 * _AROUND]
    return ("… " if start else "") + piece + (" …" if start + 2 * _AROUND < len(text) else "")
