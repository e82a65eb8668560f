"""Every sample project opens, holds together, and is saved as it stands."""

import shutil
from pathlib import Path

import jsonschema
import pytest

from harness_studio.model.edits import change
from harness_studio.storage.project_file import parse, read_project, render, write_project
from harness_studio.storage.schema import schema
from tests.unit.storage.test_schema import as_yaml_12_types_it

PROJECTS = sorted((Path(__file__).resolve().parents[2] / "sample_projects").glob("**/*.yaml"))


def test_there_are_sample_projects() -> None:
    assert PROJECTS


@pytest.fixture(params=PROJECTS, ids=lambda path: path.stem)
def project(request: pytest.FixtureRequest, tmp_path: Path) -> Path:
    """Return a copy of a sample project."""
    copy: Path = tmp_path / request.param.name
    shutil.copy(request.param, copy)
    return copy


def test_it_is_saved_byte_for_byte_when_nothing_changed(project: Path) -> None:
    before = project.read_bytes()
    opened = read_project(project)
    write_project(project, opened.harness, opened)
    assert project.read_bytes() == before
    assert [p.name for p in project.parent.iterdir()] == [project.name]


def test_an_edit_changes_one_line(project: Path) -> None:
    before = project.read_text(encoding="utf-8")
    opened = read_project(project)
    section = "wires" if opened.harness.wires else "parts"
    key = next(iter(opened.harness.tables[section]))
    change(opened.harness, section, key, note="seen twice").apply(opened.harness)
    after = write_project(project, opened.harness, opened).text
    changed = [(a, b) for a, b in zip(before.splitlines(), after.splitlines(), strict=True) if a != b]
    assert len(changed) == 1
    assert "seen twice" in changed[0][1]
    assert (project.parent / f"{project.name}.bak").read_text(encoding="utf-8") == before


def test_it_reads_back_from_a_text_of_its_own(project: Path) -> None:
    opened = read_project(project)
    assert parse(render(opened.harness)).harness.tables == opened.harness.tables


def test_editors_find_nothing_wrong_with_it(project: Path) -> None:
    value = as_yaml_12_types_it(read_project(project).root)
    errors = jsonschema.Draft202012Validator(schema()).iter_errors(value)
    assert [f"{e.json_path}: {e.message}" for e in errors] == []


def test_its_pictures_are_there(project: Path) -> None:
    opened = read_project(project)
    files = [photo.file for photo in opened.harness.tables["photos"].values()]
    files += [page.photo.file for page in opened.harness.pages.values() if page.photo]
    home = next(path.parent for path in PROJECTS if path.name == project.name)
    assert [name for name in files if not (home / name).is_file()] == []
