"""``sheets``: a PDF file, whole or not at all."""

import io
import json
import os
import subprocess
import sys
from pathlib import Path

import pypdf
import pytest
from PySide6.QtGui import QGuiApplication

from harness_studio.app.commands import sheets
from harness_studio.sheets import catalogue, paper
from tests.unit.app.conftest import Run

pytestmark = pytest.mark.usefixtures("qapp")


def test_it_writes_the_sheets_asked_for_in_their_order(run: Run, first: Path, tmp_path: Path) -> None:
    out = tmp_path / "set.pdf"
    done = run(
        "sheets", first, "-o", out, "--sheet", "grounds", "--sheet", "pinout", "--paper", "letter", "--json"
    )
    assert (done.code, done.err) == (0, "")
    document = json.loads(done.out)
    assert document["sheets"] == ["Ground list", "Pinout"]
    read = pypdf.PdfReader(io.BytesIO(out.read_bytes()))
    assert len(read.pages) == document["pages"]
    assert float(read.pages[0].mediabox.width) == pytest.approx(612, abs=0.1)  # Letter: 8.5 in of 72 pt
    assert [item["/Title"] for item in read.outline if not isinstance(item, list)] == [
        "Ground list",
        "Pinout",
    ]


def test_what_the_file_held_is_kept_beside_it(run: Run, first: Path, tmp_path: Path) -> None:
    out = tmp_path / "set.pdf"
    out.write_bytes(b"before")
    assert run("sheets", first, "-o", out, "--sheet", "wires").code == 0
    assert out.read_bytes().startswith(b"%PDF")
    assert (tmp_path / "set.pdf.bak").read_bytes() == b"before"


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["--sheet", "pinouts"], "there is no sheet 'pinouts'; nearest is 'pinout'"),
        (["--paper", "A5"], "there is no paper 'A5'"),
        (["--mode", "brakin"], "there is no mode 'brakin'; nearest is 'braking'"),
        (["--mode", "a", "--mode", "b", "--mode", "c", "--mode", "d"], "4 modes are too many for a sheet"),
        (["--sheet", "cases"], "the harness has nothing for cases: nothing to print"),
    ],
)
def test_wrong_words_are_one_line_and_nothing_is_written(
    run: Run, first: Path, tmp_path: Path, words: list[str], said: str
) -> None:
    out = tmp_path / "set.pdf"
    done = run("sheets", first, "-o", out, *words)
    assert done.code == 2
    assert len(done.complaints) == 1
    assert said in done.err
    assert not list(tmp_path.glob("*.pdf*"))


def test_without_a_file_to_write_it_says_so(run: Run, first: Path, tmp_path: Path) -> None:
    done = run("sheets", first)
    assert (done.code, len(done.complaints)) == (2, 1)
    assert "-o FILE.pdf" in done.err
    done = run("sheets", first, "-o", tmp_path)
    assert (done.code, len(done.complaints)) == (2, 1)
    assert "is a folder" in done.err


def test_it_lists_what_it_can_print(run: Run, first: Path) -> None:
    document = json.loads(run("sheets", first, "--list", "--json").out)
    assert list(document["sheets"]) == list(catalogue.SHEETS)


def test_the_help_names_the_papers_that_there_are() -> None:
    assert list(paper.SIZES_MM) == list(sheets.PAPERS)


def test_it_needs_neither_a_screen_nor_widgets(first: Path, tmp_path: Path) -> None:
    out = tmp_path / "set.pdf"
    program = (
        "import sys; from harness_studio.app.main import main; code = main(sys.argv[1:]); "
        "assert 'PySide6.QtWidgets' not in sys.modules; sys.exit(code)"
    )
    environment = {
        k: v for k, v in os.environ.items() if k not in ("DISPLAY", "WAYLAND_DISPLAY", "QT_QPA_PLATFORM")
    }
    done = subprocess.run(
        [sys.executable, "-c", program, "sheets", str(first), "-o", str(out)],
        env=environment, capture_output=True, text=True, check=False,
    )  # fmt: skip
    assert (done.returncode, done.stderr) == (0, "")
    assert out.stat().st_size > 10_000


def test_modes_are_those_asked_for(run: Run, first: Path, tmp_path: Path, qapp: QGuiApplication) -> None:
    out = tmp_path / "set.pdf"
    assert run("sheets", first, "-o", out, "--sheet", "grounds", "--mode", "key_on").code == 0
    text = " ".join(page.extract_text() for page in pypdf.PdfReader(str(out)).pages)
    assert "Key" in text
    assert "Braking" not in text
