"""Labels and tags: on their grid, the text twice, and QR codes that a reader reads."""

from collections import Counter

import pypdfium2
import pytest
import zxingcpp

from harness_studio.sheets.label_grids import grids
from tests.sheets import reading
from tests.sheets.conftest import harness_named


@pytest.mark.parametrize("size", ["A4", "Letter"])
def test_each_wire_has_two_labels_with_its_name_twice(printed, size: str) -> None:
    harness = harness_named("first")
    found = Counter(r.text for page in reading.pages(printed("labels", size=size)) for r in page.runs)
    assert {w: found[w] for w in harness.wires} == dict.fromkeys(harness.wires, 4)
    assert found["GP2 ← SP3"] == 2
    assert found["SP3 ← GP2"] == 2


@pytest.mark.parametrize("size", ["A4", "Letter"])
def test_texts_lie_on_the_labels(printed, size: str) -> None:
    grid = next(g for g in grids().values() if g.paper.name == size)
    boxes = grid.boxes()
    for sheet in ("labels", "tags"):
        for page in reading.pages(printed(sheet, size=size)):
            for run in page.runs:
                inside = [
                    b
                    for b in boxes
                    if b.left_mm < run.left
                    and run.right < b.right_mm
                    and b.top_mm < run.top
                    and run.bottom < b.bottom_mm
                ]
                assert len(inside) == 1, run


def test_labels_of_a_grid_do_not_overlap() -> None:
    for grid in grids().values():
        assert grid.pitch_x >= grid.width
        assert grid.pitch_y >= grid.height
        assert len(grid.boxes()) == grid.columns * grid.rows


@pytest.mark.parametrize("size", ["A4", "Letter"])
def test_qr_codes_decode_to_the_ids(printed, size: str) -> None:
    document = pypdfium2.PdfDocument(printed("tags", size=size))
    image = document[0].render(scale=300 / 72).to_numpy()
    read = {code.text for code in zxingcpp.read_barcodes(image)}
    assert read == {"Slipway pickup", "X7", "X8"}
