"""Trees → YAML lines: one line per entry, a block where the line would be too long, quotes only where needed."""

from __future__ import annotations

import re
from collections.abc import Iterator

from harness_studio.base.errors import HarnessError

from .trees import Fields, Tree, Typed

WIDTH = 140
STEP = "  "
# Signs that would say something else at the start of a plain text.
_FIRST = set("-?:,[]{}#&*!|>'\"%@`=<")
_AFTER_DASH = re.compile(r"-[A-Za-z0-9_.]")
# What YAML cannot show as it is: control characters, line ends of its own, the byte order mark.
_UNSHOWN = "[^\x20-\x7e\xa0-\u2027\u202a-\ud7ff\ue000-\ufefe\uff00-\ufffd\U00010000-\U0010ffff]"
_NEEDS_QUOTES = re.compile(rf"^\s|\s$|{_UNSHOWN}|: |:$| #")
_FLOW_SIGNS = re.compile(r"[,\[\]{}]")
_ESCAPED = re.compile(rf"[\"\\]|{_UNSHOWN}")
_SHORT = {'"': '\\"', "\\": "\\\\", "\n": "\\n", "\r": "\\r", "\t": "\\t"}


def scalar(text: str | None, *, in_flow: bool = True) -> str:
    """Return a text as YAML writes it, plain where it can be; `in_flow` between brackets, where fewer can be."""
    if text is None:
        return "~"
    if isinstance(text, Typed):
        return text
    if (
        not text
        or text in ("~", "null")
        or (text[0] in _FIRST and not _AFTER_DASH.match(text))
        or _NEEDS_QUOTES.search(text)
        or (in_flow and _FLOW_SIGNS.search(text))
    ):
        return '"' + _ESCAPED.sub(_escape, text) + '"'
    return text


def _escape(found: re.Match[str]) -> str:
    sign = found[0]
    if sign in _SHORT:
        return _SHORT[sign]
    code = ord(sign)
    if 0xD800 <= code < 0xE000:
        raise HarnessError(
            f"a text holds half a character (U+{code:04X}), which no file can keep; type it anew"
        )
    return f"\\x{code:02x}" if code < 0x100 else f"\\u{code:04x}"


def flow(tree: Tree, *, in_flow: bool = False) -> str:
    """Return a tree on one line."""
    if isinstance(tree, dict):
        return "{" + ", ".join(f"{scalar(k)}: {flow(v, in_flow=True)}" for k, v in tree.items()) + "}"
    if isinstance(tree, list):
        return "[" + ", ".join(flow(v, in_flow=True) for v in tree) + "]"
    return scalar(tree, in_flow=in_flow)


def entry(
    key: str, tree: Tree, indent: str, *, one_line: bool = False, open_block: bool = False
) -> list[str]:
    """Return the lines of `key: value`, without line ends.

    Parameters
    ----------
    key, tree
        What is written.
    indent
        What every line starts with.
    one_line
        Never a block, however long the line.
    open_block
        Always a block, however short: a section, one entry a line.
    """
    head = f"{indent}{scalar(key, in_flow=False)}:"
    if not (open_block and tree and isinstance(tree, dict | list)):
        line = f"{head} {flow(tree)}"
        if one_line or len(line) <= WIDTH or not _can_be_block(tree):
            return [line]
    return [head, *block(tree, indent + STEP)]


def block(tree: Tree, indent: str, *, one_line: bool = False) -> Iterator[str]:
    """Yield the lines of a table's entries or a list's items, one each."""
    if isinstance(tree, dict):
        for key, value in tree.items():
            yield from entry(key, value, indent, one_line=one_line)
    elif isinstance(tree, list):
        for item in tree:
            yield from list_item(item, indent)


def list_item(tree: Tree, indent: str) -> list[str]:
    """Return the lines of one `- item`."""
    line = f"{indent}- {flow(tree)}"
    if len(line) <= WIDTH or not isinstance(tree, Fields):
        return [line]
    lines = list(block(tree, indent + STEP))
    return [f"{indent}- {lines[0].lstrip()}", *lines[1:]]


def _can_be_block(tree: Tree) -> bool:
    if isinstance(tree, dict):
        return bool(tree)
    return isinstance(tree, list) and any(isinstance(item, Fields) for item in tree)


def section(name: str, tree: Tree) -> list[str]:
    """Return the lines of a top-level key: a setting on one line, a section with a line per entry."""
    if name == "diagram" and isinstance(tree, dict):
        lines = [f"{name}:"]
        for key, pages in tree.items():
            lines.append(f"{STEP}{key}:")
            if isinstance(pages, dict):
                for page, value in pages.items():
                    lines += entry(page, value, STEP * 2, open_block=True)
        return lines
    if isinstance(tree, Fields) or not isinstance(tree, dict | list):
        return entry(name, tree, "")
    return [f"{name}:", *block(tree, STEP, one_line=name == "wires")]
