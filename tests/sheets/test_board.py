"""Build board and posters: true lengths, and tiles that fit together."""

import io
import itertools
import math

import numpy as np
import pdfplumber
import pypdfium2
import pytest

from harness_studio.placing.build_board.plan import plan
from harness_studio.sheets.paper import paper
from harness_studio.sheets.poster import OVERLAP_MM, name_of, tiling
from tests.sheets import reading
from tests.sheets.conftest import harness_named
from tests.support.sketch import Sketch


def test_every_run_has_its_true_length() -> None:
    for name in ("first", "medium"):
        harness = harness_named(name)
        made = plan(harness)
        drawn = {
            s.id: math.dist((s.start.x_mm, s.start.y_mm), (s.end.x_mm, s.end.y_mm)) for s in made.stretches
        }
        for run in harness.runs.values():
            if run.length_mm is not None:
                assert drawn[run.id] == pytest.approx(run.length_mm, abs=1e-6)


def test_lines_on_the_full_size_sheet_are_as_long_as_the_runs(printed) -> None:
    wanted = {r.length_mm for r in harness_named("first").runs.values()}
    found: set[float] = set()
    with pdfplumber.open(io.BytesIO(printed("build_board_1to1"))) as document:
        for page in document.pages:
            for line in page.lines:
                found.add(
                    math.dist((line["x0"], line["top"]), (line["x1"], line["bottom"])) / reading.PT_PER_MM
                )
    for length in wanted:
        assert min(abs(length - f) for f in found) < 0.1, length


def test_branches_do_not_cross() -> None:
    s = Sketch()
    s.trunk(9, 3, 300.0)  # branches at its breakouts
    for n, at in enumerate((1, 1, 1, 2, 2)):
        s.run(f"x{n}", f"b{at}", f"b{n + 4}", 150.0 + 20 * n)
    made = plan(s.done())
    assert len(made.stretches) == 8
    for a, b in itertools.combinations(made.stretches, 2):
        assert not crosses(a, b), (a.id, b.id)


def crosses(a, b) -> bool:
    """Tell whether two pieces cross, by the point where their lines meet (Cramer's rule)."""
    (x1, y1), (x2, y2) = ((p.x_mm, p.y_mm) for p in (a.start, a.end))
    (x3, y3), (x4, y4) = ((p.x_mm, p.y_mm) for p in (b.start, b.end))
    d = (x1 - x2) * (y3 - y4) - (y1 - y2) * (x3 - x4)
    if abs(d) < 1e-9:
        return False
    t = ((x1 - x3) * (y3 - y4) - (y1 - y3) * (x3 - x4)) / d
    u = ((x1 - x3) * (y1 - y2) - (y1 - y3) * (x1 - x2)) / d
    return 1e-6 < t < 1 - 1e-6 and 1e-6 < u < 1 - 1e-6


def test_a_ring_of_runs_is_cut_open_and_says_so() -> None:
    s = Sketch()
    s.zone("z")
    for n in range(3):
        s.breakout(f"b{n}", "z")
    for n in range(3):
        s.run(f"r{n}", f"b{n}", f"b{(n + 1) % 3}", 500.0)
    made = plan(s.done())
    assert len(made.stretches) == 3
    assert [x.onward for x in made.stretches if x.onward] != []


def test_tiles_cover_the_drawing_and_share_a_strip() -> None:
    size = paper("A4")
    body = size.body
    for wide in (10.0, body.width_mm, body.width_mm + 0.1, 1234.5):
        across, _ = tiling(size, wide, 10.0)
        covered = body.width_mm + (across - 1) * (body.width_mm - OVERLAP_MM)
        assert covered >= wide - 1e-6
        assert across == 1 or covered - (body.width_mm - OVERLAP_MM) < wide


def test_names_of_tiles() -> None:
    assert [name_of(c, 0) for c in (0, 25, 26, 27, 701, 702)] == ["A1", "Z1", "AA1", "AB1", "ZZ1", "AAA1"]


def crosses_of(page) -> list[tuple[float, float]]:
    """Return the middles of the match marks of a page in mm: pairs of 6 mm lines that cross."""
    lines = [
        tuple(v / reading.PT_PER_MM for v in (o["x0"], o["top"], o["x1"], o["bottom"]))
        for o in (*page.lines, *page.curves)
    ]
    level = [x for x in lines if abs(x[3] - x[1]) < 0.01 and abs(x[2] - x[0] - 6) < 0.05]
    upright = [x for x in lines if abs(x[2] - x[0]) < 0.01 and abs(abs(x[3] - x[1]) - 6) < 0.05]
    return [
        ((a[0] + a[2]) / 2, a[1])
        for a in level
        for b in upright
        if math.dist(((a[0] + a[2]) / 2, a[1]), (b[0], (b[1] + b[3]) / 2)) < 0.05
    ]


def test_match_marks_of_neighbours_fall_together(printed) -> None:
    with pdfplumber.open(io.BytesIO(printed("poster"))) as document:
        first, second = document.pages[:2]
        step = paper("A4").body.width_mm - OVERLAP_MM
        here, there = crosses_of(first), crosses_of(second)
    assert len(here) == len(there) == 2
    for (x1, y1), (x2, y2) in zip(sorted(here), sorted(there), strict=True):
        assert x1 - x2 == pytest.approx(step, abs=0.05)
        assert y1 == pytest.approx(y2, abs=0.05)


def test_the_drawing_goes_on_where_it_was_cut(printed) -> None:
    """Two tiles show the same strip: what is drawn in it on one is drawn in it on the other."""
    document = pypdfium2.PdfDocument(printed("poster"))
    body = paper("A4").body
    scale = 4.0  # pixels per mm
    strips = []
    for number, left in ((0, body.right_mm - OVERLAP_MM), (1, body.left_mm)):
        image = document[number].render(scale=scale / reading.PT_PER_MM, grayscale=True).to_numpy().squeeze()
        top, bottom = int((body.top_mm + 20) * scale), int((body.bottom_mm - 20) * scale)
        strips.append(image[top:bottom, int(left * scale) + 4 : int((left + OVERLAP_MM) * scale) - 4] < 150)
    assert strips[0].any()
    # Within a pixel: each dark spot of one has a dark spot of the other beside it.
    near = strips[1].copy()
    for axis, by in itertools.product((0, 1), (-1, 1)):
        near |= np.roll(strips[1], by, axis)
    assert (strips[0] & ~near).sum() <= 0.05 * strips[0].sum()
