"""Letters that no font on the machine has are said; the sheets are printed all the same."""

from PySide6.QtGui import QGuiApplication

from harness_studio.sheets import binding
from harness_studio.sheets.lettering import missing
from harness_studio.sheets.paper import paper
from tests.sheets import reading
from tests.support.sketch import Sketch

LACKING = "\U0004abcd"
"""A sign of a plane to which nothing is assigned: no font has it, whatever the machine."""


def test_what_the_own_font_has_is_not_missed(qapp: QGuiApplication) -> None:
    assert missing(["Ω µ ² ≥ − ± ° é ñ ß Ø č", "W12 0.5 mm²"]) == ""


def test_each_missing_letter_is_named_once(qapp: QGuiApplication) -> None:
    assert missing([f"a{LACKING}", f"{LACKING}{LACKING} b", "plain"]) == LACKING


def test_sheets_with_such_a_title_are_printed_and_say_so(qapp: QGuiApplication) -> None:
    s = Sketch(f"{LACKING} loom")
    s.half("X1", ("1", "2"), title=f"{LACKING * 20} plug")
    s.wire("X1.1", "cut", colour="BN")
    leaves = binding.leaves_of(binding.job_of(s.done(), paper("A4"), day="2026-03-02"), ("pinout", "wires"))
    assert binding.letters_missing(leaves).startswith(f"no font on this machine has {LACKING}: ")
    content = binding.written(binding.job_of(s.done(), paper("A4"), day="2026-03-02"), leaves)
    for page in reading.pages(content):
        assert reading.outside(page) == []
        assert reading.overlapping(page) == []


def test_nothing_is_said_where_nothing_is_missing(qapp: QGuiApplication) -> None:
    s = Sketch("Ω loom")
    s.half("X1", ("1",))
    s.wire("X1.1", "cut")
    leaves = binding.leaves_of(binding.job_of(s.done(), paper("A4"), day="2026-03-02"), ("pinout",))
    assert binding.letters_missing(leaves) == ""
