"""XML in: places, encodings, and everything that is refused, each in one line that says what and where."""

import pytest

from harness_studio.base.errors import InputError
from harness_studio.intake import xml_tree
from harness_studio.intake.xml_tree import Element, read_xml

LAUGHS = b"""<?xml version="1.0"?>
<!DOCTYPE lolz [
 <!ENTITY lol "lol">
 <!ENTITY lol2 "&lol;&lol;&lol;&lol;&lol;&lol;&lol;&lol;&lol;&lol;">
 <!ENTITY lol3 "&lol2;&lol2;&lol2;&lol2;&lol2;&lol2;&lol2;&lol2;&lol2;&lol2;">
]>
<a>&lol3;</a>"""


def refused(data: bytes) -> str:
    with pytest.raises(InputError) as caught:
        read_xml(data, "f.kbl")
    text = str(caught.value)
    assert "\n" not in text
    assert text.startswith("f.kbl")
    return text


def names(element: Element) -> list[str]:
    return [e.name for e in element.below()]


def test_elements_know_their_name_type_id_text_and_place() -> None:
    root = read_xml(
        b'<?xml version="1.0"?>\n<k:a xmlns:k="u" xmlns:x="v" id="1" version_id="2.4">\n'
        b'  <b x:type="k:Special" id=" 7 "> two\n words </b><c/>\n</k:a>',
        "f",
    )
    special, empty = root.children
    assert (root.name, root.kind, root.id, root.line, root.column) == ("a", "a", "1", 2, 1)
    assert root.attributes["version_id"] == "2.4"
    assert (special.name, special.kind, special.id) == ("b", "Special", "7")
    assert (special.line, special.column) == (3, 3)
    assert special.text == "two\n words"
    assert (empty.name, empty.text, empty.line) == ("c", "", 4)


def test_a_line_break_in_an_id_does_not_break_messages() -> None:
    assert read_xml(b'<a id="1&#10;2&#x2028;3"/>', "f").id == "1 2 3"


def test_a_prefix_that_is_declared_nowhere_does_no_harm() -> None:
    assert names(read_xml(b"<kbl:a><kbl:b/></kbl:a>", "f")) == ["a", "b"]


def test_what_is_left_out_is_gone_with_all_that_is_in_it() -> None:
    root = read_xml(b"<a><b><c>1</c></b><d>2</d><b/></a>", "f", frozenset({"b", "a"}))
    assert names(root) == ["a", "d"]
    assert root.children[0].text == "2"


@pytest.mark.parametrize(
    ("declared", "codec"),
    [
        ("UTF-8", "utf-8"),
        ("UTF-8", "utf-8-sig"),
        ("UTF-16", "utf-16"),
        ("UTF-16LE", "utf-16-le"),
        ("ISO-8859-1", "latin-1"),
        ("windows-1252", "cp1252"),
    ],
)
def test_encodings(declared: str, codec: str) -> None:
    data = f'<?xml version="1.0" encoding="{declared}"?><a>Zündspule</a>'.encode(codec)
    assert read_xml(data, "f").text == "Zündspule"


def test_entities_are_refused_before_they_are_read() -> None:
    text = refused(LAUGHS)
    assert text.startswith("f.kbl:2:")
    assert "the file has a DOCTYPE" in text


@pytest.mark.parametrize(
    "doctype",
    [b"<!DOCTYPE a>", b'<!DOCTYPE a SYSTEM "http://localhost/x">', b"<!DOCTYPE a [<!ENTITY % p 'x'>]>"],
)
def test_every_doctype_is_refused(doctype: bytes) -> None:
    assert "DOCTYPE" in refused(doctype + b"<a/>")


@pytest.mark.parametrize("cut", [b"<a><b>12", b"<a><b", b"<a><b></b>", b"<a><b><![CDATA[ x"])
def test_a_file_that_ends_in_the_middle(cut: bytes) -> None:
    text = refused(b"<?xml version='1.0'?>\n" + cut)
    assert "ends in the middle" in text
    assert "of line 2 is not closed" in text


@pytest.mark.parametrize(
    ("data", "what"),
    [
        (b"", "the file is empty"),
        (b" \r\n\t ", "the file is empty"),
        (b"\xef\xbb\xbf", "the file is empty"),
        (b"%PDF-1.7 ...", "a PDF"),
        (b"PK\x03\x04\x14\x00", "a ZIP archive"),
        (b"\x1f\x8b\x08\x00", "a gzip archive"),
        (b'{"wires": []}', "JSON"),
        (b"harness_studio: 1\ntitle: x\n", "a project file of this program"),
        (b"Wire;From;To\n1;X1;X2\n", "text that begins with 'Wire;From;To'"),
        (b"\x00\x01\x02\x03", "binary data"),
        (b"\x01\x0b\x01", "binary data"),
        (b"<a", "breaks off"),
    ],
)
def test_what_is_no_xml_is_called_by_its_name(data: bytes, what: str) -> None:
    assert what in refused(data)


@pytest.mark.parametrize(
    ("data", "what"),
    [
        (b"<a>\n<b></c></a>", "f.kbl:2:6: the tag that ends here is not that of <b>, line 2"),
        (b"<a>&nbsp;</a>", "undefined entity, inside <a> of line 1"),
        (b"<a/>\n<b/>", "junk after document element"),
        (b"<a>\xff\xfe</a>", "not well-formed"),
        (b'<?xml version="1.0" encoding="no-such"?><a/>', "encoding"),
        (b'<?xml version="1.0" encoding="shift_jis"?><a/>', "encoding"),
    ],
)
def test_xml_that_is_not_well_formed(data: bytes, what: str) -> None:
    assert what in refused(data)


def test_fifty_megabytes_of_nesting_are_refused_at_once() -> None:
    assert "nested deeper than 100" in refused(b"<a>" * (50 * 1024 * 1024 // 3))


def test_nesting_counts_where_things_are_left_out() -> None:
    with pytest.raises(InputError, match="nested deeper"):
        read_xml(b"<r>" + b"<a>" * 200, "f", frozenset({"a"}))


def test_limits_on_size_and_count(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(xml_tree, "MAX_ELEMENTS", 3)
    assert "more than 3 elements" in refused(b"<a><b/><b/><b/></a>")
    monkeypatch.setattr(xml_tree, "MAX_BYTES", 4)
    assert "larger than" in refused(b"<a></a>")
