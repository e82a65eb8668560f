"""What sheets promise one by one: cautions, photos, the walk round the vehicle, tiles, modes, many connectors."""

import io
import itertools
import re
from pathlib import Path

import pdfplumber
import pypdf
import pytest
from PySide6.QtGui import QColor, QGuiApplication, QImage

from harness_studio.base.errors import HarnessError
from harness_studio.model.entities import Photo
from harness_studio.placing.build_board.plan import plan
from harness_studio.sheets import binding
from harness_studio.sheets.cover import cautions
from harness_studio.sheets.paper import paper
from harness_studio.sheets.poster import OVERLAP_MM
from harness_studio.storage.project_file import read_project
from tests.conftest import ROOT
from tests.sheets import harnesses, reading
from tests.sheets.test_board import crosses_of

SAMPLES = ("first_harness", "track_buggy", "trailer_wiring", "estuary_pickup")


def sample(name: str):
    return read_project(ROOT / "sample_projects" / f"{name}.yaml").harness


@pytest.mark.parametrize("sheet", ["cover", "testing", "power_up", "cases", "case_testing"])
def test_cautions_stand_on_the_sheets_one_works_from(printed, sheet: str) -> None:
    name = "long_names" if "case" in sheet else "first"
    kind = {"cover": None, "cases": "case", "case_testing": "testing"}.get(sheet, sheet)
    wanted = cautions(kind)
    assert len(wanted) >= 4
    text = "".join(reading.texts(printed(sheet, name=name))).replace(" ", "")
    for one in wanted:
        assert one.replace(" ", "") in text


def test_a_photo_stands_on_its_pinout_sheet(qapp: QGuiApplication, tmp_path: Path) -> None:
    image = QImage(640, 480, QImage.Format.Format_RGB32)
    image.fill(QColor("#3a6ea5"))
    (tmp_path / "photos").mkdir()
    assert image.save(str(tmp_path / "photos" / "x1.png"))
    harness = harnesses.large_connector()
    harness.tables["photos"]["p1"] = Photo("p1", "photos/x1.png", ("X1",), "seen from the fuse box")
    content = binding.document(binding.job_of(harness, paper("A4"), folder=tmp_path), ["pinout"])
    with pdfplumber.open(io.BytesIO(content)) as document:
        found = [(n, i) for n, page in enumerate(document.pages) for i in page.images]
    assert len(found) == 1
    number, picture = found[0]
    page = reading.pages(content)[number]
    assert "Pinout · X1" in page.text
    assert "seen from the fuse box" in " ".join(reading.texts(content))
    box = [picture[k] / reading.PT_PER_MM for k in ("x0", "top", "x1", "bottom")]
    assert box[0] > 9
    assert box[1] > 15
    assert box[2] < page.width - 5
    assert box[3] < page.height - 10
    assert (box[2] - box[0]) / (box[3] - box[1]) == pytest.approx(640 / 480, rel=0.01)
    for run in page.runs:
        over = min(run.right, box[2]) - max(run.left, box[0]), min(run.bottom, box[3]) - max(run.top, box[1])
        assert min(over) < 0.2, run.text


@pytest.mark.parametrize("name", SAMPLES)
def test_one_walks_round_the_vehicle_once(qapp: QGuiApplication, name: str) -> None:
    """Each zone comes once on the test sheet: nobody walks back to it."""
    job = binding.job_of(sample(name), paper("A4"))
    text = [r.text for p in reading.pages(binding.document(job, ["testing"])) for r in p.runs]
    start = text.index("Readings under load")
    titles = {zone.title or zone.id for zone in job.harness.zones.values()}
    walked = [t for t in text[start:] if t in titles]
    assert len(walked) == len(set(walked)) > 0


@pytest.mark.parametrize("name", SAMPLES)
def test_runs_of_every_sample_have_their_length_at_full_size(name: str) -> None:
    harness = sample(name)
    drawn = {s.id: s for s in plan(harness).stretches if s.kind == "run"}
    for run in harness.runs.values():
        a, b = drawn[run.id].start, drawn[run.id].end
        length = ((a.x_mm - b.x_mm) ** 2 + (a.y_mm - b.y_mm) ** 2) ** 0.5
        assert length == pytest.approx(run.length_mm, abs=0.1)


def test_match_marks_of_the_full_size_build_board_fall_together(printed) -> None:
    """Neighbours at the right and below show their common marks one step of the tiling apart."""
    found: dict[tuple[int, int], tuple[list[tuple[float, float]], float, float]] = {}
    with pdfplumber.open(io.BytesIO(printed("build_board_1to1"))) as document:
        for page in document.pages:
            name = re.search(r"Build board 1:1 · ([A-Z]+)(\d+) of", page.extract_text())
            assert name
            column = 0
            for letter in name[1]:
                column = column * 26 + ord(letter) - 64
            size = page.width / reading.PT_PER_MM - 25, page.height / reading.PT_PER_MM - 35
            found[column, int(name[2])] = (crosses_of(page), *size)
    pairs = 0
    for (column, row), (marks, wide, high) in found.items():
        for (dx, dy), step in (((1, 0), (wide - OVERLAP_MM, 0.0)), ((0, 1), (0.0, high - OVERLAP_MM))):
            other = found.get((column + dx, row + dy))
            if other is None:
                continue
            moved = [(x + step[0], y + step[1]) for x, y in other[0]]
            common = [
                (a, b)
                for a, b in itertools.product(marks, moved)
                if abs(a[0] - b[0]) < 0.1 and abs(a[1] - b[1]) < 0.1
            ]
            assert len(common) >= 2, (column, row, dx, dy)
            pairs += 1
    assert pairs >= 3


def test_more_than_three_modes_are_refused_in_one_line(qapp: QGuiApplication) -> None:
    harness = sample("estuary_pickup")
    with pytest.raises(HarnessError, match="4 modes are too many for a sheet: choose up to 3"):
        binding.job_of(harness, paper("A4"), list(harness.modes)[:4])


def test_three_modes_have_a_column_each_and_one_has_one(qapp: QGuiApplication) -> None:
    harness = sample("track_buggy")
    for count in (1, 2, 3):
        chosen = list(harness.modes)[-count:]
        job = binding.job_of(harness, paper("A4"), chosen)
        first = reading.pages(binding.document(job, ["pinout"]))[0]
        volts = [r for r in first.runs if re.fullmatch(r"−?[\d.]+ m?V", r.text)]
        rows = {round(r.top) for r in volts}
        assert rows
        assert max(sum(round(r.top) == row for r in volts) for row in rows) == count


@pytest.mark.slow
@pytest.mark.parametrize("size", ["A4", "Letter"])
def test_141_connectors_break_no_sheet(printed, size: str) -> None:
    content = printed(name="many_connectors", size=size)
    for number, page in enumerate(reading.pages(content), 1):
        assert reading.outside(page) == [], number
        assert reading.overlapping(page) == [], number


def test_a_stopped_document_says_so_and_gives_nothing(job_for) -> None:
    job, calls = job_for(), []

    def stop(done: int, of: int) -> bool:
        calls.append((done, of))
        return len(calls) < 3

    with pytest.raises(HarnessError, match="stopped"):
        binding.document(job, ["grounds", "wires", "cutting", "pinout"], stop)
    assert calls == [(0, 4), (1, 4), (2, 4)]


def test_search_finds_what_is_printed_and_the_file_names_itself(printed) -> None:
    document = pypdf.PdfReader(io.BytesIO(printed("wires")))
    assert document.metadata is not None
    assert document.metadata.title
    assert "W11" in document.pages[0].extract_text()
