"""The project file: read it, write it, and keep what its owner wrote between the lines."""

from __future__ import annotations

import os
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from harness_studio.base.collector import collector_paused
from harness_studio.base.errors import HarnessError, InputError, Problem
from harness_studio.model.harness import Harness

from .disk import bytes_of, read_bytes, replace_file, text_of
from .encode import VERSION, tree_of
from .judge import judge
from .migrate import MIGRATIONS, Migration, migrate
from .nodes import Node, Scalar, Table, column_of, compose, line_of
from .patch import patched
from .reading import Reader
from .sections import VERSION_KEY, read_sections
from .trees import Fields, same


@dataclass(frozen=True, slots=True)
class Opened:
    """What was read: the harness, and the text it came from.

    Parameters
    ----------
    harness
        The harness; edits may change it.
    text
        The text as it was read, without a byte order mark.
    path
        The file; None for a text that has none.
    migrated_from
        The version of the file if it was older than this program's; None otherwise.
    root, tree
        For the writer: the nodes of the text, and what the text said as a tree, whatever becomes of the harness.
    """

    harness: Harness
    text: str
    path: Path | None
    migrated_from: int | None
    root: Table
    tree: Fields


def read_project(path: str | os.PathLike[str]) -> Opened:
    """Read a project file.

    Raises
    ------
    InputError
        With the first syntax error, or with everything else that is wrong, each with line and column.
    """
    name = os.fspath(path)
    opened = parse(text_of(read_bytes(Path(path), name), name), name)
    return Opened(opened.harness, opened.text, Path(path), opened.migrated_from, opened.root, opened.tree)


def parse(text: str, name: str = "", *, migrations: Mapping[int, Migration] = MIGRATIONS) -> Opened:
    """Read the text of a project file; `name` stands in the messages.

    Raises
    ------
    InputError
        With the first syntax error, or with everything else that is wrong, each with line and column.
    """
    with collector_paused():
        return _parse(text, name, migrations)


def _parse(text: str, name: str, migrations: Mapping[int, Migration]) -> Opened:
    root, doubts = compose(text, name)
    table, version = _table_and_version(root, name)
    try:
        table = migrate(table, version, VERSION, migrations)
    except LookupError:
        node = table.pairs[VERSION_KEY][1]
        what = f"the file says version {version}, which never was; this program reads 1 to {VERSION}"
        raise InputError([Problem(line_of(node), column_of(node), what, name)]) from None
    reader = Reader(name)
    reader.problems += doubts
    read = read_sections(table, reader)
    judge(read, reader)
    if reader.problems:
        raise InputError(reader.problems)
    older = version if version < VERSION else None
    return Opened(read.harness, text, None, older, table, tree_of(read.harness))


def _table_and_version(root: Node | None, name: str) -> tuple[Table, int]:
    first = f"'{VERSION_KEY}: {VERSION}'"
    if root is None:
        raise InputError([Problem(0, 0, f"the file is empty; a harness file starts with {first}", name)])
    place = (line_of(root), column_of(root))
    version = root.get(VERSION_KEY) if isinstance(root, Table) else None
    if not isinstance(root, Table) or version is None:
        raise InputError([Problem(*place, f"not a harness file: it should start with {first}", name)])
    place = (line_of(version), column_of(version))
    text = version.text if isinstance(version, Scalar) else ""
    if not (text.isascii() and text.isdigit() and len(text) <= 9):
        raise InputError([Problem(*place, f"the version should be a whole number: {first}", name)])
    if int(text) > VERSION:
        what = (
            f"the file is of version {text}, this program reads up to version {VERSION}; use a newer program"
        )
        raise InputError([Problem(*place, what, name)])
    return root, int(text)


def render(harness: Harness, opened: Opened | None = None) -> str:
    """Return the text of a harness; with `opened`, entries that did not change stay as they were written.

    The text is read back and compared before it is returned.

    Raises
    ------
    HarnessError
        If the harness holds something that a project file cannot hold.
    """
    return _rendered(harness, opened).text


def _rendered(harness: Harness, opened: Opened | None) -> Opened:
    tree = tree_of(harness)
    text, root, old = "", None, None
    if opened is not None:
        text, root = opened.text, opened.root
        old = opened.tree if opened.migrated_from is None else None
    if opened is not None and old is not None and same(tree, old):
        return opened
    # First with every line that did not change, then with the comments only, at last without any.
    ways = [(text, root, old), (text, root, None), ("", None, None)]
    why = ""
    for way in ways[0 if old is not None else 1 if root is not None else 2 :]:
        again = _read_back(patched(*way, tree), tree)
        if isinstance(again, Opened):
            return again
        why = again
    raise HarnessError(f"this harness cannot be written: {why}")


def _read_back(text: str, tree: Fields) -> Opened | str:
    """Return what a text reads back as, or why it does not say what it should."""
    try:
        again = parse(text)
    except InputError as error:
        return "; ".join(problem.what for problem in error.problems[:3])
    return again if same(again.tree, tree) else "it does not read back as it is"


def write_project(path: str | os.PathLike[str], harness: Harness, opened: Opened | None = None) -> Opened:
    """Write a project file and return what it now holds; the version before is kept beside it as NAME.bak.

    Parameters
    ----------
    path
        The file.
    harness
        What is written.
    opened
        What was read from or last written to the file, so that comments and untouched lines survive.

    Raises
    ------
    HarnessError
        If the harness or the place cannot be written; what is on disk is then as it was.
    """
    done = _rendered(harness, opened)
    target = Path(path)
    replace_file(target, bytes_of(done.text, _first_bytes(target)))
    return Opened(harness, done.text, target, None, done.root, done.tree)


def _first_bytes(path: Path) -> bytes:
    try:
        with path.open("rb") as file:
            return file.read(3)
    except OSError:
        return b""
