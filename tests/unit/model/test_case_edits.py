"""Each entry of a case is one step: made, undone, and kept in the file as it was."""

import pytest

from harness_studio.base.errors import EditError
from harness_studio.model import case_edits
from harness_studio.model.cases import Reading, Sighting
from harness_studio.model.edits import Edit
from harness_studio.model.harness import Harness

SIGHTING = Sighting("P1", "down", None, "towing", "slight", (4, 5))


def apply(harness: Harness, edit: Edit) -> Edit:
    return edit.apply(harness)[0]


@pytest.fixture
def harness() -> Harness:
    made = Harness()
    apply(made, case_edits.new_case(made, "gauge falls")[1])
    return made


def test_new_cases_are_numbered_past_those_there_are(harness: Harness) -> None:
    case_id, edit = case_edits.new_case(harness, "another", state="warm")
    apply(harness, edit)
    assert case_id == "case_2"
    apply(harness, case_edits.remove_case(harness, "case_1"))
    assert case_edits.new_case(harness)[0] == "case_3"  # case_2 is taken
    assert harness.tables["cases"]["case_2"].state == "warm"


def test_an_entry_is_added_changed_taken_out_and_each_is_undone(harness: Harness) -> None:
    cases = harness.tables["cases"]
    before = cases["case_1"]
    add = case_edits.add_entry(harness, "case_1", "sightings", SIGHTING)
    assert add.words == "keep a sighting in case_1"
    back = apply(harness, add)
    assert cases["case_1"].sightings == (SIGHTING,)
    other = Sighting("M2", "stays")
    apply(harness, case_edits.add_entry(harness, "case_1", "sightings", other))
    changed = apply(harness, case_edits.replace_entry(harness, "case_1", "sightings", 0, other))
    assert cases["case_1"].sightings == (other, other)
    apply(harness, changed)
    assert cases["case_1"].sightings == (SIGHTING, other)
    apply(harness, case_edits.remove_entry(harness, "case_1", "sightings", 1))
    assert cases["case_1"].sightings == (SIGHTING,)
    apply(harness, back)
    assert cases["case_1"] == before


def test_half_filled_is_fine_and_a_point_that_is_gone_is_kept(harness: Harness) -> None:
    apply(harness, case_edits.add_entry(harness, "case_1", "readings", Reading("volts")))
    gone = Reading("volts", plus="GP77", minus="GB1.31", value=0.2)
    apply(harness, case_edits.add_entry(harness, "case_1", "readings", gone))
    assert harness.tables["cases"]["case_1"].readings[1] == gone


def test_what_cannot_be_written_is_refused_in_one_line(harness: Harness) -> None:
    bad = case_edits.add_entry(harness, "case_1", "readings", Reading("volts", plus="no point!"))
    with pytest.raises(EditError, match="plus"):
        bad.apply(harness)
    assert not harness.tables["cases"]["case_1"].readings
    with pytest.raises(EditError, match="no reading number 3"):
        case_edits.remove_entry(harness, "case_1", "readings", 2)
    with pytest.raises(EditError, match="no case 'x'"):
        case_edits.set_case(harness, "x", closed=True)


def test_again_is_the_same_pair_without_its_value() -> None:
    first = Reading("volts", "on", "GP1", "GB1.31", value=0.4, accuracy=0.005, current_confirmed=True)
    second = case_edits.again(first, "2026-03-03")
    assert case_edits.same_pair(first, second)
    assert (second.value, second.after_mend, second.accuracy) == (None, True, 0.005)
    assert not second.current_confirmed
