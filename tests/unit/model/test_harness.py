"""The harness as tables."""

from pathlib import Path

from harness_studio.base.ids import is_id
from harness_studio.model.entities import Splice
from harness_studio.model.harness import SECTIONS, SHARED_IDS, Harness
from harness_studio.storage.project_file import read_project

EXAMPLE = Path(__file__).parents[1] / "storage" / "example.yaml"


def test_an_empty_harness_has_every_section_and_its_settings() -> None:
    harness = Harness()
    assert list(harness.tables) == list(SECTIONS)
    assert list(harness.refs()) == [("settings", "")]
    assert harness.settings.system_v == 12.0
    assert Harness().tables is not harness.tables


def test_a_snapshot_is_not_touched_by_later_edits() -> None:
    harness = Harness()
    harness.splices["SP1"] = Splice("SP1")
    snapshot = harness.snapshot()
    harness.splices["SP2"] = Splice("SP2")
    del harness.splices["SP1"]
    assert list(snapshot.splices) == ["SP1"]


def test_ids_and_titles() -> None:
    harness = read_project(EXAMPLE).harness
    assert harness.section_of("GP2") == "grounds"
    assert harness.section_of("bay") is None
    assert harness.title_of("GP2") == "GP2 Bed left rear corner"
    assert harness.title_of("W31") == "W31"
    assert harness.title_of("nobody") == "nobody"
    assert harness.body_places("shell") == ("shell.cab_floor", "shell.bed_rear")
    assert harness.taken_ids() == {key for section in SHARED_IDS for key in harness.tables[section]}
    assert all(is_id(key) for key in harness.taken_ids())
    assert harness.halves["X7"].cavity_names() == tuple("12345678")
    assert harness.halves["X9"].cavity_names() == ("1", "2", "3")
    assert harness.halves["X20"].cavity_names() == ("1", "2")
    assert harness.wires["W31"].other_end("GP2").text == "SP3"


def test_what_sits_in_a_box_is_told_by_its_id(sample_projects_dir: Path) -> None:
    harness = read_project(sample_projects_dir / "first_harness.yaml").harness
    assert harness.boxes_of_parts() == {"F1": "A9", "F2": "A9", "F4": "A9", "F5": "A9"}
