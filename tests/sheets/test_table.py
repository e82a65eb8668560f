"""Tables and lettering: texts stay in their cells, rows stay whole, nothing is lost without a word."""

import itertools

import pytest
from PySide6.QtGui import QFontMetricsF

from harness_studio.sheets import lettering, table, write
from harness_studio.sheets.flow import Flow

WORDS = (
    "W31",
    "brown with white tracer (BN/WH)",
    "Supercalifragilisticexpialidocious",
    "12.65 V",
    "at the left rear",
)


@pytest.mark.parametrize("width", [60.0, 120.0, 185.0])
def test_texts_stay_in_their_cells(job_for, width: float) -> None:
    columns = [table.Column(f"Head {n}", "right" if n == 3 else "left") for n in range(5)]
    made = table.table(columns, [WORDS, tuple(reversed(WORDS))], width, 100.0)
    assert sum(made.widths_mm) <= width + 1e-6
    edges = [sum(made.widths_mm[:n]) for n in range(6)]
    for row in made.rows:
        for text in row.ink.texts:
            left = write.left_mm(text)
            right = left + lettering.width_mm(text.text, text.size_mm, text.weight)
            assert any(a <= left + 1e-6 and right <= b + 1e-6 for a, b in itertools.pairwise(edges)), text
            assert 0 <= text.y_mm <= row.height_mm
            assert text.size_mm >= lettering.LEAST_MM


def test_wrapping_loses_no_letter(job_for) -> None:
    for text in WORDS:
        for room in (5.0, 12.0, 40.0):
            lines = lettering.wrapped(text, 2.6, room)
            assert "".join("".join(lines).split()) == "".join(text.split())
            assert all(lettering.width_mm(line, 2.6) <= room for line in lines)


def test_what_is_cut_says_so(job_for) -> None:
    text, size = lettering.shrunk("x" * 400, 3.0, 50.0)
    assert text.endswith("…")
    assert size == lettering.LEAST_MM
    assert lettering.width_mm(text, size) <= 50.0
    assert lettering.shrunk("short", 3.0, 50.0) == ("short", 3.0)


def test_widths_are_those_that_qt_draws(job_for) -> None:
    for px in (100, 125, 250):
        drawn = QFontMetricsF(lettering.font(px, 400)).horizontalAdvance("Wire 31, Ω ² µ")
        assert lettering.width_mm("Wire 31, Ω ² µ", px) == pytest.approx(drawn, rel=0.002)


def test_a_table_goes_on_over_pages_with_its_heads(job_for) -> None:
    flow = Flow(job_for(), "Trial")
    flow.table([table.Column("Number"), table.Column("Words")], [[str(n), "words"] for n in range(300)])
    assert len(flow.leaves) > 3
    seen = []
    for leaf in flow.leaves:
        texts = [t.text for t in leaf.texts]
        assert texts[:2] == ["Number", "Words"]
        seen += [t for t in texts if t.isdigit()]
        assert max(t.y_mm for t in leaf.texts) < leaf.paper.body.bottom_mm
    assert seen == [str(n) for n in range(300)]


def test_a_band_stays_with_the_row_below_it(job_for) -> None:
    flow = Flow(job_for(), "Trial")
    rows: list[table.Row | table.Band] = []
    for n in range(120):
        rows += [table.Band(f"band {n}"), [f"row {n}"]]
    flow.table([table.Column("One")], rows)
    for leaf in flow.leaves:
        assert not leaf.texts[-1].text.startswith("band")


def test_a_row_higher_than_a_page_says_that_there_is_more(job_for) -> None:
    flow = Flow(job_for(), "Trial")
    flow.table([table.Column("One")], [["many words " * 3000]])
    assert len(flow.leaves) == 1
    assert flow.leaves[0].texts[-1].text == "… more in the file"
