"""Build board at 1:n: of every sample each thing is named once, and nothing lies on anything else."""

import itertools
import math

import pytest
from PySide6.QtGui import QGuiApplication

from harness_studio.placing.build_board.plan import known_as, plan
from harness_studio.sheets import binding
from harness_studio.sheets.build_board_art import BREAKOUT_MM, SPLICE_MM
from harness_studio.sheets.build_board_strips import Arranged, arranged
from harness_studio.sheets.paper import paper
from harness_studio.storage.project_file import read_project
from tests.conftest import ROOT
from tests.sheets import reading

SAMPLES = ("first_harness", "track_buggy", "trailer_wiring", "estuary_pickup")
CASES = [
    pytest.param((name, size), marks=[pytest.mark.slow] if name == "estuary_pickup" and size != "A4" else [])
    for name in SAMPLES
    for size in ("A4", "Letter", "A3")
]


@pytest.fixture(params=CASES, ids=" ".join, scope="module")
def laid(request: pytest.FixtureRequest, qapp: QGuiApplication):
    name, size = request.param
    harness = read_project(ROOT / "sample_projects" / f"{name}.yaml").harness
    job = binding.job_of(harness, paper(size), day="2026-03-02")
    made = plan(harness)
    return job, made, arranged(job, made)


def test_nothing_lies_on_anything_else_and_nothing_is_left_out(laid) -> None:
    job, made, found = laid
    named = [name for one in found.laid for key in one.puts for name in names(one.tags[key])]
    assert sorted(n for n in named if n in job.harness.splices) == sorted(made.splices)
    hanging = {known_as(thing) for thing in made.things}
    assert hanging <= set(named)
    assert set(made.nodes) <= set(named)
    runs = [key[1] for one in found.laid for key in one.puts if key[0] == "run"]
    assert sorted(runs) == sorted(s.id for s in made.stretches if s.kind == "run")
    for one in found.laid:
        boxes = [put.box for put in one.puts.values()]
        for a, b in itertools.combinations(boxes, 2):
            assert apart(a, b), (a, b)
        for marks, radius in ((one.breakouts, BREAKOUT_MM), (one.splices, SPLICE_MM)):
            for at in marks.values():
                for box in boxes:
                    dx = max(box.left_mm - at.x_mm, 0, at.x_mm - box.right_mm)
                    dy = max(box.top_mm - at.y_mm, 0, at.y_mm - box.bottom_mm)
                    assert math.hypot(dx, dy) > radius - 0.01
        for box in boxes:
            assert one.room.contains(box.centre)


def names(tag) -> list[str]:
    """Return what a flag names, as it is told apart by spaces."""
    return [tag.id] if tag.kind == "run" else tag.name.split(" ")


def apart(a, b) -> bool:
    return (
        a.right_mm <= b.left_mm
        or b.right_mm <= a.left_mm
        or a.bottom_mm <= b.top_mm
        or b.bottom_mm <= a.top_mm
    )


def test_pieces_are_true_to_scale_over_all_strips(laid) -> None:
    _, made, found = laid
    drawn: dict[tuple[str, str], float] = {}
    for one in found.laid:
        for stretch, (a, b) in one.pieces:
            length = math.dist((a.x_mm, a.y_mm), (b.x_mm, b.y_mm)) * found.scale
            drawn[stretch.kind, stretch.id] = drawn.get((stretch.kind, stretch.id), 0.0) + length
    for stretch in made.stretches:
        assert drawn[stretch.kind, stretch.id] == pytest.approx(stretch.length_mm, abs=0.1)


def test_the_printed_pages_have_no_texts_on_one_another(laid) -> None:
    job, _, found = laid
    pages = reading.pages(binding.document(job, ["build_board"]))
    for number, page in enumerate(pages[: found.pages], 1):
        assert reading.outside(page) == [], number
        assert reading.overlapping(page) == [], number
        assert f"1:{found.scale:g}" in page.text
    assert "no free place" not in " ".join(p.text for p in pages)


def test_a_letter_stands_at_both_ends_of_every_cut(laid) -> None:
    _, _, found = laid
    assert isinstance(found, Arranged)
    letters = [
        key[1].split(" ")[0] for one in found.laid for key in one.puts if " " in key[1] and key[0] == "cut"
    ]
    cuts = sum(len(one.cuts) for one in found.laid)
    assert len(letters) == cuts
    assert all(letters.count(letter) == 2 for letter in letters)
    assert (cuts > 0) == (len(found.laid) > 1)
