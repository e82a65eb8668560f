"""What symbols write and draw of their readings, on the first sample."""

import pytest

from harness_studio.diagram.readings import Later, glyphs, readings
from harness_studio.diagram.scene import Scene
from harness_studio.session.scheduler import Synchronous
from harness_studio.session.session import Session


@pytest.fixture
def session(sample_projects_dir):
    return Session.open(sample_projects_dir / "first_harness.yaml", Synchronous())


@pytest.fixture
def shown(session):
    page = next(iter(session.harness.pages.values()))

    def show():
        scene = Scene(session.harness, page)
        now, clean = session.computed.readings, session.computed.clean_readings
        return readings(scene, session.solution, now, clean), glyphs(scene, now, clean)

    return show


def test_a_lit_lamp_says_its_light_and_is_filled_by_it(session, shown):
    words, drawn = shown()
    light = session.computed.readings["E5/stop light"].value
    assert words["E5"].endswith(f"light {light:.0f} %")
    ((part, glyph),) = drawn["E5"]
    assert part == "E5"
    assert glyph.light == pytest.approx(light / 100, abs=0.006)


def test_a_gauge_shows_both_needles_and_says_both_values(session, shown):
    words, drawn = shown()
    now = session.computed.readings["P1 needle"].value
    clean = session.computed.clean_readings["P1 needle"].value
    ((_, glyph),) = drawn["P1"]
    assert glyph.needle == pytest.approx(now, abs=0.003)
    assert glyph.clean_needle == pytest.approx(clean, abs=0.003)
    assert words["P1"] == f"now {now:.2f} · clean {clean:.2f}"


def test_with_clean_joints_the_gauge_says_where_it_stands(session, shown):
    from harness_studio.network.network import Overrides

    session.set_overrides(Overrides().with_joint("GP2", 0.0002))
    assert shown()[0]["P1"] == session.computed.readings["P1 needle"].words


def test_they_follow_the_mode(session, shown):
    session.set_mode("key_on")
    words, drawn = shown()
    assert words["E5"] == "no current"
    assert dict(drawn["E5"])["E5"].light == pytest.approx(0.0)
    assert words["M2"] == "off"


def test_what_nobody_looks_at_is_not_worked_out():
    made = []

    def make():
        made.append(1)
        return {"M1": "12.1 V"}

    later = Later(make)
    assert made == []
    assert later.get("M1") == "12.1 V"
    assert later.get("M2") is None
    assert dict(later) == {"M1": "12.1 V"}
    assert made == [1]
