"""What is solved of one thing, in words."""

import pytest

from harness_studio.diagram.live import live_facts, tip
from harness_studio.session.scheduler import Synchronous
from harness_studio.session.session import Session


@pytest.fixture
def session(sample_projects_dir):
    return Session.open(sample_projects_dir / "first_harness.yaml", Synchronous())


def test_a_wire_tells_current_drop_and_warmth(session):
    facts = dict(live_facts(session, "W40"))
    wire = session.solution.wire("W40")
    assert facts["now"] == f"{wire.amperes:.1f} A, {wire.drop_v * 1e3:.0f} mV lost"
    assert facts["conductor"] == f"{session.solution.wire_temperatures_c()['W40']:.0f} °C"


def test_a_part_tells_terminals_and_readings_beside_clean(session):
    facts = dict(live_facts(session, "E5"))
    assert facts["terminal 54"].startswith("13.5 V, 1.8 A")
    assert "clean" in facts["stop light"]
    assert dict(live_facts(session, "G1"))["state"] == "regulating"
    assert "lost" in dict(live_facts(session, "F4"))["through it"]


def test_a_ground_tells_its_rise(session):
    facts = dict(live_facts(session, "GP2"))
    assert facts["rise"] == f"{session.solution.volt('GP2') * 1e3:.0f} mV"
    assert facts["into the metal"].startswith("4.0 A")


def test_the_tip_is_short_and_starts_with_the_title(session):
    lines = tip(session, "X7").splitlines()
    assert lines[0] == "X7 bed loom"
    assert 2 <= len(lines) <= 7
