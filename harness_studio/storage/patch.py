"""A changed harness into the text it was read from: what did not change stays as it was written, comments included."""

from __future__ import annotations

from collections.abc import Iterable

from .layout import entry, list_item, scalar, section
from .nodes import Listing, Scalar, Table
from .reuse import reused, source_order
from .source import Piece, Source
from .trees import Fields, Tree, same


def patched(text: str, root: Table | None, old: Fields | None, new: Fields) -> str:
    """Return the text that says what the new tree says.

    Parameters
    ----------
    text, root
        What was read, and its nodes; ``""`` and None to write a new text.
    old
        What `text` says. None writes every entry anew and keeps only the comments.
    new
        What is to be said.
    """
    source = Source(text)
    pieces = source.pieces(root, 0) if root is not None else None
    if pieces is None:
        return _whole(new)
    out = _Out(source.newline)
    _table(source, pieces, old, new, out, ())
    out.add(source.text[pieces[-1].end + len(pieces[-1].tail) :])
    return "".join(out.parts)


def _whole(new: Fields) -> str:
    lines: list[str] = []
    for name, tree in new.items():
        if _is_section(tree):
            lines.append("")
        lines += section(name, tree)
    return "\n".join(lines) + "\n"


def _is_section(tree: Tree) -> bool:
    return (
        isinstance(tree, list)
        or (isinstance(tree, dict) and not isinstance(tree, Fields))
        or _is_diagram(tree)
    )


def _is_diagram(tree: Tree) -> bool:
    return isinstance(tree, Fields) and set(tree) == {"pages"}


class _Out:
    """Collects the text; what follows a last line without an end gets one first."""

    def __init__(self, newline: str) -> None:
        self.parts: list[str] = []
        self.newline = newline

    def add(self, text: str) -> None:
        if text:
            if self.parts and not self.parts[-1].endswith("\n"):
                self.parts.append(self.newline)
            self.parts.append(text)

    def lines(self, lines: Iterable[str]) -> None:
        self.add("".join(line + self.newline for line in lines))

    def gap(self) -> None:
        """Leave a blank line, unless there is one."""
        if self.parts and self.parts[-1].strip() and not self.parts[-1].endswith(self.newline * 2):
            self.add(self.newline)


Path = tuple[str, ...]


def _table(
    source: Source, pieces: list[Piece], old: Tree, new: dict[str, Tree], out: _Out, path: Path
) -> None:
    """Write a block of keys: in the order of the source where order says nothing, else in the new order."""
    before = old if isinstance(old, dict) else None
    by_key = {piece.key.text: piece for piece in pieces if piece.key is not None}
    kept = {key for key in by_key if key in new or (before is not None and key not in before)}
    leads, rest = _leads(by_key, kept, all_of=before is None)
    for key in source_order(list(by_key), before, new):
        piece = by_key.get(key)
        if piece is None:
            if not path and _is_section(new[key]):
                out.gap()
            out.lines(_new_lines(key, new[key], pieces[0].indent, path))
            continue
        out.add(leads[key])
        if key not in new or (before is not None and key in before and same(before[key], new[key])):
            out.add(piece.body)
        else:
            _changed(source, piece, before.get(key) if before else None, new[key], out, (*path, key))
        out.add(piece.tail)
    out.add(rest)


def _leads(by_key: dict[str, Piece], kept: set[str], *, all_of: bool) -> tuple[dict[str, str], str]:
    """Return what stands above each kept entry; what an entry that goes had above it apart moves to the next."""
    leads: dict[str, str] = {}
    carried = ""
    for key, piece in by_key.items():
        if key in kept:
            leads[key] = carried + piece.lead
            carried = ""
        else:
            carried += piece.lead if all_of else piece.lead_apart
    return leads, carried


def _changed(source: Source, piece: Piece, old: Tree, new: Tree, out: _Out, path: Path) -> None:
    """Write an entry that says something else now: block in block piece by piece, anything else anew."""
    node = piece.node
    if not isinstance(node, Scalar) and not node.flow and piece.key is not None and new:
        start = source.line_end(piece.key.stop.index)
        inner = source.pieces(node, start)
        # The key is written again: a migration may have renamed it.
        head = (
            piece.indent + scalar(piece.key.text, in_flow=False) + source.text[piece.key.stop.index : start]
        )
        if inner is not None and isinstance(node, Table) and isinstance(new, dict):
            out.add(head)
            _table(source, inner, old, new, out, path)
            return
        if inner is not None and isinstance(node, Listing) and isinstance(new, list):
            out.add(head)
            _list(source, inner, old, new, out)
            return
    tree = reused(source.text, node, old, new)
    _anew(source, piece, _new_lines(path[-1], tree, piece.indent, path[:-1]), out)


def _anew(source: Source, piece: Piece, lines: list[str], out: _Out) -> None:
    inner, behind = source.comments_in(piece)
    out.lines(piece.indent + comment for comment in inner)
    if behind:
        lines = [lines[0] + behind, *lines[1:]]
    out.lines(lines)


def _new_lines(key: str, tree: Tree, indent: str, path: Path) -> list[str]:
    if not path and not indent:
        return section(key, tree)
    is_block = path in (("diagram",), ("diagram", "pages"))
    return entry(key, tree, indent, one_line=path == ("wires",), open_block=is_block)


def _list(source: Source, pieces: list[Piece], old: Tree, new: list[Tree], out: _Out) -> None:
    """Write a block of dashes; an item is found again by being the same, by its id, or by its place."""
    before = old if isinstance(old, list) and len(old) == len(pieces) else None
    partner = _partners(before, new) if before is not None else {}
    for index, item in enumerate(new):
        at = partner.get(index, index if before is None and index < len(pieces) else None)
        if at is None:
            out.lines(list_item(item, pieces[0].indent))
            continue
        piece = pieces[at]
        out.add(piece.lead)
        if before is not None and same(before[at], item):
            out.add(piece.body)
        else:
            tree = reused(source.text, piece.node, before[at] if before is not None else None, item)
            _anew(source, piece, list_item(tree, piece.indent), out)
        out.add(piece.tail)


def _partners(old: list[Tree], new: list[Tree]) -> dict[int, int]:
    partner: dict[int, int] = {}
    free = dict.fromkeys(range(len(old)))
    for how in (same, _same_id):
        for index, item in enumerate(new):
            if index not in partner:
                found = next((at for at in free if how(old[at], item)), None)
                if found is not None:
                    partner[index] = found
                    del free[found]
    for index in range(len(new)):
        if index not in partner and index in free:
            partner[index] = index
            del free[index]
    return partner


def _same_id(one: Tree, other: Tree) -> bool:
    return (
        isinstance(one, dict) and isinstance(other, dict) and "id" in one and one.get("id") == other.get("id")
    )
