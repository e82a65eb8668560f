"""``new``: an empty project, and never over a file that is there."""

from pathlib import Path

import pytest

from harness_studio.storage.project_file import read_project
from tests.unit.app.conftest import Run


@pytest.mark.parametrize(
    ("name", "words", "title"),
    [("estuary_pickup.yaml", [], "estuary pickup"), ("a.yaml", ["--title", "  Barge   tender "], "Barge tender"),
     ("b.yaml", ["--title", ""], "b"), ("c.yaml", ["--title", "Кузов: '№ 2' #"], "Кузов: '№ 2' #")],
)  # fmt: skip
def test_a_new_project_is_empty_and_opens(
    run: Run, tmp_path: Path, name: str, words: list[str], title: str
) -> None:
    file = tmp_path / name
    done = run("new", file, *words)
    assert (done.code, done.err) == (0, "")
    harness = read_project(file).harness
    assert harness.settings.title == title
    assert [ref for ref in harness.refs() if ref[0] != "settings"] == []
    assert run("solve", file).code == 0


def test_a_file_that_is_there_is_left_alone(run: Run, tmp_path: Path) -> None:
    file = tmp_path / "mine.yaml"
    file.write_text("mine")
    done = run("new", file)
    assert done.code == 2
    assert done.complaints == [
        f"harness-studio: {file}: there is such a file already; open it, or give another name"
    ]
    assert file.read_text() == "mine"


def test_a_folder_that_is_not_there_is_told(run: Run, tmp_path: Path) -> None:
    done = run("new", tmp_path / "nowhere" / "x.yaml")
    assert done.code == 2
    assert len(done.complaints) == 1
    assert "the folder is not there" in done.err
