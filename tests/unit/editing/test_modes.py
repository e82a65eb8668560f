"""Keeping what is pressed as a mode: the first one says everything, a later one what differs."""

from pathlib import Path

import pytest

from harness_studio.base.errors import EditError
from harness_studio.editing.modes import keep_edit
from harness_studio.model.edits import Remove, together
from harness_studio.model.entities import Mode
from harness_studio.model.harness import Harness
from harness_studio.network.modes import resolve
from harness_studio.network.network import Overrides
from harness_studio.storage.project_file import parse, read_project, render


@pytest.fixture
def harness(sample_projects_dir: Path) -> Harness:
    return read_project(sample_projects_dir / "first_harness.yaml").harness


PRESSED = (
    Overrides().with_position("S1", "released").with_load("M2", "stall").with_engine("idling")
    .with_sender("B1", "full").with_joint("GP2", 0.2)
)  # fmt: skip


def test_a_later_mode_is_like_the_one_looked_at_and_says_what_is_pressed(harness: Harness) -> None:
    edit, key = keep_edit(harness, "braking", PRESSED, "  Pump  stuck ")
    undo = edit.apply(harness)
    assert harness.modes[key] == Mode(
        "pump_stuck", "Pump stuck", like="braking", engine="idling",
        set={"S1": "released"}, loads={"M2": "stall"}, senders={"B1": "full"},
    )  # fmt: skip
    before, after = resolve(harness, "braking", PRESSED), resolve(harness, key)
    assert (after.engine, after.positions, after.loads, after.senders) == (
        before.engine, before.positions, before.loads, before.senders,
    )  # fmt: skip
    assert parse(render(harness)).harness.tables == harness.tables
    undo[0].apply(harness)
    assert key not in harness.modes


def test_the_first_mode_says_where_everything_stands(harness: Harness) -> None:
    together([Remove("modes", key) for key in list(harness.modes)], "no modes").apply(harness)
    edit, key = keep_edit(harness, None, Overrides().with_position("S1", "pressed"), "Braking")
    edit.apply(harness)
    assert harness.modes[key] == Mode(
        "braking", "Braking", set={"S1": "pressed"}, senders={"B1": "empty"}
    )  # fmt: skip


@pytest.mark.parametrize(
    ("overrides", "title", "why"),
    [
        (PRESSED, "braking", "there is a mode 'braking' already"),
        (PRESSED, " … ", "a mode needs a name"),
        (None, "Same again", "the positions are those of 'Braking': press another one"),
        (Overrides().with_joint("GP2", 0.2), "Same again", "the positions are those of 'Braking'"),
    ],
)
def test_what_cannot_be_kept_says_why(harness: Harness, overrides: Overrides, title: str, why: str) -> None:
    with pytest.raises(EditError, match=why):
        keep_edit(harness, "braking", overrides, title)


def test_an_id_is_free_and_plain_whatever_the_title(harness: Harness) -> None:
    assert keep_edit(harness, "braking", PRESSED, "Key-on!")[1] == "key_on_2"
    assert keep_edit(harness, "braking", PRESSED, "Ωμ")[1] == "mode"
    assert keep_edit(harness, "braking", PRESSED, "Cut")[1] == "cut_1"  # `cut` alone is kept for ends
