"""Every mention of a thing follows when it gets another id."""

import pytest

from harness_studio.base.changes import Changes
from harness_studio.model.edits import check_changed
from harness_studio.model.harness import Harness
from harness_studio.model.renaming import Names, renamed
from harness_studio.storage.project_file import parse, read_project, render


@pytest.mark.parametrize(
    ("address", "new"),
    [
        ("GP2", "GP9"), ("GP2/W40", "GP9/W7"), ("W40@GP2", "W7@GP9"), ("X7.3", "X7.3"), ("GP22", "GP22"),
        ("B1.31@shell.bed", "B1.31@cab.bed"), ("F4.in:clip", "F8.in:clip"), ("S1.30:54", "S1.30:54"),
        ("shell.GP2", "cab.GP2"),
    ],
)  # fmt: skip
def test_addresses(address: str, new: str) -> None:
    names = Names({"GP2": "GP9", "W40": "W7", "shell": "cab", "F4": "F8"})
    assert names.address(address) == new


def test_single_addresses_come_first() -> None:
    assert Names({"W1": "W2"}, {"W1@GP2": "W7@GP2"}).address("W1@GP2") == "W7@GP2"


@pytest.mark.parametrize("name", ["first_harness", "estuary_pickup", "track_buggy", "trailer_wiring"])
def test_whole_samples_are_sound_under_other_ids(sample_projects_dir: object, name: str) -> None:
    harness = read_project(f"{sample_projects_dir}/{name}.yaml").harness
    sections = (
        "bodies",
        "bonds",
        "parts",
        "halves",
        "splices",
        "grounds",
        "wires",
        "zones",
        "breakouts",
        "runs",
    )
    ids = {key: f"{key}_new" for s in sections for key in harness.tables[s]}
    made = renamed(harness, ids)
    assert {k for s in sections for k in made.tables[s]} == set(ids.values())
    check_changed(made, Changes(updated=frozenset(ref for ref in made.refs())))
    parse(render(made))
    assert renamed(made, {new: old for old, new in ids.items()}).tables == harness.tables


def test_nothing_to_rename() -> None:
    assert renamed(Harness(), {"a": "b"}).tables == Harness().tables
