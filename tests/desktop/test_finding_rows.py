"""The lines of the list of findings, and the words of the card; no window is needed."""

from dataclasses import replace

from harness_studio.checks.finding import Finding, finding
from harness_studio.desktop.findings.card import html_of
from harness_studio.desktop.findings.marks import marks_of
from harness_studio.desktop.findings.rows import matches, numbered, rows_of
from harness_studio.desktop.findings.words import summary
from harness_studio.model.entities import Mode
from tests.unit.checks.harnesses import sound


def made(rule: str, grade: str, *ids: str, **fields: object) -> Finding:
    base = finding(rule, "mend", ids, f"{ids[0]} says so", source="a page", method="rule", remedy="do it")
    return replace(base, grade=grade, **fields)  # type: ignore[arg-type]


FOUND = (
    made("ground_rise", "mend", "GP1", value=0.4, limit=0.1, unit="V"),
    made("ground_rise", "mend", "GP2", value=0.2, limit=0.1, unit="V", accepted="old <b>car</b>"),
    made("fuse_missing", "stop", "W1"),
    made("end_open", "note", "W2"),
)


def test_headings_stand_before_each_grade_and_rule() -> None:
    rows = rows_of(sound(), FOUND)
    assert [(r.title, r.aside) for r in rows if r.finding is None] == [
        ("Stop · live wire without a fuse", "1"),
        ("Mend · ground stud rises", "1"),
        ("Note · open end", "1"),
        ("Accepted · ground stud rises", "1"),
    ]
    assert [r.number for r in rows if r.finding] == [1, 2, 3, 4]
    assert rows[3].spoken == "mend 2, GP1, GP1 says so, 0.4 > 0.1 V"


def test_numbers_stay_when_the_list_is_narrowed() -> None:
    (_, row) = rows_of(sound(), FOUND, "gp1")
    assert row.number == 2
    assert [n for n, f in numbered(FOUND) if f.rule == "ground_rise"] == [2, 4]
    assert rows_of(sound(), FOUND, kinds=("stop",))[1].finding == FOUND[2]


def test_words_are_looked_for_everywhere() -> None:
    assert matches(FOUND[0], "GROUND page do")
    assert not matches(FOUND[0], "GROUND sheep")


def test_the_diagram_bears_the_numbers_of_the_list_and_leaves_out_what_is_accepted() -> None:
    marks = marks_of(FOUND, "ground_rise/GP1")
    assert [(m.grade, m.number, m.words, m.chosen) for m in marks] == [
        ("stop", 1, "", False),
        ("mend", 2, "0.4 V, limit 0.1 V", True),
        ("note", 3, "", False),
    ]
    assert [m.number for m in marks_of(FOUND, "ground_rise/GP2")] == [1, 2, 3, 4]


def test_what_the_file_says_is_no_markup() -> None:
    assert "old &lt;b&gt;car&lt;/b&gt;" in html_of(FOUND[1], {})


def test_counts_in_words() -> None:
    assert summary({"stop": 1, "mend": 0, "note": 2, "accepted": 1}) == "1 stop · 2 notes · 1 accepted"
    assert summary({"stop": 0}) == "no findings"


def test_the_card_says_first_what_to_do_and_names_modes_as_the_window_does() -> None:
    found = replace(FOUND[0], mode="tow", also_in=("night", "old"), brings=("return_drop/E9",))
    text = html_of(found, {"tow": Mode("tow", "Towing <uphill>"), "night": Mode("night")})
    order = [text.index(word) for word in ("<b>do</b>", "<b>in mode</b>", "From it come", "<b>rests on</b>")]
    assert order == sorted(order)
    assert "<b>in mode</b> Towing &lt;uphill&gt;; also in night; old" in text
