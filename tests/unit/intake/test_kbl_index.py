"""Texts that say nothing, references that lead nowhere, and names that cannot be ids."""

import pytest

from harness_studio.base.ids import is_id, is_name
from harness_studio.intake.kbl_index import Index, Names, Report, cavity_name, described, said
from harness_studio.intake.xml_tree import Element, read_xml


def tree(text: str) -> Element:
    return read_xml(f"<r>{text}</r>".encode(), "f")


def words(report: Report) -> list[str]:
    return [str(problem) for problem in report.sorted()]


@pytest.mark.parametrize("text", ["", "  ", "/NULL", "/null", "\n/NULL "])
def test_texts_that_say_nothing(text: str) -> None:
    assert said(tree(f"<a>{text}</a>"), "a") is None
    assert said(tree(""), "a") is None


def test_a_text_is_put_on_one_line() -> None:
    assert said(tree("<a> bilge\n\t pump </a>"), "a") == "bilge pump"


def test_a_description_needs_a_letter_and_may_be_in_any_language() -> None:
    assert described(tree("<Description>-</Description>")) is None
    local = (
        "<Localized_description><Language_code>De</Language_code><Value>Pumpe</Value></Localized_description>"
    )
    assert described(tree(f"<Description>/NULL</Description>{local}")) == "Pumpe"
    assert described(tree(f"<Description>pump</Description>{local}")) == "pump"


def test_references_find_what_they_should_and_say_what_is_wrong() -> None:
    report = Report("f")
    root = tree('<Node id="n"/><Unit id="u"/><x id="x"><Ref>n u gone /NULL</Ref></x>')
    found = Index(root, report).refs(root.children[2], "Ref", "Node")
    assert [e.id for e in found] == ["n"]
    assert words(report) == [
        "f:1:42: Ref of <x 'x'> refers to 'gone', which is nowhere in the file; wanted is <Node>",
        "f:1:42: Ref of <x 'x'> refers to 'u', which is <Unit 'u'>, line 1; wanted is <Node>",
    ]


def test_an_id_that_is_there_twice_means_the_one_that_fits() -> None:
    report = Report("f")
    root = tree('<Unit id="n"/>\n<Node id="n"/><x><Ref>n</Ref></x>')
    found = Index(root, report).ref(root.children[2], "Ref", "Node")
    assert found is root.children[1]
    assert words(report) == [
        "f:2:1: the id 'n' of <Node 'n'> is already that of <Unit 'n'>, line 1; "
        "both are kept, and a reference means the first that fits"
    ]


def test_names_become_ids_that_differ() -> None:
    report = Report("f")
    at = tree("")
    names = Names(report)
    claimed = [
        names.claim(n, at, "half", prefix="X") for n in ("X1", "X.1", "X_1", "X.1", "1", None, "unknown", "ü")
    ]
    assert claimed == [
        ("X1", None), ("X_1", "X.1"), ("X_1_2", "X_1"), ("X_1_3", "X.1"), ("X1_2", "1"), ("X-1", None),
        ("unknown_1", "unknown"), ("item", "ü"),
    ]  # fmt: skip
    assert all(is_id(new) for new, _ in claimed)
    assert [line for line in words(report) if "twice" in line] == [
        "f:1:1: the half 'X.1' is there twice, first in line 1; both are kept"
    ]


@pytest.mark.parametrize(
    ("text", "taken", "name"),
    [
        ("10A", (), "10A"),
        ("010", ("10",), "010"),
        ("B+", (), "B+"),
        ("-", (), "-"),
        ("A.1", (), "A_1"),
        ("1/2: x", (), "1_2_x"),
        ("1", ("1",), "1_2"),
        ("1", ("1", "1_2"), "1_3"),
        (None, ("1",), "2"),
        ("[]", (), "1"),
        ("", ("2",), "3"),
    ],
)
def test_cavity_names(text: str | None, taken: tuple[str, ...], name: str) -> None:
    made = cavity_name(text, taken)
    assert made == name
    assert is_name(made)
