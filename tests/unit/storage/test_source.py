"""A text in pieces: joined again they are the text, and each comment is in the piece it belongs to."""

from pathlib import Path

import pytest

from harness_studio.storage.nodes import Listing, Table, compose
from harness_studio.storage.source import Piece, Source

EXAMPLE = Path(__file__).with_name("example.yaml").read_text(encoding="utf-8")


def pieces(text: str) -> tuple[Source, list[Piece]]:
    root, _ = compose(text)
    assert isinstance(root, Table | Listing)
    source = Source(text)
    found = source.pieces(root, 0)
    assert found is not None
    return source, found


@pytest.mark.parametrize(
    "text", [EXAMPLE, EXAMPLE.replace("\n", "\r\n"), EXAMPLE.rstrip("\n"), "a: 1\n\n# b\nb:\n"]
)
def test_the_pieces_are_the_text(text: str) -> None:
    _, found = pieces(text)
    joined = "".join(p.lead + p.body + p.tail for p in found)
    assert text.startswith(joined)
    assert text[len(joined) :].strip() == ""


def test_lead_body_and_tail() -> None:
    text = "# top\n\n# of a\na:   # a\n  x: 1\n  # below x\n\n# of b\nb: |  # not a comment of ours\n  # text\n# end\n"
    _, (a, b) = pieces(text)
    assert (a.lead, a.body, a.tail) == ("# top\n\n# of a\n", "a:   # a\n  x: 1\n", "  # below x\n")
    assert a.lead_apart == "# top\n\n"
    assert (b.lead, b.body, b.tail) == ("\n# of b\n", "b: |  # not a comment of ours\n  # text\n", "")
    assert b.lead_apart == "\n"


def test_comments_of_an_entry() -> None:
    text = "a: {x: '# no', # one\n  # two\n  y: b#c}   # three\nb: 1\nc: # four\n  [1]\n"
    source, (a, b, c) = pieces(text)
    assert source.comments_in(a) == (["# one", "# two"], "   # three")
    assert source.comments_in(b) == ([], "")
    assert source.comments_in(c) == (["# four"], "")


def test_items_behind_dashes() -> None:
    _, found = pieces("- a\n# of b\n- {b: 1}   # b\n-   c: 1\n    d: 2\n")
    assert [p.body for p in found] == ["- a\n", "- {b: 1}   # b\n", "-   c: 1\n    d: 2\n"]
    assert [p.indent for p in found] == ["", "", ""]


@pytest.mark.parametrize("text", ["? a\n: 1\n", "{a: 1}", "a: 1\rb: 2\r"])
def test_a_text_whose_lines_are_not_entries_has_no_pieces(text: str) -> None:
    root, _ = compose(text)
    assert isinstance(root, Table)
    assert Source(text).pieces(root, 0) is None
