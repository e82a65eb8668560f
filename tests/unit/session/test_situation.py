"""The mode that is looked at."""

import pytest

from harness_studio.base.errors import EditError
from harness_studio.model.entities import Mode
from harness_studio.model.harness import Harness
from harness_studio.session.situation import Situation
from tests.unit.session.fakes import two_wires


def test_the_first_mode_of_the_file_is_the_default() -> None:
    assert Situation(two_wires()).mode == "on"
    assert Situation(Harness()).mode is None


def test_a_mode_that_is_not_there_is_refused_with_the_nearest() -> None:
    situation = Situation(two_wires())
    with pytest.raises(EditError, match="there is no mode 'of'; nearest is 'off'"):
        situation.set_mode("of")
    assert situation.mode == "on"


def test_set_mode_reports_a_change_and_none_is_the_first() -> None:
    situation = Situation(two_wires())
    assert not situation.set_mode("on")
    assert situation.set_mode("off")
    assert situation.set_mode(None)
    assert situation.mode == "on"


def test_a_mode_that_is_gone_is_left_and_a_first_one_is_taken() -> None:
    harness = two_wires()
    situation = Situation(harness)
    del harness.modes["on"]
    assert situation.follow()
    assert situation.mode == "off"
    harness.modes.clear()
    assert situation.follow()
    assert situation.mode is None
    assert not situation.follow()
    harness.modes["new"] = Mode("new")
    assert situation.follow()
    assert situation.mode == "new"
