"""Readings now beside those of a clean harness."""

from __future__ import annotations

import pytest

from harness_studio.network.network import Overrides
from harness_studio.session.scheduler import Synchronous
from harness_studio.session.session import Session


@pytest.fixture
def session(sample_projects_dir):
    return Session.open(sample_projects_dir / "first_harness.yaml", Synchronous())


def test_a_joint_as_found_parts_readings_from_clean_ones(session):
    now, clean = session.computed.readings, session.computed.clean_readings
    assert now["M2 volts"].value < clean["M2 volts"].value
    assert set(now) == set(clean)


def test_a_dialled_joint_moves_the_readings_and_leaves_the_clean_ones(session):
    before = session.computed.readings["M2 volts"].value
    clean = session.computed.clean_readings["M2 volts"].value
    session.set_overrides(Overrides().with_joint("GP2/W40", 0.5))
    assert session.computed.readings["M2 volts"].value < before - 1.0
    assert session.computed.clean_readings["M2 volts"].value == clean
    session.set_overrides(None)
    assert session.computed.readings["M2 volts"].value == before


def test_a_position_beside_the_mode_changes_both(session):
    session.set_overrides(Overrides().with_position("S1", "released"))
    assert session.computed.readings["E5/stop light"].value == pytest.approx(0.0, abs=0.01)
    assert session.computed.clean_readings["E5/stop light"].value == pytest.approx(0.0, abs=0.01)
    session.set_overrides(Overrides().with_pulled("F4", True))
    assert session.computed.readings["M2 speed"].words == "stands"


def test_overrides_replace_and_take_back_one_entry():
    some = Overrides().with_joint("GP2", 0.1).with_joint("GP5", 0.2).with_joint("GP2", 0.3)
    assert dict(some.joint_ohm) == {"GP2": 0.3, "GP5": 0.2}
    assert some.with_joint("GP5", None).joint_ohm == (("GP2", 0.3),)
    assert some.joints_as_found == Overrides()
    assert Overrides().with_pulled("F1", True).with_pulled("F1", False) == Overrides()
