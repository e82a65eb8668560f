"""What a shop would complain of: headings that stand alone, empty frames, cut feet, fuses in a wrong order."""

import re

from harness_studio.sheets import power_up
from harness_studio.sheets.diagram_art import drawings
from harness_studio.sheets.diagram_page import _frames
from harness_studio.sheets.flow import Flow
from harness_studio.sheets.table import Column
from tests.sheets import reading


def test_a_heading_goes_to_the_next_page_with_its_table(job_for) -> None:
    job = job_for()
    flow = Flow(job, "Trial")
    flow.gap(flow.body.height_mm - 24.0)
    flow.heading("Relays and flashers")
    long = "feeds " * 120
    flow.table([Column("Name"), Column("Feeds")], [["K1", long], ["K2", "pump"]])
    assert len(flow.leaves) == 2
    assert "Relays and flashers" not in [t.text for t in flow.leaves[0].texts]
    assert [t.text for t in flow.leaves[1].texts].count("Relays and flashers") == 1


def test_a_heading_stays_where_its_table_has_room(job_for) -> None:
    flow = Flow(job_for(), "Trial")
    flow.gap(20.0)
    flow.heading("Relays and flashers")
    flow.table([Column("Name")], [["K1"]])
    assert len(flow.leaves) == 1


def test_a_frame_without_its_words_is_not_drawn(job_for) -> None:
    drawing = next(d for d in drawings(job_for(name="long_names").harness) if d.cards)
    assert list(_frames(drawing, [])) == []
    assert len(list(_frames(drawing, drawing.texts))) == sum(len(c.strokes) for c in drawing.cards)


def test_every_title_of_a_mode_is_whole_in_the_foot(printed, job_for) -> None:
    titles = [mode.title for mode in job_for().modes]
    for page in reading.pages(printed("pinout")):
        foot = " ".join(r.text for r in page.runs if r.top > page.height - 12)
        assert "; ".join(titles) in foot
        assert "limits: road workshop" in foot
        assert "…" not in foot


def test_a_fuse_goes_in_after_those_that_feed_it(printed, job_for) -> None:
    job = job_for()
    boxes = {p.id for p in job.harness.parts.values() if p.kind == "fuse"}
    page = reading.pages(printed("power_up"))[0]
    rows = sorted((r.top, r.text) for r in page.runs if r.text in boxes)
    order = [text for _, text in rows]
    assert set(order) == boxes
    # F1 is the bolted main fuse of the sample, from which the box is fed (its file says so).
    assert order[0] == "F1"


def test_a_limit_is_said_in_words(printed) -> None:
    text = " ".join(reading.texts(printed("testing")))
    assert "rise of a ground stud" in text
    assert not re.search(r"rise_ground", text)


def test_power_up_says_what_is_done_with_the_lamp(printed) -> None:
    assert power_up.POWER_UP == "First power-up"
    text = " ".join(reading.texts(printed("power_up")))
    assert "A fuse that feeds others comes before them." in text
