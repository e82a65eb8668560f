"""YAML text → a tree of nodes whose values are still text, each with its place.

The tree is built from libyaml's events in one loop instead of `yaml.compose`, which recurses in C: depth, number of
values, aliases, tags and keys are judged while the text streams by, so a hostile file is refused at its first bad
event, long before it could fill the memory or the stack.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Any, NoReturn

import yaml
from yaml.events import (
    AliasEvent,
    DocumentEndEvent,
    DocumentStartEvent,
    MappingEndEvent,
    MappingStartEvent,
    ScalarEvent,
    SequenceEndEvent,
    SequenceStartEvent,
)

from harness_studio.base.errors import InputError, Problem

MOST_LEVELS = 32
MOST_VALUES = 1_000_000
_TOO_DEEP = f"brackets or indents are nested deeper than {MOST_LEVELS} levels"
_LOADER: Any = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
_CONTROL = re.compile("[^\t\n\r\x20-\x7e\x85\xa0-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")


class Scalar:
    """A text. `plain` tells that it stands without quotes."""

    __slots__ = ("mark", "plain", "stop", "text")

    def __init__(self, text: str, plain: bool, mark: Any, stop: Any) -> None:
        self.text, self.plain, self.mark, self.stop = text, plain, mark, stop

    @property
    def is_nothing(self) -> bool:
        """Whether nothing is written here: no text, `~` or `null` without quotes."""
        return self.plain and self.text in ("", "~", "null")


class Listing:
    """A list of nodes. `flow` tells that it stands in brackets."""

    __slots__ = ("flow", "items", "mark", "stop")

    def __init__(self, flow: bool, mark: Any) -> None:
        self.items: list[Node] = []
        self.flow, self.mark, self.stop = flow, mark, mark


class Table:
    """Nodes by key, in order. `flow` tells that it stands in braces."""

    __slots__ = ("flow", "mark", "pairs", "stop")

    def __init__(self, flow: bool, mark: Any) -> None:
        self.pairs: dict[str, tuple[Scalar, Node]] = {}
        self.flow, self.mark, self.stop = flow, mark, mark

    def get(self, key: str) -> Node | None:
        """Return the value of a key, or None."""
        found = self.pairs.get(key)
        return found[1] if found else None


Node = Scalar | Listing | Table


def line_of(node: Node) -> int:
    """Return the line a node starts on, counted from 1."""
    return int(node.mark.line) + 1


def column_of(node: Node) -> int:
    """Return the column a node starts in, counted from 1."""
    return int(node.mark.column) + 1


def shown(node: Node) -> str:
    """Return a node in a few words, for a message."""
    if isinstance(node, Scalar):
        if node.is_nothing:
            return "nothing"
        return f"'{node.text}'" if len(node.text) <= 60 else f"'{node.text[:57]}...'"
    return "a list" if isinstance(node, Listing) else "a mapping"


def compose(text: str, source: str = "") -> tuple[Node | None, list[Problem]]:
    """Return the tree of a YAML text (None for an empty one) and what is doubtful in it but does not stop reading.

    Parameters
    ----------
    text
        The whole text, without a byte order mark.
    source
        Name of the file for messages.

    Raises
    ------
    InputError
        With the first thing that makes it no YAML, or no YAML that a project file may hold.
    """
    control = _CONTROL.search(text)
    if control:
        what = f"the control character U+{ord(control[0]):04X} cannot stand in a text"
        _refuse_at(text, control.start(), source, what)
    builder = _Builder(source)
    try:
        builder.take(yaml.parse(text, Loader=_LOADER))
    except yaml.YAMLError as error:
        raise InputError([_syntax_problem(error, source)]) from None
    return builder.root, builder.problems


class _Builder:
    """Puts the nodes of one event after the other in their places."""

    def __init__(self, source: str) -> None:
        self.source = source
        self.root: Node | None = None
        self.problems: list[Problem] = []

    def take(self, events: Iterator[Any]) -> None:
        """Build the tree of one document."""
        stack: list[Listing | Table | None] = []
        holder: Listing | Table | None = None
        key: Scalar | None = None
        count = 0
        for event in events:
            kind = type(event)
            node: Node
            if kind is ScalarEvent:
                if event.anchor is not None or event.tag is not None:
                    self._refuse_decoration(event)
                node = Scalar(event.value, not event.style, event.start_mark, event.end_mark)
                if type(holder) is Table and key is None:
                    key = node
                    continue
            elif kind is MappingStartEvent or kind is SequenceStartEvent:
                if event.anchor is not None or event.tag is not None:
                    self._refuse_decoration(event)
                node = (Table if kind is MappingStartEvent else Listing)(
                    bool(event.flow_style), event.start_mark
                )
            elif kind is MappingEndEvent or kind is SequenceEndEvent:
                if holder is not None:
                    holder.stop = event.end_mark
                holder = stack.pop()
                continue
            else:
                self._other(event)
                continue
            count += 1
            if count > MOST_VALUES:
                self._refuse(
                    event, f"the file holds more than {MOST_VALUES:,} values; a harness holds far fewer"
                )
            self._place(holder, key, node)
            if not isinstance(node, Scalar):
                stack.append(holder)
                holder = node
                if len(stack) > MOST_LEVELS:
                    self._refuse(event, _TOO_DEEP)
            key = None

    def _place(self, holder: Listing | Table | None, key: Scalar | None, node: Node) -> None:
        if holder is None:
            self.root = node
        elif type(holder) is Listing:
            holder.items.append(node)
        elif type(holder) is Table:
            if key is None:
                self._refuse_node(
                    node, f"found {shown(node)} where a key should stand; a key is a single word"
                )
            first = holder.pairs.get(key.text)
            if first:
                what = f"'{key.text}' stands here a second time; the first is on line {line_of(first[0])}"
                self.problems.append(Problem(line_of(key), column_of(key), what, self.source))
            else:
                holder.pairs[key.text] = (key, node)

    def _other(self, event: Any) -> None:
        if type(event) is AliasEvent:
            self._refuse(event, f"found the alias '*{event.anchor}'; write the value itself here")
        if type(event) is DocumentStartEvent and self.root is not None:
            self._refuse(event, "a second document starts here; a project file holds one")
        if type(event) is DocumentEndEvent and event.explicit and self.root is None:
            self._refuse(event, "the document ends before it holds anything")

    def _refuse_decoration(self, event: Any) -> NoReturn:
        if event.anchor is not None:
            self._refuse(
                event, f"found the anchor '&{event.anchor}'; a project file has no anchors, leave it out"
            )
        self._refuse(event, f"found the tag '{event.tag}'; a project file has no tags, leave it out")

    def _refuse(self, event: Any, what: str) -> NoReturn:
        mark = event.start_mark
        raise InputError([Problem(mark.line + 1, mark.column + 1, what, self.source)])

    def _refuse_node(self, node: Node, what: str) -> NoReturn:
        raise InputError([Problem(line_of(node), column_of(node), what, self.source)])


def _refuse_at(text: str, offset: int, source: str, what: str) -> NoReturn:
    line, column = place_of(text, offset)
    raise InputError([Problem(line, column, what, source)])


def place_of(text: str, offset: int) -> tuple[int, int]:
    """Return line and column of an offset into a text, counted from 1."""
    before = text[:offset]
    return before.count("\n") + 1, offset - before.rfind("\n")


def _syntax_problem(error: yaml.YAMLError, source: str) -> Problem:
    mark = getattr(error, "problem_mark", None) or getattr(error, "context_mark", None)
    what = getattr(error, "problem", None) or getattr(error, "reason", None) or str(error).splitlines()[0]
    context = getattr(error, "context", None)
    context_mark = getattr(error, "context_mark", None)
    if context and context_mark is not None:
        context += f" that starts on line {context_mark.line + 1}"
    if "cannot start any token" in what and mark is not None:
        what += " (a tab cannot indent; text that starts with @, ` or % needs quotes)"
    line, column = (mark.line + 1, mark.column + 1) if mark is not None else (0, 0)
    if "nesting depth" in what:  # libyaml looks ahead and has a limit of its own
        return Problem(line, column, _TOO_DEEP, source)
    return Problem(line, column, f"not YAML: {what}" + (f" {context}" if context else ""), source)
