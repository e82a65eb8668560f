"""The one door to the files that ship with the program."""

from pathlib import Path

import pytest

from harness_studio.base import resources
from harness_studio.base.errors import HarnessError


@pytest.fixture
def installed(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A package folder as the wheel lays it out, under a path with letters that are not ASCII."""
    package = tmp_path / "Kabelbäume ß" / "harness_studio"
    (package / "_resources" / "standards").mkdir(parents=True)
    (package / "_resources" / "sample_projects").mkdir()
    (package / "_resources" / "standards" / "one.yaml").write_text("unit: mΩ/m\n", encoding="utf-8")
    monkeypatch.setattr(resources, "_PACKAGE", package)
    return package


def test_checkout_has_its_resources_at_the_top() -> None:
    top = Path(__file__).resolve().parents[3]
    assert resources.path("standards", "colours.yaml") == top / "resources" / "standards" / "colours.yaml"
    assert "IEC 60757" in resources.text("standards", "colours.yaml")


def test_installed_copy_is_used_when_there_is_one(installed: Path) -> None:
    assert resources.path("standards", "one.yaml") == installed / "_resources" / "standards" / "one.yaml"
    assert resources.text("standards", "one.yaml") == "unit: mΩ/m\n"
    assert resources.sample_projects() == installed / "_resources" / "sample_projects"


def test_sample_projects_of_a_checkout_stand_beside_the_resources(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(resources, "_PACKAGE", tmp_path / "harness_studio")
    with pytest.raises(resources.ResourceMissing):
        resources.sample_projects()
    (tmp_path / "sample_projects").mkdir()
    assert resources.sample_projects() == tmp_path / "sample_projects"


def test_a_missing_file_is_one_clear_line(installed: Path) -> None:
    with pytest.raises(resources.ResourceMissing) as caught:
        resources.text("standards", "none.yaml")
    line = str(caught.value)
    assert "none.yaml" in line
    assert "install it again" in line
    assert "\n" not in line
    assert isinstance(caught.value, HarnessError)


def test_a_folder_has_no_text(installed: Path) -> None:
    with pytest.raises(resources.ResourceMissing, match="should be a file"):
        resources.text("standards")
