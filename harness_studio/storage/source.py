"""The text of a file in pieces: what stands above an entry, the entry itself, and what stands behind and below it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from .nodes import Listing, Node, Scalar, Table


@dataclass(frozen=True, slots=True)
class Piece:
    """One entry of a block, as it stands in the text.

    `lead` are the blank lines and comments above it, `body` its own lines with the comment behind them, `tail`
    comments below it that are indented deeper than it is. `begin` and `end` are the offsets of the body.
    """

    node: Node
    key: Scalar | None
    lead: str
    body: str
    tail: str
    begin: int
    end: int
    indent: str

    @property
    def lead_apart(self) -> str:
        """The part of the lead that a blank line sets apart from the entry: it is about more than this entry."""
        lines = self.lead.splitlines(keepends=True)
        last = max((i for i, line in enumerate(lines) if not line.strip()), default=-1)
        return "".join(lines[: last + 1])


class Source:
    """A text and the way it ends its lines."""

    def __init__(self, text: str) -> None:
        self.text = text
        first = text.find("\n")
        self.newline = "\r\n" if first > 0 and text[first - 1] == "\r" else "\n"

    def line_start(self, offset: int) -> int:
        """Return the offset of the first sign of a line."""
        return self.text.rfind("\n", 0, offset) + 1

    def line_end(self, offset: int) -> int:
        """Return the offset behind the end of a line."""
        found = self.text.find("\n", offset)
        return len(self.text) if found < 0 else found + 1

    def content_end(self, node: Node) -> int:
        """Return the offset behind a node's last sign (a block's marks run on to whatever comes next)."""
        while not isinstance(node, Scalar) and not node.flow:
            if isinstance(node, Listing):
                last: Node = node.items[-1]
            else:
                key, last = list(node.pairs.values())[-1]
                if isinstance(last, Scalar) and not last.text:
                    return int(max(key.stop.index, last.stop.index))
            node = last
        return int(node.stop.index)

    def body_end(self, node: Node, key: Scalar | None) -> int:
        """Return the offset behind the last line of an entry."""
        end = max(self.content_end(node), int(key.stop.index) if key else 0)
        block_scalar = end > 0 and self.text[end - 1] == "\n"
        return end if block_scalar else self.line_end(end)

    def pieces(self, node: Table | Listing, start: int) -> list[Piece] | None:
        """Return the entries of a block one after the other, None where lines and entries do not go together.

        Parameters
        ----------
        node
            A block: keys with values, or items behind dashes.
        start
            Where the lead of the first entry begins.
        """
        found: list[Piece] = []
        entries: list[tuple[Scalar | None, Node]] = (
            [(None, item) for item in node.items] if isinstance(node, Listing) else list(node.pairs.values())
        )
        if node.flow or "\r" in self.text.replace("\r\n", ""):
            return None
        places = []
        for key, value in entries:
            mark = (key or value).mark.index
            begin = self.line_start(mark)
            before = self.text[begin:mark]
            if before.strip() != ("" if key else "-") or begin < start:
                return None
            places.append(
                (key, value, begin, self.body_end(value, key), before[: len(before) - len(before.lstrip())])
            )
        for position, (key, value, begin, end, indent) in enumerate(places):
            last = position + 1 == len(places)
            tail_end = end if last else self._tail_end(end, places[position + 1][2], len(indent))
            lead, body, tail = self.text[start:begin], self.text[begin:end], self.text[end:tail_end]
            found.append(Piece(value, key, lead, body, tail, begin, end, indent))
            start = tail_end
        return found

    def _tail_end(self, start: int, stop: int, column: int) -> int:
        end = offset = start
        for line in self.text[start:stop].splitlines(keepends=True):
            offset += len(line)
            bare = line.lstrip(" \t")
            if bare.startswith("#"):
                if len(line) - len(bare) <= column:
                    break
                end = offset
        return end

    def comments_in(self, piece: Piece) -> tuple[list[str], str]:
        """Return the comments inside an entry, in order, and the one behind it with the blanks before it."""
        stop = self.content_end(piece.node)
        behind = self.text[stop : self.line_end(stop)].rstrip() if self.text[stop - 1 : stop] != "\n" else ""
        begin = piece.key.stop.index if piece.key else piece.node.mark.index
        inner: list[str] = []
        for span in _spans(piece.node):
            inner += _comments(self.text[begin : span[0]])
            begin = max(begin, span[1])
        inner += _comments(self.text[begin:stop])
        return inner, behind if behind.lstrip().startswith("#") else ""


def _spans(node: Node) -> Iterator[tuple[int, int]]:
    if isinstance(node, Scalar):
        yield node.mark.index, node.stop.index
    elif isinstance(node, Listing):
        for item in node.items:
            yield from _spans(item)
    else:
        for key, value in node.pairs.values():
            yield key.mark.index, key.stop.index
            yield from _spans(value)


def _comments(gap: str) -> list[str]:
    return [line[line.index("#") :].rstrip() for line in gap.splitlines() if "#" in line]
