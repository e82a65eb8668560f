"""XML as a plain tree whose elements know their line; no DOCTYPE, no entities, limits on size and nesting.

Names are kept without prefix and namespace: files of one format differ in both. Expat is used directly, because the
tree needs the position of every element and must stop at a DOCTYPE before anything in it is read.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import NoReturn
from xml.parsers import expat

from harness_studio.base.errors import InputError, Problem

MAX_BYTES = 512 * 1024 * 1024
MAX_DEPTH = 100
MAX_ELEMENTS = 5_000_000

_CUT_OFF = frozenset(
    expat.errors.codes[text]
    for text in (
        expat.errors.XML_ERROR_NO_ELEMENTS,
        expat.errors.XML_ERROR_UNCLOSED_TOKEN,
        expat.errors.XML_ERROR_UNCLOSED_CDATA_SECTION,
        expat.errors.XML_ERROR_PARTIAL_CHAR,
    )
)
_BEGINNINGS = (
    (b"%PDF", "a PDF"),
    (b"PK\x03\x04", "a ZIP archive (spreadsheets and packed exports are such)"),
    (b"\x1f\x8b", "a gzip archive; unpack it first"),
    (b"7z\xbc\xaf\x27\x1c", "a 7z archive; unpack it first"),
    (b"\x89PNG", "a picture"),
    (b"\xff\xd8\xff", "a picture"),
    (b"{", "JSON"),
    (b"harness_studio:", "a project file of this program: open it instead of importing it"),
)


@dataclass(slots=True, eq=False)
class Element:
    """One element: name, type (the `xsi:type` where it has one, else the name), id, place in the file, text, children.

    Elements are compared by identity.
    """

    name: str
    kind: str
    id: str
    line: int
    column: int
    attributes: dict[str, str] = field(default_factory=dict)
    text: str = ""
    children: list[Element] = field(default_factory=list)

    def all(self, name: str) -> list[Element]:
        """Return the children of a name, in order."""
        return [child for child in self.children if child.name == name]

    def first(self, name: str) -> Element | None:
        """Return the first child of a name, or None."""
        return next((child for child in self.children if child.name == name), None)

    def below(self) -> Iterator[Element]:
        """Yield the element and everything in it, in the order of the file."""
        waiting = [self]
        while waiting:
            element = waiting.pop()
            yield element
            waiting.extend(reversed(element.children))


def read_xml(data: bytes, source: str, leave_out: frozenset[str] = frozenset()) -> Element:
    """Return the outermost element.

    Parameters
    ----------
    data
        The file's bytes; the encoding is what the XML says, UTF-8 or UTF-16 with a byte order mark else.
    source
        Name of the file for error messages.
    leave_out
        Names of elements that are not kept, nor anything in them.

    Raises
    ------
    InputError
        One line with the place: not XML, cut off, not well formed, a DOCTYPE, or beyond the limits.
    """
    if len(data) > MAX_BYTES:
        _refuse(source, 0, 0, f"the file is larger than {MAX_BYTES // 1024**2} MiB, the most that is read")
    if not data.strip(b" \t\r\n\0\xef\xbb\xbf\xff\xfe"):
        _refuse(source, 0, 0, "the file is empty")
    return _Builder(source, leave_out).build(data)


def _refuse(source: str, line: int, column: int, what: str) -> NoReturn:
    raise InputError([Problem(line, column, what, source)])


def _local(name: str) -> str:
    return name.rpartition(":")[2]


class _Builder:
    """Receives expat's calls and grows the tree."""

    def __init__(self, source: str, leave_out: frozenset[str]) -> None:
        self.source = source
        self.leave_out = leave_out
        self.root: Element | None = None
        self.open: list[Element] = []
        self.left_out = 0
        self.count = 0
        self.texts: list[str] = []
        self.parser = parser = expat.ParserCreate()
        parser.buffer_text = True
        parser.StartElementHandler = self.start
        parser.EndElementHandler = self.end
        parser.CharacterDataHandler = self.characters
        parser.StartDoctypeDeclHandler = self.doctype

    def build(self, data: bytes) -> Element:
        """Parse everything; every way this can fail ends in one readable line."""
        try:
            self.parser.Parse(data, True)
        except expat.ExpatError as error:
            self.explain(error, data)
        except (ValueError, LookupError) as error:
            self.stop(f"the encoding that the file states cannot be read ({error}); save it as UTF-8")
        assert self.root is not None  # expat reports a document without an element
        return self.root

    def stop(self, what: str) -> NoReturn:
        """Refuse the file at the place that is being read."""
        _refuse(self.source, self.parser.CurrentLineNumber, self.parser.CurrentColumnNumber + 1, what)

    def doctype(self, *_: object) -> None:
        self.stop("the file has a DOCTYPE; it may define entities and is refused unread: take that line out")

    def start(self, name: str, attributes: dict[str, str]) -> None:
        self.count += 1
        if self.left_out or (self.open and _local(name) in self.leave_out):
            self.left_out += 1
            self.limit(len(self.open) + self.left_out)
            return
        self.limit(len(self.open) + 1)
        own = {_local(k): " ".join(v.split()) for k, v in attributes.items() if not k.startswith("xmlns")}
        element = Element(
            name=_local(name),
            kind=_local(own.get("type", name)),
            id=own.get("id", ""),
            line=self.parser.CurrentLineNumber,
            column=self.parser.CurrentColumnNumber + 1,
            attributes=own,
        )
        if self.open:
            self.open[-1].children.append(element)
        else:
            self.root = element
        self.open.append(element)
        self.texts.clear()

    def limit(self, depth: int) -> None:
        if depth > MAX_DEPTH:
            self.stop(f"elements are nested deeper than {MAX_DEPTH}; no harness file is")
        if self.count > MAX_ELEMENTS:
            self.stop(f"the file has more than {MAX_ELEMENTS} elements, the most that is read")

    def characters(self, text: str) -> None:
        if not self.left_out:
            self.texts.append(text)

    def end(self, _: str) -> None:
        if self.left_out:
            self.left_out -= 1
            return
        element = self.open.pop()
        if not element.children:
            element.text = "".join(self.texts).strip()
        self.texts.clear()

    def explain(self, error: expat.ExpatError, data: bytes) -> NoReturn:
        """Turn expat's error into what a person can do something with."""
        place = (error.lineno, error.offset + 1)
        if self.root is None:
            _refuse(self.source, *place, f"this is not XML but {_what_it_is(data)}")
        inner = self.open[-1] if self.open else self.root
        if error.code in _CUT_OFF:
            _refuse(
                self.source, *place,
                f"the file ends in the middle: <{inner.name}> of line {inner.line} is not closed; get it again whole",
            )  # fmt: skip
        if error.code == expat.errors.codes[expat.errors.XML_ERROR_TAG_MISMATCH]:
            _refuse(
                self.source,
                *place,
                f"the tag that ends here is not that of <{inner.name}>, line {inner.line}",
            )
        reason = expat.ErrorString(error.code) or "it cannot be read on"
        what = f"the XML is not well formed: {reason}, inside <{inner.name}> of line {inner.line}"
        _refuse(self.source, *place, what)


def _what_it_is(data: bytes) -> str:
    """Return in words what the bytes look like."""
    bare = data[:200].removeprefix(b"\xef\xbb\xbf").lstrip()
    for beginning, words in _BEGINNINGS:
        if bare.startswith(beginning):
            return words
    if bare.startswith(b"<"):
        return "text that begins like it and then breaks off"
    if b"\0" in bare:
        return "binary data"
    shown = " ".join(bare.split(b"\n", 1)[0].decode("utf-8", "replace").split())[:40]
    return f"text that begins with '{shown}'" if shown.isprintable() else "binary data"
