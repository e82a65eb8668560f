"""Whatever happens to a KBL file: it is read with warnings, or refused in one line; and what is read is sound."""

import re
import xml.etree.ElementTree as ET
from collections.abc import Callable

from hypothesis import given
from hypothesis import strategies as st

from harness_studio.base.changes import Changes
from harness_studio.base.errors import InputError
from harness_studio.intake.kbl import Imported, read_kbl
from harness_studio.model.conflicts import conflicts
from harness_studio.model.edits import check_references
from harness_studio.storage.project_file import parse, render
from tests.unit.intake.big_file import big_file

BIG = big_file()
Element = ET.Element
Change = Callable[[list[Element], list[Element], int, int], None]

TEXTS = st.sampled_from(
    ["", "/NULL", "0", "-1", "NaN", "1e400", "x.y/z@[]:", "Ω ü", "x_p1", "m1 m2", "\n", "cut", "unknown"]
)


def drop(parents: list[Element], elements: list[Element], a: int, b: int) -> None:
    """Take one element out."""
    if elements[a] in list(parents[a]):
        parents[a].remove(elements[a])


def double(parents: list[Element], elements: list[Element], a: int, b: int) -> None:
    """Put an element there once more, ids and all."""
    parents[a].append(elements[a])


def swap_ids(parents: list[Element], elements: list[Element], a: int, b: int) -> None:
    """Exchange the ids of two elements."""
    first, second = elements[a].get("id", ""), elements[b].get("id", "")
    elements[a].set("id", second)
    elements[b].set("id", first)


def same_id(parents: list[Element], elements: list[Element], a: int, b: int) -> None:
    """Give one element the id of another."""
    elements[a].set("id", elements[b].get("id", ""))


def swap_texts(parents: list[Element], elements: list[Element], a: int, b: int) -> None:
    """Exchange two texts, references among them."""
    elements[a].text, elements[b].text = elements[b].text, elements[a].text


def move(parents: list[Element], elements: list[Element], a: int, b: int) -> None:
    """Move an element to where it does not belong; never into itself."""
    if elements[b] not in list(elements[a].iter()) and elements[a] in list(parents[a]):
        parents[a].remove(elements[a])
        elements[b].append(elements[a])


def rename(parents: list[Element], elements: list[Element], a: int, b: int) -> None:
    """Call an element like another."""
    elements[a].tag = elements[b].tag


CHANGES: tuple[Change, ...] = (drop, double, swap_ids, same_id, swap_texts, move, rename)


def broken(steps: list[tuple[Change, int, int]], texts: list[tuple[int, str]]) -> bytes:
    root = ET.fromstring(BIG)
    for change, a, b in steps:
        pairs = [(parent, child) for parent in root.iter() for child in parent]
        parents, elements = [p for p, _ in pairs], [e for _, e in pairs]
        if elements:
            change(parents, elements, a % len(elements), b % len(elements))
    elements = list(root.iter())
    for at, text in texts:
        leaf = elements[at % len(elements)]
        if not len(leaf):
            leaf.text = text
    return ET.tostring(root, encoding="utf-8")


def check(data: bytes, modules: str = "all", *, save: bool = True) -> None:
    try:
        result = read_kbl(data, "f.kbl", modules)
    except InputError as error:
        lines = str(error).splitlines()
    else:
        check_harness(result, save=save)
        lines = [""]
    assert len(lines) == 1


def check_harness(result: Imported, *, save: bool) -> None:
    check_references(result.harness, Changes(added=frozenset(result.harness.refs())))
    assert list(conflicts(result.harness)) == []
    if save:
        assert parse(render(result.harness)).harness.tables == result.harness.tables
    assert all("\n" not in str(warning) for warning in result.warnings)


@given(
    steps=st.lists(
        st.tuples(st.sampled_from(CHANGES), st.integers(0, 10_000), st.integers(0, 10_000)), max_size=12
    ),
    texts=st.lists(st.tuples(st.integers(0, 10_000), TEXTS), max_size=6),
    modules=st.sampled_from(["all", "base", "m2", "M-1,base"]),
)
def test_a_file_that_is_wrong_in_every_way_is_read_or_refused_in_one_line(
    steps: list[tuple[Change, int, int]], texts: list[tuple[int, str]], modules: str
) -> None:
    check(broken(steps, texts), modules)


@given(st.integers(0, len(BIG)))
def test_a_file_that_is_cut_off_anywhere_is_refused_in_one_line(length: int) -> None:
    check(BIG[:length])


@given(at=st.integers(0, len(BIG) - 1), byte=st.integers(0, 255))
def test_a_wrong_byte_anywhere(at: int, byte: int) -> None:
    check(BIG[:at] + bytes([byte]) + BIG[at + 1 :])


@given(st.binary(max_size=200))
def test_any_bytes_are_refused_in_one_line(data: bytes) -> None:
    check(data)


def test_every_single_element_may_be_missing() -> None:
    root = ET.fromstring(BIG)
    for parent, child in [(above, below) for above in root.iter() for below in above]:
        at = list(parent).index(child)
        parent.remove(child)
        check(ET.tostring(root, encoding="utf-8"), save=False)
        parent.insert(at, child)


def test_every_reference_may_lead_nowhere() -> None:
    ids = sorted(set(re.findall(rb' id="([^"]+)"', BIG)))
    for xml_id in ids:
        check(BIG.replace(b' id="%s"' % xml_id, b' id="elsewhere"'))
