"""Two modes side by side: each difference is that of two solves, and what is alike is not there."""

import pytest

from harness_studio.base.errors import AddressError
from harness_studio.electrics.mode_changes import mode_changes
from harness_studio.electrics.readings import readings
from harness_studio.electrics.solve import solve
from harness_studio.network.expand import expand
from harness_studio.network.network import Overrides
from harness_studio.storage.project_file import read_project


@pytest.fixture(scope="module")
def harness(sample_projects_dir):
    return read_project(sample_projects_dir / "first_harness.yaml").harness


def test_what_is_set_and_what_follows(harness):
    found = mode_changes(harness, "braking", "key_on")
    rows = {(r.what, r.name, r.thing): (r.first, r.second) for r in found.rows}
    assert rows["set", "engine", ""] == ("running", "off")
    assert rows["set", "position", "S1"] == ("pressed", "released")
    assert rows["set", "load", "M2"] == ("turning", "off")
    one, two = (solve(expand(harness, mode)) for mode in ("braking", "key_on"))
    first, second = readings(harness, one), readings(harness, two)
    told = [r for r in found.rows if r.what == "reading"]
    assert told
    for row in told:
        assert (row.first, row.second) == (first[row.name].value, second[row.name].value)
    assert rows["ground", "GP2 current", "GP2"] == (
        pytest.approx(abs(one.joint("GP2").amperes)), pytest.approx(abs(two.joint("GP2").amperes)),
    )  # fmt: skip
    assert rows["fuse", "F4 current", "F4"][0] == pytest.approx(6.5, abs=0.01)


def test_a_mode_against_itself_differs_in_nothing(harness):
    assert mode_changes(harness, "braking", "braking").rows == ()


def test_what_is_pressed_counts_in_both(harness):
    found = mode_changes(
        harness, "braking", "key_on", Overrides(engine="off").with_position("S1", "released")
    )
    names = {r.name for r in found.rows if r.what == "set"}
    assert names == {"load"}


def test_a_mode_that_is_not_there_is_told(harness):
    with pytest.raises(AddressError, match="there is no mode 'nosuch'"):
        mode_changes(harness, "braking", "nosuch")
